/** Many series read at the same times between frames: the weights of the six-point polynomials are worked out once for all of them. */

import {
  interpolatePoint,
  interpolatePointVelocity,
  interpolateRotation,
  interpolateValue,
  mixRotations,
  weightsWithoutGap,
} from './interpolate.ts';
import type { Workspace } from './workspace.ts';

const POINTS = 6;

/** Weights at times on one clock for series that lack no sample; where one lacks some, its own are made (`interpolateValue` and the like). */
export interface SampleWeights {
  readonly frames: number;
  readonly times_frames: Float64Array;
  /** First frame of each time's polynomial, −1 where it is outside or NaN. */
  readonly starts: Int32Array;
  /** Samples of a polynomial: six, fewer only where there are fewer frames. */
  readonly count: number;
  /** Six numbers a time: of values, and of derivatives per frame. */
  readonly values: Float64Array;
  readonly slopes: Float64Array;
}

const w = new Float64Array(POINTS);
const d = new Float64Array(POINTS);

/** The weights at times in frames from the first one; NaN is allowed and gives NaN. */
export function sampleWeights(times_frames: ArrayLike<number>, frames: number, ws: Workspace): SampleWeights {
  const n = times_frames.length;
  const made = {
    frames,
    times_frames: ws.float64(n),
    starts: new Int32Array(n),
    count: Math.min(POINTS, frames),
    values: ws.float64(POINTS * n),
    slopes: ws.float64(POINTS * n),
  };
  made.times_frames.set(times_frames);
  for (let i = 0; i < n; i++) {
    made.starts[i] = weightsWithoutGap(frames, times_frames[i]!, w, d);
    made.values.set(w, POINTS * i);
    made.slopes.set(d, POINTS * i);
  }
  return made;
}

function weighted(data: Float64Array, from: number, weights: Float64Array, o: number, count: number): number {
  let sum = 0;
  for (let k = 0; k < count; k++) sum += weights[o + k]! * data[from + k]!;
  return sum;
}

/** Value of the column that starts at `offset` at the time `i`, as `interpolateValue`. */
export function valueAtSample(at: SampleWeights, i: number, data: Float64Array, offset = 0): number {
  const start = at.starts[i]!;
  if (start < 0) return Number.NaN;
  const value = weighted(data, offset + start, at.values, POINTS * i, at.count);
  return Number.isNaN(value) ? interpolateValue(data, offset, at.frames, at.times_frames[i]!) : value;
}

/** A planar point at the time `i`, as `interpolatePoint`: NaN where it is missing. */
export function pointAtSample(at: SampleWeights, i: number, track: Float64Array, out3: Float64Array): void {
  const start = at.starts[i]!;
  const { frames, count, values } = at;
  out3[0] = start < 0 ? Number.NaN : weighted(track, start, values, POINTS * i, count);
  if (Number.isNaN(out3[0])) {
    interpolatePoint(track, frames, at.times_frames[i]!, out3);
    return;
  }
  out3[1] = weighted(track, frames + start, values, POINTS * i, count);
  out3[2] = weighted(track, 2 * frames + start, values, POINTS * i, count);
}

/** Velocity of a planar point at the time `i`, in units per second, as `interpolatePointVelocity`: NaN where it is missing. */
export function velocityAtSample(
  at: SampleWeights,
  i: number,
  track: Float64Array,
  rate_Hz: number,
  out3: Float64Array,
): void {
  const start = at.starts[i]!;
  const { frames, count, slopes } = at;
  out3[0] = start < 0 || count < 2 ? Number.NaN : rate_Hz * weighted(track, start, slopes, POINTS * i, count);
  if (Number.isNaN(out3[0])) {
    interpolatePointVelocity(track, frames, at.times_frames[i]!, rate_Hz, out3);
    return;
  }
  out3[1] = rate_Hz * weighted(track, frames + start, slopes, POINTS * i, count);
  out3[2] = rate_Hz * weighted(track, 2 * frames + start, slopes, POINTS * i, count);
}

/** Rotation at the time `i` of a series of nine numbers a frame, as `interpolateRotation`: NaN where it is missing. */
export function rotationAtSample(at: SampleWeights, i: number, ms: Float64Array, out: Float64Array, oo: number): void {
  const start = at.starts[i]!;
  const t_frames = at.times_frames[i]!;
  if (start >= 0 && mixRotations(ms, start, at.count, t_frames, at.values, POINTS * i, out, oo)) return;
  interpolateRotation(ms, at.frames, t_frames, out, oo);
}
