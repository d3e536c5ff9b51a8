/** Local polynomials through a noisy series: value, rate and bend at sub-frame times, from the widest window that noise allows. */

import { choleskyInPlace, choleskySolveInPlace } from '../../numeric/leastSquares.ts';
import { polynomialAt, polynomialSums, residualSquares } from '../../numeric/polynomialFit.ts';

/** Six coefficients at most: a quintic, exact through six samples. */
const TERMS = 6;
const FEWEST = 6;
/** Coefficients for noisy series: a quintic for values, a cubic for turning points, whose rate a quintic leaves three times as noisy. */
export const FOR_VALUES = 6;
export const FOR_TURNING = 6;
/** Variance of a sixth difference of white noise of variance 1: Σ of squared binomials of 6. */
const SIXTH_DIFFERENCE = 924;
/** Smallest noise that is told from rounding. */
const SMALLEST = 1e-12;

/** A local quintic around a frame. `x` is frames from `centre` over `half`. */
export interface LocalFit {
  centre: number;
  half: number;
  count: number;
  /** Coefficients in use. */
  terms: number;
  /** The noise of neighbouring samples is one (filtered): the fit does not reduce it. */
  isWhite: boolean;
  readonly coefficients: Float64Array;
  /** Lower triangle: Cholesky factor of the normal matrix. */
  readonly factor: Float64Array;
  /** Standard deviation of the samples that the fit's own uncertainty is made of. */
  sigma: number;
}

/** Room for one fit; reused for every crossing of a trial. */
export function newLocalFit(): LocalFit {
  return {
    centre: 0,
    half: 1,
    count: 0,
    terms: TERMS,
    isWhite: true,
    coefficients: new Float64Array(TERMS),
    factor: new Float64Array(TERMS * TERMS),
    sigma: 0,
  };
}

const BLOCK = 12;
const MOST_BLOCKS = 32;
const blocks = new Float64Array(MOST_BLOCKS);

/**
 * White noise of a series between two frames: root mean square of its sixth differences over √924 in blocks of 12, the (lower) median of the
 * blocks, so that a fast stretch does not count. 0 where there are too few samples.
 */
export function whiteNoiseOf(series: Float64Array, from: number, to: number): number {
  let n = 0;
  for (let start = Math.max(3, from + 3); start + BLOCK + 3 <= to && n < MOST_BLOCKS; start += BLOCK) {
    let sum = 0;
    for (let i = start; i < start + BLOCK; i++) {
      const d =
        series[i - 3]! +
        series[i + 3]! -
        6 * (series[i - 2]! + series[i + 2]!) +
        15 * (series[i - 1]! + series[i + 1]!) -
        20 * series[i]!;
      sum += d * d;
    }
    if (Number.isNaN(sum)) continue;
    // Kept sorted by insertion.
    let k = n;
    while (k > 0 && blocks[k - 1]! > sum) {
      blocks[k] = blocks[k - 1]!;
      k -= 1;
    }
    blocks[k] = sum;
    n += 1;
  }
  return n === 0 ? 0 : Math.sqrt(blocks[(n - 1) >> 1]! / (BLOCK * SIXTH_DIFFERENCE));
}

/** Fits the samples of [from, to] that are present; false where there are fewer than six. Returns the residual's sum of squares in `sigma`. */
function fitWindow(series: Float64Array, from: number, to: number, fit: LocalFit): boolean {
  const centre = (from + to) / 2;
  const half = Math.max(1, (to - from) / 2);
  const a = fit.factor;
  const terms = fit.terms;
  const b = fit.coefficients;
  const count = polynomialSums(series, from, to, centre, half, terms, a, b);
  fit.centre = centre;
  fit.half = half;
  fit.count = count;
  if (count < FEWEST || !choleskyInPlace(a, terms)) return false;
  choleskySolveInPlace(a, terms, b);
  fit.sigma = residualSquares(series, from, to, centre, half, b, terms);
  return true;
}

/**
 * The quintic around `frame` within [from, to), by least squares over the widest window (at most `widest_s` to each side) whose residual
 * agrees with the white noise of the series, never fewer than six samples. A series without white noise (filtered, or clean) is
 * interpolated through six. `noise` is the track's standard deviation; the fit's uncertainty uses it, and where the noise is not white
 * (filtered) the fit does not reduce it. False where six samples are not there.
 */
