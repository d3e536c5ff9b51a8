/** Values between frames: local quintic (six-point) polynomials, rotations in the tangent space, crossings and extremes. */

import { expRotation, logRotation, mul3, mulT3 } from './rotationKernels.ts';

export { evaluateSpline, gapFillCubic, hermite, type SplineEnd, splineSlopes } from './cubicSpline.ts';

/** Points of a local polynomial. */
const POINTS = 6;
/** How far outside the bounds, in frames, the outer polynomial is carried on. */
const BEYOND = 1;

const weights = new Float64Array(POINTS);
const slopes = new Float64Array(POINTS);

/**
 * Lagrange weights at `t` for samples at start, start + 1 … (count of them): value = Σ w·x, derivative per frame = Σ d·x.
 * Exact for polynomials of degree count − 1.
 */
export function lagrangeWeights(start: number, count: number, t: number, w: Float64Array, d: Float64Array): void {
  for (let i = 0; i < count; i++) {
    let value = 1;
    let derivative = 0;
    for (let j = 0; j < count; j++) {
      if (j === i) continue;
      const span = i - j;
      const u = (t - start - j) / span;
      derivative = derivative * u + value / span;
      value *= u;
    }
    w[i] = value;
    d[i] = derivative;
  }
}

let windowStart = 0;
let windowCount = 0;

/** Chooses up to six present samples around `t`, as evenly as the bounds and the missing samples allow; false where there are none. */
function chooseWindow(isPresent: (frame: number) => boolean, t: number, from: number, to: number): boolean {
  if (!(t >= from - BEYOND && t <= to - 1 + BEYOND)) return false;
  let low = Math.min(Math.max(Math.floor(t), from), to - 1);
  let high = low;
  if (t > low && low + 1 < to) high = low + 1;
  if (!isPresent(low)) return false;
  if (high > low && !isPresent(high)) return false;
  while (high - low + 1 < POINTS) {
    const canLeft = low - 1 >= from && isPresent(low - 1);
    const canRight = high + 1 < to && isPresent(high + 1);
    if (canLeft && (!canRight || t - low <= high - t)) low -= 1;
    else if (canRight) high += 1;
    else break;
  }
  windowStart = low;
  windowCount = high - low + 1;
  return true;
}

function weighted(data: Float64Array, offset: number, w: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < windowCount; i++) sum += w[i]! * data[offset + windowStart + i]!;
  return sum;
}

function prepare(data: Float64Array, offset: number, t: number, from: number, to: number): boolean {
  if (!chooseWindow((f) => !Number.isNaN(data[offset + f]), t, from, to)) return false;
  lagrangeWeights(windowStart, windowCount, t, weights, slopes);
  return true;
}

/**
 * The polynomial at `t_frames` of a series of so many frames that lacks none: writes the weights of its samples to `w` and `d` as `lagrangeWeights`.
 * Returns the first of its min(6, frames) frames, or −1 where `t_frames` is more than one frame outside.
 */
export function weightsWithoutGap(frames: number, t_frames: number, w: Float64Array, d: Float64Array): number {
  if (!chooseWindow(() => true, t_frames, 0, frames)) return -1;
  lagrangeWeights(windowStart, windowCount, t_frames, w, d);
  return windowStart;
}

/**
 * Value at the sub-frame time `t_frames` of the column that starts at `offset`, by the polynomial through the six nearest present
 * samples inside [from, to) (fewer where there are fewer). NaN where a neighbour of `t_frames` is missing or `t_frames` is more than
 * one frame outside the bounds.
 */
export function interpolateValue(
  data: Float64Array,
  offset: number,
  frames: number,
  t_frames: number,
  from = 0,
  to = frames,
): number {
  return prepare(data, offset, t_frames, from, to) ? weighted(data, offset, weights) : Number.NaN;
}

