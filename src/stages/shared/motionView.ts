/** A motion as bare arrays, at its own frames or at chosen moments: what readings are computed from. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { ImpactFrames } from '../../model/delivery.ts';
import type { DirectionId, Motion, PointId, SegmentId } from '../../model/motion.ts';
import type { Track } from '../../model/track.ts';
import { interpolatePoint } from '../../numeric/interpolate.ts';
import { angularVelocity, meanRotation } from '../../numeric/rotation.ts';
import {
  pointAtSample,
  rotationAtSample,
  type SampleWeights,
  sampleWeights,
  valueAtSample,
} from '../../numeric/sampleWeights.ts';
import type { Workspace } from '../../numeric/workspace.ts';

/** Arrays are laid out as in Track: rotations nine numbers a sample, the others planar columns of `samples`. NaN where missing. */
export interface MotionView {
  readonly samples: number;
  pose(segment: SegmentId): Avail<Float64Array>;
  direction(line: DirectionId): Avail<Float64Array>;
  point(id: PointId): Avail<Float64Array>;
  /** Angular velocity about the segment's own long axis, rad/s, one number a sample: as a gyro measures it, else from the rotation. */
  rate(segment: SegmentId): Avail<Float64Array>;
}

/** A moment in frames from the first stored one; with `window`, the mean over the frames inside [from, to] instead of the instant. */
export interface SampleTime {
  readonly t_frames: number;
  readonly window: readonly [number, number] | null;
}

/** Moments with the weights of what is read between frames. */
export interface SampleTimes {
  readonly times: readonly SampleTime[];
  readonly weights: SampleWeights;
}

export function sampleTimes(times: readonly SampleTime[], frames: number, ws: Workspace): SampleTimes {
  return {
    times,
    weights: sampleWeights(
      times.map(({ t_frames }) => t_frames),
      frames,
      ws,
    ),
  };
}

function remember<K, T>(make: (key: K) => Avail<T>): (key: K) => Avail<T> {
  const made = new Map<K, Avail<T>>();
  return (key) => {
    let value = made.get(key);
    if (value === undefined) {
      value = make(key);
      made.set(key, value);
    }
    return value;
  };
}

function mapAvail<T, U>(from: Avail<T>, make: (value: T) => U): Avail<U> {
  return from.ok ? present(make(from.value)) : from;
}

/** The pose of a segment; a motion without one in its map says nothing of that segment. */
export function poseOf(motion: Motion, segment: SegmentId): Avail<Track<9>> {
  return motion.poses.get(segment) ?? absent('landmark-missing', `the ${segment.replaceAll('_', ' ')}`);
}

function directionOf(motion: Motion, line: DirectionId): Avail<Track<3>> {
  return motion.directions.get(line) ?? absent('landmark-missing', `the ${line.replaceAll('_', ' ')}`);
}

/** The motion at its own frames; nothing is copied. */
export function viewOfMotion(motion: Motion, ws: Workspace): MotionView {
  const { frames } = motion.clock;
  const data = <D extends 3 | 9>(track: Track<D>): Float64Array => track.data;
  return {
    samples: frames,
    pose: (segment) => mapAvail(poseOf(motion, segment), data),
    direction: (line) => mapAvail(directionOf(motion, line), data),
    point: (id) => mapAvail(motion.points.get(id)!, data),
    rate: remember((segment) => rateWithin(motion, segment, [0, frames], ws)),
  };
}

/** The frames [from, to) of a motion as a motion of their own, without rates; rotations are not copied. */
export function viewOfStretch(motion: Motion, [from, to]: readonly [number, number], ws: Workspace): MotionView {
  const whole = viewOfMotion(motion, ws);
  const { frames } = motion.clock;
  const n = to - from;
  const columns = (data: Float64Array): Float64Array => {
    const out = ws.float64(3 * n);
    for (let c = 0; c < 3; c++) out.set(data.subarray(c * frames + from, c * frames + to), c * n);
    return out;
  };
  return {
    samples: n,
    pose: (segment) => mapAvail(whole.pose(segment), (R) => R.subarray(9 * from, 9 * to)),
    direction: (line) => mapAvail(whole.direction(line), columns),
    point: (id) => mapAvail(whole.point(id), columns),
    rate: () => absent('not-read', 'all frames of the recording'),
  };
}

/** Angular velocity of a segment about its own long axis at every frame, as a gyro measures it, else from the rotation and NaN outside of [from, to). */
export function rateWithin(
  motion: Motion,
  segment: SegmentId,
  [from, to]: readonly [number, number],
  ws: Workspace,
): Avail<Float64Array> {
  const { frames, rate_Hz } = motion.clock;
  return mapAvail(poseOf(motion, segment), ({ data: R }) => {
    const measured = motion.rates?.get(segment);
    if (measured !== undefined) return measured;
    const w = ws.float64(3 * frames);
    angularVelocity(R, frames, rate_Hz, w, from, to);
    const out = ws.float64(frames).fill(Number.NaN);
    for (let f = from; f < to; f++) {
      out[f] = w[f]! * R[9 * f + 1]! + w[frames + f]! * R[9 * f + 4]! + w[2 * frames + f]! * R[9 * f + 7]!;
    }
    return out;
  });
}

/**
 * The motion at chosen moments: rotations by six points in the tangent space, points and rates by the quintic through six points,
 * directions likewise and made unit again; means over windows. Body tracks run through impact. Rotations that are not needed at a sample
 * (interpolating one takes 0.4 µs) are NaN there.
 */
