/** A quartic through a stretch of a noisy series by least squares, one at a time, and what the noise does to it. */

import { choleskyInPlace, choleskySolveInPlace } from '../../numeric/leastSquares.ts';
import { polynomialAt, polynomialSums, residualSquares } from '../../numeric/polynomialFit.ts';
import { STENCIL } from './speedSeries.ts';

export const TERMS = 5;
const FEWEST = 5;

/** Where noise of the series comes from. */
export type SeriesNoise =
  /** Angles of this standard deviation, rad, whose correlation at k frames is `correlation[k]` (null: none), differentiated by the stencil. */
  | { readonly kind: 'angles'; readonly sd_rad: number; readonly correlation: Float64Array | null }
  /** White noise of the series itself. */
  | { readonly kind: 'white'; readonly sd: number };

const normal = new Float64Array(TERMS * TERMS);
const coefficients = new Float64Array(TERMS);
const row = new Float64Array(TERMS);
let weights = new Float64Array(256);

/** Value (0), slope (1) or bend (2) by x of the last fit. */
export function polynomial(x: number, order: 0 | 1 | 2): number {
  return polynomialAt(coefficients, TERMS, x, order);
}

/** Mean square of the residuals; NaN where there are fewer than five samples. */
export function fitAround(series: Float64Array, a: number, b: number, centre: number, half: number): number {
  const count = polynomialSums(series, a, b, centre, half, TERMS, normal, coefficients);
  if (count < FEWEST || !choleskyInPlace(normal, TERMS)) return Number.NaN;
  choleskySolveInPlace(normal, TERMS, coefficients);
  return residualSquares(series, a, b, centre, half, coefficients, TERMS) / Math.max(1, count - TERMS);
}

/** Variance of Σ weight · angle. */
function varianceOf(u: Float64Array, n: number, correlation: Float64Array | null): number {
  let sum = 0;
  for (let i = 0; i < n; i++) sum += u[i]! * u[i]!;
  if (correlation === null) return sum;
  let cross = 0;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) cross += u[i]! * u[j]! * (correlation[i - j] ?? 0);
  }
  return sum + 2 * cross;
}

/** Standard deviation of one sample of the series. */
export function sampleSd(noise: SeriesNoise, rate_Hz: number): number {
  if (noise.kind === 'white') return noise.sd;
  for (let k = 0; k < 5; k++) weights[k] = STENCIL[k]! * rate_Hz;
  return noise.sd_rad * Math.sqrt(Math.max(0, varianceOf(weights, 5, noise.correlation)));
}

/** Standard deviation of the fit's value (0) or slope by frames (1) at `at`, from the samples of [a, b]. */
export function fitSd(
  series: Float64Array,
  a: number,
  b: number,
  centre: number,
  half: number,
  at: number,
  order: 0 | 1,
  noise: SeriesNoise,
  rate_Hz: number,
): number {
  const x = (at - centre) / half;
  let power = 1;
  row.fill(0);
  for (let k = order; k < TERMS; k++) {
    row[k] = (order === 0 ? 1 : k / half) * power;
    power *= x;
  }
  choleskySolveInPlace(normal, TERMS, row);
  const n = b - a + 5;
  if (weights.length < n) weights = new Float64Array(2 * n);
  weights.fill(0, 0, n);
  let white = 0;
  for (let i = a; i <= b; i++) {
    if (Number.isNaN(series[i])) continue;
    let weight = 0;
    power = 1;
    for (let k = 0; k < TERMS; k++) {
      weight += row[k]! * power;
      power *= (i - centre) / half;
    }
    white += weight * weight;
    for (let k = 0; k < 5; k++) weights[i - a + k] = weights[i - a + k]! + weight * STENCIL[k]! * rate_Hz;
  }
  if (noise.kind === 'white') return noise.sd * Math.sqrt(white);
  return noise.sd_rad * Math.sqrt(Math.max(0, varianceOf(weights, n, noise.correlation)));
}
