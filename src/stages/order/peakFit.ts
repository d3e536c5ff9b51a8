/** The highest place of a noisy series: a polynomial by least squares around it, and what the noise does to place and height. */

import { choleskyInPlace, choleskySolveInPlace } from '../../numeric/leastSquares.ts';
import { STENCIL } from './speedSeries.ts';

const TERMS = 5;
/** Five samples, where there is no noise to be smoothed. */
const LEAST_HALF = 2;
const FEWEST = 5;

/** Where noise of the series comes from. */
export type SeriesNoise =
  /** Angles of this standard deviation, rad, whose correlation at k frames is `correlation[k]` (null: none), differentiated by the stencil. */
  | { readonly kind: 'angles'; readonly sd_rad: number; readonly correlation: Float64Array | null }
  /** White noise of the series itself. */
  | { readonly kind: 'white'; readonly sd: number };

export interface FittedPeak {
  /** In frames of the series. */
  readonly at: number;
  readonly value: number;
  /** NaN where the noise is not known. */
  readonly atSd: number;
  readonly valueSd: number;
  /** The series still rises at the end of the stretch that is searched. */
  readonly rising: boolean;
  /** Slope by frames where it does; otherwise 0. */
  readonly rise: number;
  /** Frames to another peak that the noise cannot tell from the highest; 0 where there is none. */
  readonly rival: number;
}

const normal = new Float64Array(TERMS * TERMS);
const coefficients = new Float64Array(TERMS);
const row = new Float64Array(TERMS);
let weights = new Float64Array(256);

/** Value (0), slope (1) or bend (2) by x. */
function polynomial(x: number, order: 0 | 1 | 2): number {
  let sum = 0;
  for (let k = TERMS - 1; k >= order; k--) {
    sum = sum * x + (order === 0 ? 1 : order === 1 ? k : k * (k - 1)) * coefficients[k]!;
  }
  return sum;
}