export function viewAtTimes(
  motion: Motion,
  full: MotionView,
  { times, weights }: SampleTimes,
  ws: Workspace,
  isNeeded: (segment: SegmentId, sample: number) => boolean = () => true,
): MotionView {
  const { frames } = motion.clock;
  const samples = times.length;
  const at = new Float64Array(3);
  const vector = (track: Float64Array, unit: boolean): Float64Array => {
    const out = ws.float64(3 * samples);
    for (let i = 0; i < samples; i++) {
      const { window } = times[i]!;
      if (window === null) pointAtSample(weights, i, track, at);
      else windowMean(track, frames, 3, window, at);
      const factor = unit ? 1 / Math.sqrt(at[0]! * at[0]! + at[1]! * at[1]! + at[2]! * at[2]!) : 1;
      for (let c = 0; c < 3; c++) out[c * samples + i] = at[c]! * factor;
    }
    return out;
  };
  const rotations = (segment: SegmentId, R: Float64Array): Float64Array => {
    const out = ws.float64(9 * samples);
    for (let i = 0; i < samples; i++) {
      const { window } = times[i]!;
      if (!isNeeded(segment, i)) out.fill(Number.NaN, 9 * i, 9 * i + 9);
      else if (window === null) rotationAtSample(weights, i, R, out, 9 * i);
      else out.set(windowRotation(R, frames, window), 9 * i);
    }
    return out;
  };
  const numbers = (series: Float64Array): Float64Array => {
    const out = ws.float64(samples);
    for (let i = 0; i < samples; i++) {
      const { window } = times[i]!;
      if (window === null) at[0] = valueAtSample(weights, i, series);
      else windowMean(series, frames, 1, window, at);
      out[i] = at[0]!;
    }
    return out;
  };
  return {
    samples,
    pose: remember((segment) => mapAvail(full.pose(segment), (R) => rotations(segment, R))),
    direction: remember((line) => mapAvail(full.direction(line), (track) => vector(track, true))),
    point: remember((id) => mapAvail(full.point(id), (track) => vector(track, false))),
    rate: remember((segment) => mapAvail(full.rate(segment), numbers)),
  };
}

/** A vector of three planar columns at one moment or over its window, `out` NaN where it is missing. Body tracks run through impact. */
export function vectorAt(data: Float64Array, frames: number, time: SampleTime, out: Float64Array): void {
  if (time.window === null) interpolatePoint(data, frames, time.t_frames, out);
  else windowMean(data, frames, 3, time.window, out);
}

/** Whole frames inside a window, at least the nearest one. */
export function framesInside(window: readonly [number, number], frames: number): [number, number] {
  const from = Math.max(0, Math.ceil(window[0] - 1e-6));
  const to = Math.min(frames - 1, Math.floor(window[1] + 1e-6));
  if (from <= to) return [from, to];
  const nearest = Math.min(frames - 1, Math.max(0, Math.round((window[0] + window[1]) / 2)));
  return [nearest, nearest];
}

/** Means of planar columns over the whole frames inside a window that are present; NaN where none is. */
export function windowMean(
  data: Float64Array,
  frames: number,
  columns: number,
  window: readonly [number, number],
  out: Float64Array,
): void {
  const [from, to] = framesInside(window, frames);
  for (let c = 0; c < columns; c++) {
    let sum = 0;
    let count = 0;
    for (let f = from; f <= to; f++) {
      const value = data[c * frames + f]!;
      if (Number.isNaN(value)) continue;
      sum += value;
      count += 1;
    }
    out[c] = count > 0 ? sum / count : Number.NaN;
  }
}

function windowRotation(R: Float64Array, frames: number, window: readonly [number, number]): Float64Array {
  const [from, to] = framesInside(window, frames);
  return meanRotation(R.subarray(9 * from, 9 * (to + 1)), to - from + 1);
}

const STRUCK: ReadonlySet<PointId> = new Set(['head_point', 'club_grip', 'ball']);

/** Of the club and the ball: never interpolated across impact. */
export function isStruck(id: PointId): boolean {
  return STRUCK.has(id);
}

/** A point at one moment for the picture; false where it is missing. Club and ball are never interpolated across impact. */
export function placeInto(
  motion: Motion,
  id: PointId,
  time: SampleTime,
  impact: Avail<ImpactFrames>,
  at: Float64Array,
): boolean {
  const track = motion.points.get(id);
  if (track === undefined || !track.ok) return false;
  const { frames } = motion.clock;
  if (time.window !== null) windowMean(track.value.data, frames, 3, time.window, at);
  else if (STRUCK.has(id) && impact.ok) {
    const { before, after } = impact.value;
    if (time.t_frames < after) interpolatePoint(track.value.data, frames, time.t_frames, at, 0, before + 1);
    else interpolatePoint(track.value.data, frames, time.t_frames, at, after, frames);
  } else interpolatePoint(track.value.data, frames, time.t_frames, at);
  return !Number.isNaN(at[0]! + at[1]! + at[2]!);
}

/** As `placeInto`, with memory of its own; null where it is missing. */
export function pointAt(
  motion: Motion,
  id: PointId,
  time: SampleTime,
  impact: Avail<ImpactFrames>,
): readonly [number, number, number] | null {
  const at = new Float64Array(3);
  return placeInto(motion, id, time, impact, at) ? [at[0]!, at[1]!, at[2]!] : null;
}