/** Derivative per frame of the same polynomial: times the rate it is per second. */
export function interpolateDerivative(
  data: Float64Array,
  offset: number,
  frames: number,
  t_frames: number,
  from = 0,
  to = frames,
): number {
  return prepare(data, offset, t_frames, from, to) && windowCount > 1 ? weighted(data, offset, slopes) : Number.NaN;
}

/** A planar point at `t_frames`, as `interpolateValue`. Returns false, and NaN in `out3`, where it is missing. */
export function interpolatePoint(
  track: Float64Array,
  frames: number,
  t_frames: number,
  out3: number[] | Float64Array,
  from = 0,
  to = frames,
): boolean {
  const found = prepare(track, 0, t_frames, from, to);
  for (let c = 0; c < 3; c++) out3[c] = found ? weighted(track, c * frames, weights) : Number.NaN;
  return found && !Number.isNaN(out3[0]);
}

/** Velocity of a planar point at `t_frames`, in units per second. Returns false, and NaN in `out3`, where it is missing. */
export function interpolatePointVelocity(
  track: Float64Array,
  frames: number,
  t_frames: number,
  rate_Hz: number,
  out3: number[] | Float64Array,
  from = 0,
  to = frames,
): boolean {
  const found = prepare(track, 0, t_frames, from, to) && windowCount > 1;
  for (let c = 0; c < 3; c++) out3[c] = found ? rate_Hz * weighted(track, c * frames, slopes) : Number.NaN;
  return found && !Number.isNaN(out3[0]);
}

const relative = new Float64Array(9);
const tangent = new Float64Array(3);
const mixed = new Float64Array(3);

/**
 * Rotation at `t_frames` of a series of nine numbers a frame: rotation vectors of the six nearest present frames relative to the nearest
 * one, interpolated by their polynomial and put back, so the result is a rotation whatever the parametrisation. Never past [from, to).
 * Returns false, and NaN in `out`, where a neighbour is missing. The turn within the six frames must stay below π.
 */
export function interpolateRotation(
  ms: Float64Array,
  frames: number,
  t_frames: number,
  out: Float64Array,
  outOffset = 0,
  from = 0,
  to = frames,
): boolean {
  const isPresent = (f: number): boolean => {
    let sum = 0;
    for (let i = 0; i < 9; i++) sum += ms[9 * f + i]!;
    return !Number.isNaN(sum);
  };
  if (!chooseWindow(isPresent, t_frames, from, to)) {
    for (let i = 0; i < 9; i++) out[outOffset + i] = Number.NaN;
    return false;
  }
  lagrangeWeights(windowStart, windowCount, t_frames, weights, slopes);
  return mixRotations(ms, windowStart, windowCount, t_frames, weights, 0, out, outOffset);
}

/**
 * The rotation at `t_frames` from `count` rotations from frame `start` on, with the weights of `lagrangeWeights` from `w[wo]` on, as `interpolateRotation`.
 * Returns false, and writes nothing, where one of them is missing.
 */
export function mixRotations(
  ms: Float64Array,
  start: number,
  count: number,
  t_frames: number,
  w: Float64Array,
  wo: number,
  out: Float64Array,
  outOffset: number,
): boolean {
  const nearest = Math.min(Math.max(Math.round(t_frames), start), start + count - 1);
  let x = 0;
  let y = 0;
  let z = 0;
  for (let i = 0; i < count; i++) {
    // the nearest has no turn against itself
    if (start + i === nearest) continue;
    mulT3(ms, 9 * nearest, ms, 9 * (start + i), relative, 0);
    logRotation(relative, 0, tangent);
    const weight = w[wo + i]!;
    x += weight * tangent[0]!;
    y += weight * tangent[1]!;
    z += weight * tangent[2]!;
  }
  if (Number.isNaN(x + y + z + ms[9 * nearest]!)) return false;
  mixed[0] = x;
  mixed[1] = y;
  mixed[2] = z;
  expRotation(mixed, relative, 0);
  mul3(ms, 9 * nearest, relative, 0, out, outOffset);
  return true;
}

