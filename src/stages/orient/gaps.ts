/** Steps between samples that are too long, and what clipped samples may hide. */

import { CLIPPED_GYRO, type SensorTrack } from '../../model/sensors.ts';
import { stepDoubt } from '../../numeric/strapdown.ts';
import { STILL, type StillSearch, stillStretches } from '../shared/stillSensors.ts';
import type { Samples } from './samples.ts';

/** Longer steps are not bridged: in 0.1 s a chest turns through 60°, and a cubic through its rates errs by degrees. */
export const LONGEST_STEP_s = 0.1;
/** A step of more samples than this is a gap. */
const USUAL_STEPS = 1.5;

/** Steps k (from sample k − 1 to k) over which no angular velocity is known and none can be put. */
export interface Gaps {
  /** The range [from, to) of samples around the anchor that is not cut. */
  readonly from: number;
  readonly to: number;
  /** Length of the step that cut it, s; 0 where none did, and where the distance from the anchor did. */
  readonly before_s: number;
  readonly after_s: number;
  /** Number and longest of bridged gaps, s. */
  readonly bridged: number;
  readonly longest_s: number;
}

/**
 * A step over 0.1 s cuts, unless the sensor is still on both sides: then it is taken to have stayed still. So does the time `far_s` from the
 * anchor.
 */
export function gapsAround(
  search: StillSearch,
  { count, times_s, source }: Samples,
  anchor: number,
  far_s: number,
): Gaps {
  const usual = USUAL_STEPS / search.track.rate_Hz;
  const still = stillStretches(search, STILL);
  const ends = new Set(still.map(({ to }) => to - 1));
  const begins = new Set(still.map(({ from }) => from));
  const cuts = (k: number): boolean =>
    times_s[k]! - times_s[k - 1]! > LONGEST_STEP_s && !(ends.has(source[k - 1]!) && begins.has(source[k]!));
  const far = (k: number): boolean => Math.abs(times_s[k]! - times_s[anchor]!) > far_s;
  let from = anchor;
  while (from > 0 && !far(from - 1) && !cuts(from)) from -= 1;
  let to = anchor + 1;
  while (to < count && !far(to) && !cuts(to)) to += 1;
  let bridged = 0;
  let longest_s = 0;
  for (let k = from + 1; k < to; k++) {
    const step = times_s[k]! - times_s[k - 1]!;
    if (step <= usual) continue;
    bridged += 1;
    longest_s = Math.max(longest_s, step);
  }
  return {
    from,
    to,
    before_s: from > 0 && !far(from - 1) ? times_s[from]! - times_s[from - 1]! : 0,
    after_s: to < count && !far(to) ? times_s[to]! - times_s[to - 1]! : 0,
    bridged,
    longest_s,
  };
}

/** Sum of what bridged gaps of samples [from, to) may hide, rad. */
export function gapDoubt({ track }: StillSearch, { count, times_s, w }: Samples, from: number, to: number): number {
  const usual = USUAL_STEPS / track.rate_Hz;
  let sum = 0;
  for (let k = from + 1; k < to; k++) {
    if (times_s[k]! - times_s[k - 1]! > usual) sum += stepDoubt(times_s, w, count, k);
  }
  return sum;
}

/** All three axes of a gyro have one limit; a bias of up to 3 % of it has been taken off. */
const AT_LIMIT = 0.97;

/**
 * Angle that clipped gyro samples of [from, to) may hide, rad: a peak lies below the tangents of its two flanks, so for each axis at its limit
 * the triangle under them; where a flank is not there, half the limit over that time. First clipped time, or null.
 */
export function clippedAngle(
  track: SensorTrack,
  { count, times_s, source, w }: Samples,
  from: number,
  to: number,
): { readonly angle_rad: number; readonly first_s: number | null } {
  const isClipped = (k: number): boolean => (track.clipped[source[k]!]! & CLIPPED_GYRO) !== 0;
  let first_s: number | null = null;
  let limit = 0;
  for (let k = from; k < to; k++) {
    if (!isClipped(k)) continue;
    first_s ??= times_s[k]!;
    for (let c = 0; c < 3; c++) limit = Math.max(limit, Math.abs(w[c * count + k]!));
  }
  if (first_s === null) return { angle_rad: 0, first_s };
  let squares = 0;
  for (let c = 0; c < 3; c++) {
    const o = c * count;
    let angle = 0;
    for (let k = from; k < to; k++) {
      const sign = w[o + k]! > 0 ? 1 : -1;
      const atLimit = (i: number): boolean => i < to && isClipped(i) && sign * w[o + i]! >= AT_LIMIT * limit;
      if (!atLimit(k)) continue;
      let end = k + 1;
      while (atLimit(end)) end += 1;
      angle += hiddenAngle(times_s, w, o, count, k, end, sign);
      k = end;
    }
    squares += angle * angle;
  }
  return { angle_rad: Math.sqrt(squares), first_s };
}

/** Samples [k, end) of one axis at its limit: the area between the limit and the tangents of the samples before and after. */
function hiddenAngle(
  times: Float64Array,
  w: Float64Array,
  o: number,
  n: number,
  k: number,
  end: number,
  sign: number,
): number {
  let level = 0;
  for (let i = k; i < end; i++) level = Math.max(level, sign * w[o + i]!);
  const span_s = times[Math.min(n - 1, end)]! - times[Math.max(0, k - 1)]!;
  if (k < 2 || end + 1 >= n) return 0.5 * level * span_s;
  const up = (sign * (w[o + k - 1]! - w[o + k - 2]!)) / (times[k - 1]! - times[k - 2]!);
  const down = (sign * (w[o + end]! - w[o + end + 1]!)) / (times[end + 1]! - times[end]!);
  if (!(up > 0 && down > 0)) return 0.5 * level * span_s;
  // Where the tangents reach the level, then the triangle above it.
  const a = times[k - 1]! + (level - sign * w[o + k - 1]!) / up;
  const b = times[end]! - (level - sign * w[o + end]!) / down;
  return b > a ? (0.5 * (b - a) * (b - a) * up * down) / (up + down) : 0;
}