/** Mean square of the residuals; NaN where there are fewer than five samples. */
function fitAround(series: Float64Array, a: number, b: number, centre: number, half: number): number {
  normal.fill(0);
  coefficients.fill(0);
  let count = 0;
  for (let i = a; i <= b; i++) {
    const y = series[i]!;
    if (Number.isNaN(y)) continue;
    count += 1;
    const x = (i - centre) / half;
    let pr = 1;
    for (let r = 0; r < TERMS; r++) {
      coefficients[r] = coefficients[r]! + pr * y;
      let pc = pr;
      for (let c = 0; c <= r; c++) {
        normal[r * TERMS + c] = normal[r * TERMS + c]! + pc;
        pc *= x;
      }
      pr *= x;
    }
  }
  if (count < FEWEST) return Number.NaN;
  // The sums above fill row r with Σ x^(r + c), c ≤ r.
  if (!choleskyInPlace(normal, TERMS)) return Number.NaN;
  choleskySolveInPlace(normal, TERMS, coefficients);
  let squares = 0;
  for (let i = a; i <= b; i++) {
    const y = series[i]!;
    if (Number.isNaN(y)) continue;
    const e = y - polynomial((i - centre) / half, 0);
    squares += e * e;
  }
  return squares / Math.max(1, count - TERMS);
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
function sampleSd(noise: SeriesNoise, rate_Hz: number): number {
  if (noise.kind === 'white') return noise.sd;
  for (let k = 0; k < 5; k++) weights[k] = STENCIL[k]! * rate_Hz;
  return noise.sd_rad * Math.sqrt(Math.max(0, varianceOf(weights, 5, noise.correlation)));
}

/** Standard deviation of the fit's value (0) or slope by frames (1) at `at`, from the samples of [a, b]. */
function fitSd(
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

/** Where the fitted curve is highest in [from, to]; `end` where it still rises there; NaN where it only falls or rises on beyond `to` short of `end`. */
function highest(top: number, half: number, from: number, to: number, end: number): number {
  const value = (t: number): number => polynomial((t - top) / half, 0);
  const slope = (t: number): number => polynomial((t - top) / half, 1);
  const steps = Math.max(4, Math.ceil(2 * (to - from)));
  const step = (to - from) / steps;
  let best = from;
  for (let i = 1; i <= steps; i++) if (value(from + step * i) > value(best)) best = from + step * i;
  let left = Math.max(from, best - step);
  let right = Math.min(to, best + step);
  if (slope(left) <= 0) return Number.NaN;
  if (slope(right) > 0) return right >= end ? end : Number.NaN;
  for (let i = 0; i < 50 && right - left > 1e-10; i++) {
    const middle = (left + right) / 2;
    if (slope(middle) > 0) left = middle;
    else right = middle;
  }
  return (left + right) / 2;
}

/** A fit passes where its mean square residual is no more than the variance of a sample's noise: a quartic follows smoothed noise in part. */
const AGREES = 1;

/**
 * The highest place of `series` in [low, high] (frames of the series, fractions allowed), near the sample `top`. A quartic through the widest
 * stretch, at most `widest` frames to each side, whose residual agrees with the noise, never fewer than five frames; then once more with
 * the stretch about the place found. Null where there are fewer than five samples, or the series is highest at `low`: no peak.
 */
export function peakAround(
  series: Float64Array,
  top: number,
  low: number,
  high: number,
  widest: number,
  noise: SeriesNoise,
  rate_Hz: number,
): FittedPeak | null {
  const level = sampleSd(noise, rate_Hz);
  let half = level > 0 ? Math.max(LEAST_HALF, widest) : LEAST_HALF;
  let centre = top;
  for (let moves = 0; ; ) {
    const a = Math.max(0, centre - half);
    const b = Math.min(series.length - 1, centre + half);
    const isLast = half === LEAST_HALF;
    const meanSquare = fitAround(series, a, b, centre, half);
    if (meanSquare <= AGREES * level * level || (isLast && !Number.isNaN(meanSquare))) {
      const at = highest(centre, half, Math.max(low, centre - 0.7 * half), Math.min(high, centre + 0.7 * half), high);
      const nearest = Math.round(at);
      if (nearest !== centre && moves < MOST_MOVES) {
        moves += 1;
        if (!Number.isNaN(at)) {
          centre = nearest;
          continue;
        }
      } else if (!Number.isNaN(at)) {
        const peak = peakOf(series, a, b, centre, half, at, at >= high, noise, rate_Hz);
        return { ...peak, rival: rivalOf(series, peak, low, high, centre, level) };
      }
    }
    if (isLast) return null;
    half = Math.max(LEAST_HALF, Math.floor(0.8 * half));
    // Back to the fastest sample: a wider fit may have led away from it to where nothing peaks.
    centre = top;
    moves = 0;
  }
}

const MOST_MOVES = 3;

/**
 * Frames from the peak to the farthest other maximum of the series in [low, high] that lies no more than two standard deviations of the
 * difference below it, with a valley between them that is deeper than the noise.
 */
function rivalOf(
  series: Float64Array,
  { at, value, valueSd }: Omit<FittedPeak, 'rival'>,
  low: number,
  high: number,
  centre: number,
  level: number,
): number {
  const least = value - 2 * Math.SQRT2 * valueSd;
  let far = 0;
  for (const way of [1, -1]) {
    let valley = value;
    for (let i = centre + way; i >= Math.max(1, low) && i <= Math.min(series.length - 2, high); i += way) {
      const y = series[i]!;
      if (y < valley) valley = y;
      const isTop = y >= series[i - 1]! && y >= series[i + 1]!;
      if (isTop && y >= least && y - valley > level) far = Math.max(far, Math.abs(i - at));
    }
  }
  return far;
}

function peakOf(
  series: Float64Array,
  a: number,
  b: number,
  top: number,
  half: number,
  at: number,
  rising: boolean,
  noise: SeriesNoise,
  rate_Hz: number,
): Omit<FittedPeak, 'rival'> {
  const x = (at - top) / half;
  const bend = polynomial(x, 2) / (half * half);
  return {
    at,
    value: polynomial(x, 0),
    atSd: rising ? 0 : fitSd(series, a, b, top, half, at, 1, noise, rate_Hz) / Math.abs(bend),
    valueSd: fitSd(series, a, b, top, half, at, 0, noise, rate_Hz),
    rising,
    rise: rising ? polynomial(x, 1) / half : 0,
  };
}