/** Where a series passes a level. */
export interface Crossing {
  /** Sub-frame time in frames from the start of the series. */
  readonly t_frames: number;
  readonly rising: boolean;
}

/**
 * All crossings of `level` inside [from, to), in order of time: between samples on different sides (a sample on the level counts as
 * above), refined on the six-point polynomial. Nothing is found across a missing sample.
 */
export function findCrossings(series: Float64Array, level: number, from = 0, to = series.length): Crossing[] {
  const found: Crossing[] = [];
  for (let f = from; f + 1 < to; f++) {
    const a = series[f]! - level;
    const b = series[f + 1]! - level;
    if (Number.isNaN(a + b) || a >= 0 === b >= 0) continue;
    const root = bisect((t) => interpolateValue(series, 0, series.length, t, from, to) - level, f, f + 1, a, b);
    found.push({ t_frames: root, rising: b >= 0 });
  }
  return found;
}

/** Root in [low, high] of a function with the given, different signs there: regula falsi (Illinois) with bisection as its guard. */
function bisect(value: (t: number) => number, low: number, high: number, atLow: number, atHigh: number): number {
  let a = low;
  let b = high;
  let fa = atLow;
  let fb = atHigh;
  if (fa === 0) return a;
  if (fb === 0) return b;
  let side = 0;
  for (let i = 0; i < 200 && b - a > 1e-13 * Math.max(1, Math.abs(a)); i++) {
    let t = i % 4 === 3 ? 0.5 * (a + b) : (fa * b - fb * a) / (fa - fb);
    if (!(t > a && t < b)) t = 0.5 * (a + b);
    const ft = value(t);
    if (ft === 0) return t;
    if (ft > 0 === fa > 0) {
      a = t;
      fa = ft;
      if (side === -1) fb *= 0.5;
      side = -1;
    } else {
      b = t;
      fb = ft;
      if (side === 1) fa *= 0.5;
      side = 1;
    }
  }
  return 0.5 * (a + b);
}

/** The largest or smallest value of a series. */
export interface Extremum {
  readonly t_frames: number;
  readonly value: number;
  /** The extreme lies on the first or last present sample beside a bound or gap: the series may go on beyond it. */
  readonly atEnd: boolean;
}

/**
 * Largest (`max`) or smallest (`min`) value inside [from, to): the extreme sample (the first of equals), then the zero of the derivative of
 * the six-point polynomial around it. Null where no sample is present.
 */
export function findExtremum(series: Float64Array, kind: 'max' | 'min', from = 0, to = series.length): Extremum | null {
  const way = kind === 'max' ? 1 : -1;
  let best = -1;
  for (let f = from; f < to; f++) {
    const value = way * series[f]!;
    if (!Number.isNaN(value) && (best < 0 || value > way * series[best]!)) best = f;
  }
  if (best < 0) return null;
  const here = series[best]!;
  const before = best > from ? series[best - 1]! : Number.NaN;
  const after = best + 1 < to ? series[best + 1]! : Number.NaN;
  if (Number.isNaN(before + after)) return { t_frames: best, value: here, atEnd: true };
  const side = way * after > way * before ? 0.25 : -0.25;
  if (!prepare(series, 0, best + side, from, to)) return { t_frames: best, value: here, atEnd: false };
  const slopeAt = (t: number): number => {
    lagrangeWeights(windowStart, windowCount, t, weights, slopes);
    return weighted(series, 0, slopes);
  };
  const low = slopeAt(best - 1);
  const high = slopeAt(best + 1);
  if (!(way * low > 0 && way * high < 0)) return { t_frames: best, value: here, atEnd: false };
  const root = bisect(slopeAt, best - 1, best + 1, low, high);
  lagrangeWeights(windowStart, windowCount, root, weights, slopes);
  return { t_frames: root, value: weighted(series, 0, weights), atEnd: false };
}
