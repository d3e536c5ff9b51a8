/** Normal, t, F and non-central t distributions for any real degrees of freedom. */

import { erfc, incompleteBeta, logBeta, logGamma } from './specialFunctions.ts';

export { erfc, incompleteBeta, logBeta, logGamma } from './specialFunctions.ts';

/** P(Z ≤ z). */
export function normalCdf(z: number): number {
  return 0.5 * erfc(-z / Math.SQRT2);
}

/** P(Z > z), accurate in the right tail. */
export function normalSurvival(z: number): number {
  return 0.5 * erfc(z / Math.SQRT2);
}

/** z with P(Z ≤ z) = p: Abramowitz & Stegun 26.2.23 as a start, then Halley steps on the cumulative function. 0 and 1 give ∓∞; NaN outside. */
export function normalQuantile(p: number): number {
  if (!(p >= 0 && p <= 1)) return Number.NaN;
  if (p === 0 || p === 1) return p === 0 ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY;
  if (p === 0.5) return 0;
  const tail = Math.min(p, 1 - p);
  const t = Math.sqrt(-2 * Math.log(tail));
  let z = t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
  for (let i = 0; i < 4; i++) {
    const density = Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
    const step = (normalSurvival(z) - tail) / density;
    z += step / (1 - 0.5 * z * step);
    if (Math.abs(step) < 1e-15 * z) break;
  }
  return p < 0.5 ? -z : z;
}

/** P(T > t) of Student's t with `df` > 0 degrees of freedom (Infinity: normal), accurate in the right tail. NaN for other df. */
export function tSurvival(t: number, df: number): number {
  if (!(df > 0) || Number.isNaN(t)) return Number.NaN;
  if (df === Number.POSITIVE_INFINITY) return normalSurvival(t);
  if (t < 0) return 1 - tSurvival(-t, df);
  if (t === Number.POSITIVE_INFINITY) return 0;
  const square = t * t;
  if (square === Number.POSITIVE_INFINITY) return 0;
  return 0.5 * incompleteBeta(0.5 * df, 0.5, df / (df + square), square / (df + square));
}

/** P(T ≤ t). */
export function tCdf(t: number, df: number): number {
  return tSurvival(-t, df);
}

/** Density of Student's t. */
export function tDensity(t: number, df: number): number {
  if (df === Number.POSITIVE_INFINITY) return Math.exp(-0.5 * t * t) / Math.sqrt(2 * Math.PI);
  return Math.exp(-0.5 * (df + 1) * Math.log1p((t * t) / df) - logBeta(0.5 * df, 0.5)) / Math.sqrt(df);
}

/** t with P(T ≤ t) = p: Newton on the survival function, bracketed. 0 and 1 give ∓∞; NaN outside 0..1 or for df ≤ 0. */
export function tQuantile(p: number, df: number): number {
  if (!(df > 0) || !(p >= 0 && p <= 1)) return Number.NaN;
  if (p === 0 || p === 1) return p === 0 ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY;
  if (p === 0.5) return 0;
  if (df === Number.POSITIVE_INFINITY) return normalQuantile(p);
  const tail = Math.min(p, 1 - p);
  let low = 0;
  const z = -normalQuantile(tail);
  let high = Math.max(1, 2 * z);
  while (tSurvival(high, df) > tail && high < 1e300) {
    low = high;
    high *= 4;
  }
  // first terms of the expansion about the normal (Fisher & Cornish 1960, Technometrics 2:209-225, from memory)
  const zz = z * z;
  const near = z * (1 + (zz + 1) / (4 * df) + ((5 * zz + 16) * zz + 3) / (96 * df * df));
  let t = Math.min(Math.max(near, low), high);
  for (let i = 0; i < 200; i++) {
    const survival = tSurvival(t, df);
    if (survival > tail) low = t;
    else high = t;
    // Newton on the logarithm: the tail is a power of t, so far out this is nearly straight in ln t.
    const slope = (t * tDensity(t, df)) / survival;
    let next = slope > 0 && t > 0 ? t * Math.exp(Math.log(survival / tail) / slope) : 0.5 * (low + high);
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    const done = Math.abs(next - t) <= 1e-15 * t;
    t = next;
    if (done) break;
  }
  return p < 0.5 ? -t : t;
}

/** P(F > f) of the F distribution with d1 and d2 degrees of freedom. */
export function fSurvival(f: number, d1: number, d2: number): number {
  if (!(d1 > 0 && d2 > 0) || Number.isNaN(f)) return Number.NaN;
  if (f <= 0) return 1;
  if (f === Number.POSITIVE_INFINITY) return 0;
  return incompleteBeta(0.5 * d2, 0.5 * d1, d2 / (d2 + d1 * f), (d1 * f) / (d2 + d1 * f));
}