export function fitAround(
  series: Float64Array,
  frame: number,
  from: number,
  to: number,
  rate_Hz: number,
  noise: number,
  widest_s: number,
  noisyTerms: number,
  fit: LocalFit,
): boolean {
  const middle = Math.round(frame - 0.5);
  const widest = Math.max(2, Math.round(widest_s * rate_Hz));
  const low = Math.max(from, middle - widest - 12);
  const high = Math.min(to, middle + widest + 14);
  const white = Math.max(whiteNoiseOf(series, low, high), SMALLEST);
  const known = Number.isFinite(noise) ? noise : white;
  const isWhite = white > 0.4 * known;
  const level = isWhite ? Math.max(white, known) : white;
  for (let width = isWhite ? widest : 2; ; width = Math.floor(width * 0.8)) {
    if (width < 2) width = 2;
    let a = Math.max(from, middle - width);
    let b = Math.min(to - 1, middle + 1 + width);
    // Near a bound the window grows on the other side until it holds six samples.
    while (presentIn(series, a, b) < FEWEST && (a > from || b < to - 1)) {
      if (a > from && (b >= to - 1 || middle - a <= b - middle)) a -= 1;
      else b += 1;
      if (b - a > 4 * widest + 8) break;
    }
    fit.terms = isWhite && width > 2 ? noisyTerms : TERMS;
    if (!fitWindow(series, a, b, fit)) {
      if (width === 2) return false;
      continue;
    }
    const free = fit.count - fit.terms;
    // Three standard deviations of a mean square of so many residuals.
    const agrees = free <= 0 || fit.sigma <= free * level * level * (1 + 3 * Math.sqrt(2 / free));
    if (agrees || width === 2) {
      fit.sigma = isWhite ? level : known;
      fit.isWhite = isWhite;
      return true;
    }
  }
}

function presentIn(series: Float64Array, a: number, b: number): number {
  let n = 0;
  for (let f = a; f <= b; f++) if (!Number.isNaN(series[f])) n += 1;
  return n;
}

/** Value (order 0), rate per frame (1) or bend per frame² (2) of the fit at a sub-frame time. */
export function fitted(fit: LocalFit, frame: number, order: 0 | 1 | 2): number {
  const scale = order === 0 ? 1 : order === 1 ? 1 / fit.half : 1 / (fit.half * fit.half);
  return scale * polynomialAt(fit.coefficients, fit.terms, (frame - fit.centre) / fit.half, order);
}

const row = new Float64Array(TERMS);

/** Standard deviation of that value from the noise of the samples. */
export function sdOf(fit: LocalFit, frame: number, order: 0 | 1): number {
  if (order === 0 && !fit.isWhite) return fit.sigma;
  const { terms } = fit;
  const x = (frame - fit.centre) / fit.half;
  const scale = order === 0 ? 1 : 1 / fit.half;
  let power = 1;
  row.fill(0);
  for (let k = order; k < terms; k++) {
    row[k] = scale * (order === 0 ? 1 : k) * power;
    power *= x;
  }
  // |L⁻¹ g|² is gᵀ (L Lᵀ)⁻¹ g.
  let sum = 0;
  for (let i = 0; i < terms; i++) {
    let v = row[i]!;
    for (let k = 0; k < i; k++) v -= fit.factor[i * terms + k]! * row[k]!;
    v /= fit.factor[i * terms + i]!;
    row[i] = v;
    sum += v * v;
  }
  return fit.sigma * Math.sqrt(sum);
}

/**
 * Where the value (order 0) or the rate per frame (order 1) of the fit equals `level`, nearest to `seed` and at most `reach` frames from it.
 * NaN where there is no such place.
 */
export function rootNear(fit: LocalFit, seed: number, reach: number, order: 0 | 1, level: number): number {
  const at = (t: number): number => fitted(fit, t, order) - level;
  const parts = Math.max(4, Math.ceil(4 * reach));
  const centre = at(seed);
  if (centre === 0) return seed;
  for (let i = 0; i < parts; i++) {
    const near = (reach * i) / parts;
    const far = (reach * (i + 1)) / parts;
    for (const way of [1, -1]) {
      const a = seed + way * near;
      const b = seed + way * far;
      if (at(a) >= 0 !== at(b) >= 0) return halve(at, a, b);
    }
  }
  return Number.NaN;
}

function halve(f: (t: number) => number, from: number, to: number): number {
  let a = from;
  let b = to;
  const sign = f(a) >= 0;
  for (let i = 0; i < 60 && Math.abs(b - a) > 1e-10; i++) {
    const m = (a + b) / 2;
    if (f(m) >= 0 === sign) a = m;
    else b = m;
  }
  return (a + b) / 2;
}
