/** An angle as a polynomial of time, of the degree that its noise bears. */

import { choleskyInPlace, choleskySolveInPlace } from '../../numeric/leastSquares.ts';

const MOST_TERMS = 9;
export const LEAST_TERMS = 5;
/** Fewest samples beyond the number of coefficients. */
export const SPARE = 3;

export interface AnglePolynomial {
  terms: number;
  readonly c: Float64Array;
  /** Cholesky factor of the normal matrix. */
  readonly factor: Float64Array;
  /** Mean square residual over that of the noise; NaN where nothing could be fitted. */
  ratio: number;
  /** Whether that is what noise alone leaves. */
  agrees: boolean;
}

export function newAnglePolynomial(): AnglePolynomial {
  return {
    terms: LEAST_TERMS,
    c: new Float64Array(MOST_TERMS),
    factor: new Float64Array(MOST_TERMS * MOST_TERMS),
    ratio: Number.NaN,
    agrees: false,
  };
}

/** Value (0), rate (1) or bend (2) by x. */
export function derivative(p: AnglePolynomial, x: number, order: 0 | 1 | 2): number {
  let sum = 0;
  for (let k = p.terms - 1; k >= order; k--) {
    sum = sum * x + (order === 0 ? 1 : order === 1 ? k : k * (k - 1)) * p.c[k]!;
  }
  return sum;
}

const row = new Float64Array(MOST_TERMS);

/** Standard deviation of a derivative by x, per unit of the samples' noise. */
export function derivativeSd(p: AnglePolynomial, x: number, order: 1 | 2): number {
  const { terms, factor } = p;
  let power = 1;
  let sum = 0;
  for (let i = 0; i < terms; i++) {
    let v = 0;
    if (i >= order) {
      v = (order === 1 ? i : i * (i - 1)) * power;
      power *= x;
    }
    // |L⁻¹ g|² is gᵀ (L Lᵀ)⁻¹ g.
    for (let k = 0; k < i; k++) v -= factor[i * terms + k]! * row[k]!;
    v /= factor[i * terms + i]!;
    row[i] = v;
    sum += v * v;
  }
  return Math.sqrt(sum);
}

/** What no polynomial follows is noise too: the rate's standard deviation at the end of the samples, with all that is left over. */
export function rateDoubt(p: AnglePolynomial, sd: number): number {
  return Number.isNaN(p.ratio)
    ? Number.POSITIVE_INFINITY
    : sd * Math.sqrt(Math.max(1, p.ratio)) * derivativeSd(p, 1, 1);
}

/** Two standard deviations above what a mean square of so many residuals is expected to be. */
function bound(free: number): number {
  return 1 + 2 * Math.sqrt(2 / free);
}

/**
 * The polynomial of the lowest degree, 4 to 8, whose residual agrees with noise of `sd` through `n` samples `y` at `x`; where none does, the one whose
 * rate at x = 1 is least in doubt.
 */
export function fitAngle(p: AnglePolynomial, x: Float64Array, y: Float64Array, n: number, sd: number): void {
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let terms = LEAST_TERMS; terms <= Math.min(MOST_TERMS, n - SPARE); terms++) {
    fitTerms(p, x, y, n, sd, terms);
    if (p.agrees) return;
    const doubt = rateDoubt(p, sd);
    if (!(doubt < least)) continue;
    best = terms;
    least = doubt;
  }
  p.ratio = Number.NaN;
  if (best > 0) fitTerms(p, x, y, n, sd, best);
}

function fitTerms(p: AnglePolynomial, x: Float64Array, y: Float64Array, n: number, sd: number, terms: number): void {
  const { c, factor: a } = p;
  p.terms = terms;
  p.ratio = Number.NaN;
  p.agrees = false;
  a.fill(0);
  c.fill(0);
  for (let i = 0; i < n; i++) {
    let pr = 1;
    for (let r = 0; r < terms; r++) {
      c[r] = c[r]! + pr * y[i]!;
      let pc = pr;
      for (let k = 0; k <= r; k++) {
        a[r * terms + k] = a[r * terms + k]! + pc;
        pc *= x[i]!;
      }
      pr *= x[i]!;
    }
  }
  // The sums above fill row r with Σ x^(r + k), k ≤ r.
  if (!choleskyInPlace(a, terms)) return;
  choleskySolveInPlace(a, terms, c);
  let squares = 0;
  for (let i = 0; i < n; i++) {
    const e = y[i]! - derivative(p, x[i]!, 0);
    squares += e * e;
  }
  p.ratio = squares / ((n - terms) * sd * sd);
  p.agrees = p.ratio <= bound(n - terms);
}
