/** The functions under the distributions: log gamma, log beta, the regularised incomplete beta, the complementary error function. */

const HALF_LOG_2PI = 0.9189385332046728;

/** lnΓ(x) − ((x − ½) ln x − x + ½ ln 2π) for x ≥ 10 (Abramowitz & Stegun 1964, 6.1.41); error below 1e-15. */
function stirlingRest(x: number): number {
  const r = 1 / x;
  const q = r * r;
  return (
    r *
    (1 / 12 + q * (-1 / 360 + q * (1 / 1260 + q * (-1 / 1680 + q * (1 / 1188 + q * (-691 / 360360 + q * (1 / 156)))))))
  );
}

/** lnΓ(x) for x > 0, absolute error about 1e-15 · max(1, lnΓ); NaN for other x. */
export function logGamma(x: number): number {
  if (!(x > 0)) return Number.NaN;
  if (x === Number.POSITIVE_INFINITY) return x;
  let product = 1;
  let shifted = x;
  while (shifted < 10) {
    product *= shifted;
    shifted += 1;
  }
  return (shifted - 0.5) * Math.log(shifted) - shifted + HALF_LOG_2PI + stirlingRest(shifted) - Math.log(product);
}

let lastA = Number.NaN;
let lastB = Number.NaN;
let lastLogBeta = Number.NaN;

/**
 * ln B(a, b) for a, b > 0 without the cancellation of three log gammas where an argument is large. The last result is kept: a root of a
 * distribution's function asks for one a and b many times.
 */
export function logBeta(a: number, b: number): number {
  if (a !== lastA || b !== lastB) {
    lastLogBeta = freshLogBeta(a, b);
    lastA = a;
    lastB = b;
  }
  return lastLogBeta;
}

function freshLogBeta(a: number, b: number): number {
  const p = Math.min(a, b);
  const q = Math.max(a, b);
  if (q < 10) return logGamma(p) + logGamma(q) - logGamma(p + q);
  const share = p / (p + q);
  if (p < 10) {
    const rest = stirlingRest(q) - stirlingRest(p + q);
    return logGamma(p) + rest + p - p * Math.log(p + q) + (q - 0.5) * Math.log1p(-share);
  }
  const rest = stirlingRest(p) + stirlingRest(q) - stirlingRest(p + q);
  return -0.5 * Math.log(q) + HALF_LOG_2PI + rest + (p - 0.5) * Math.log(share) + q * Math.log1p(-share);
}

/**
 * Regularised incomplete beta I_x(a, b), a, b > 0, x in 0..1, by its continued fraction (modified Lentz).
 * `y` is 1 − x; give it where it is known better than the subtraction would. NaN outside the domain.
 */
export function incompleteBeta(a: number, b: number, x: number, y = 1 - x): number {
  if (!(a > 0 && b > 0 && x >= 0 && y >= 0)) return Number.NaN;
  if (x === 0) return 0;
  if (y === 0) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - betaTail(b, a, y, x);
  return betaTail(a, b, x, y);
}

function betaTail(a: number, b: number, x: number, y: number): number {
  const logX = y < 0.5 ? Math.log1p(-y) : Math.log(x);
  const logY = x < 0.5 ? Math.log1p(-x) : Math.log(y);
  const front = Math.exp(a * logX + b * logY - logBeta(a, b)) / a;
  const tiny = 1e-300;
  let c = 1;
  let d = 1 - ((a + b) * x) / (a + 1);
  d = 1 / (Math.abs(d) < tiny ? tiny : d);
  let h = d;
  for (let m = 1; m < 100_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 + even * d;
    c = 1 + even / c;
    d = 1 / (Math.abs(d) < tiny ? tiny : d);
    if (Math.abs(c) < tiny) c = tiny;
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 + odd * d;
    c = 1 + odd / c;
    d = 1 / (Math.abs(d) < tiny ? tiny : d);
    if (Math.abs(c) < tiny) c = tiny;
    const change = d * c;
    h *= change;
    if (Math.abs(change - 1) < 1e-16) break;
  }
  return front * h;
}

/** 1 − erf(x), relative error about 1e-13 in the right tail. Series of positive terms up to 2, continued fraction beyond (A&S 7.1.6, 7.1.14). */
export function erfc(x: number): number {
  if (Number.isNaN(x)) return x;
  if (x < 0) return 2 - erfc(-x);
  if (x > 27.3) return 0;
  const scale = Math.exp(-x * x) / Math.sqrt(Math.PI);
  if (x < 2) {
    let term = 2 * x;
    let sum = term;
    for (let n = 1; term > 1e-18 * sum; n++) {
      term *= (2 * x * x) / (2 * n + 1);
      sum += term;
    }
    return 1 - scale * sum;
  }
  let tail = x;
  for (let k = 200; k > 0; k--) tail = x + k / 2 / tail;
  return scale / tail;
}