/** P(F ≤ f). */
export function fCdf(f: number, d1: number, d2: number): number {
  if (!(d1 > 0 && d2 > 0) || Number.isNaN(f)) return Number.NaN;
  if (f <= 0) return 0;
  if (f === Number.POSITIVE_INFINITY) return 1;
  return incompleteBeta(0.5 * d1, 0.5 * d2, (d1 * f) / (d2 + d1 * f), d2 / (d2 + d1 * f));
}

/** f with P(F ≤ f) = p, by bisection in the logarithm. 0 and 1 give 0 and ∞; NaN outside. */
export function fQuantile(p: number, d1: number, d2: number): number {
  if (!(d1 > 0 && d2 > 0) || !(p >= 0 && p <= 1)) return Number.NaN;
  if (p === 0 || p === 1) return p === 0 ? 0 : Number.POSITIVE_INFINITY;
  const tooLow = (f: number): boolean => (p < 0.5 ? fCdf(f, d1, d2) < p : fSurvival(f, d1, d2) > 1 - p);
  let low = 1;
  let high = 1;
  while (tooLow(high) && high < 1e300) high *= 4;
  while (!tooLow(low) && low > 1e-300) low /= 4;
  for (let i = 0; i < 200 && high - low > 2e-16 * high; i++) {
    const middle = Math.sqrt(low * high);
    if (!(middle > low && middle < high)) break;
    if (tooLow(middle)) low = middle;
    else high = middle;
  }
  return Math.sqrt(low * high);
}

/** P(T ≤ t) of the non-central t with non-centrality `delta` (Lenth 1989, Appl Stat 38:185-189, AS 243); absolute error about 1e-12, |delta| ≤ 37. */
export function noncentralTCdf(t: number, df: number, delta: number): number {
  if (!(df > 0) || Number.isNaN(t + delta)) return Number.NaN;
  if (!(Math.abs(delta) <= 37)) return normalCdf((t * (1 - 1 / (4 * df)) - delta) / Math.sqrt(1 + (t * t) / (2 * df)));
  const flipped = t < 0;
  const d = flipped ? -delta : delta;
  const square = t * t;
  let sum = 0;
  if (square > 0) {
    const x = square / (square + df);
    const b = 0.5 * df;
    const lambda = d * d;
    let p = 0.5 * Math.exp(-0.5 * lambda);
    let q = Math.sqrt(2 / Math.PI) * p * d;
    let left = 0.5 - p;
    const tail = Math.exp(-b * Math.log1p(square / df));
    let a = 0.5;
    let odd = incompleteBeta(a, b, x, df / (square + df));
    let oddStep = 2 * tail * Math.exp(a * Math.log(x) - logBeta(0.5, b));
    let even = 1 - tail;
    let evenStep = b * x * tail;
    sum = p * odd + q * even;
    for (let n = 1; n < 20_000; n++) {
      a += 1;
      odd -= oddStep;
      even -= evenStep;
      oddStep *= (x * (a + b - 1)) / a;
      evenStep *= (x * (a + b - 0.5)) / (a + 0.5);
      p *= lambda / (2 * n);
      q *= lambda / (2 * n + 1);
      left -= p;
      sum += p * odd + q * even;
      if (2 * left * (odd - oddStep) < 1e-14 && n > 0.5 * lambda) break;
    }
  }
  sum += normalCdf(-d);
  const cdf = Math.min(1, Math.max(0, sum));
  return flipped ? 1 - cdf : cdf;
}

/** Chance that a two-sided t test at `alpha` calls a true difference of `difference_se` standard errors (non-central t, both tails). */
export function powerOfTTest(difference_se: number, df: number, alpha: number): number {
  const critical = tQuantile(1 - 0.5 * alpha, df);
  return 1 - noncentralTCdf(critical, df, difference_se) + noncentralTCdf(-critical, df, difference_se);
}

/** Smallest true difference, in standard errors, that a two-sided t test at `alpha` calls with chance `power` (above alpha, below 1). */
export function detectableDifference(df: number, alpha: number, power: number): number {
  if (!(df > 0) || !(power > alpha && power < 1 && alpha > 0)) return Number.NaN;
  let low = 0;
  let high = 4;
  while (powerOfTTest(high, df, alpha) < power && high < 1e6) high *= 2;
  for (let i = 0; i < 100 && high - low > 1e-12 * high; i++) {
    const middle = 0.5 * (low + high);
    if (powerOfTTest(middle, df, alpha) < power) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}

/** Hedges' small-sample factor J = Γ(ν/2) / (√(ν/2) Γ((ν − 1)/2)), ν > 1 degrees of freedom (Hedges 1981). */
export function hedgesFactor(df: number): number {
  return Math.exp(logGamma(0.5 * df) - logGamma(0.5 * (df - 1))) / Math.sqrt(0.5 * df);
}
