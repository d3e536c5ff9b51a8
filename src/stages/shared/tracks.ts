/** New tracks out of old ones: weighted points, directions, segment rotations. A frame is missing where any input is. */

import type { Clock } from '../../model/clock.ts';
import type { LandmarkId } from '../../model/landmarks.ts';
import { MEASURED, MISSING, type Track } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { axisNoise, ownTurns, rms3 } from './rotationNoise.ts';
import type { FrameKernel } from './segmentFrames.ts';

/** The tracks of landmarks that are known to be there. Throws RangeError for one that is not. */
export function tracksOf(trial: MarkerTrial, ids: readonly LandmarkId[]): Track<3>[] {
  return ids.map((id) => {
    const track = trial.points.get(id);
    if (track === undefined) throw new RangeError(`the trial has no ${id}`);
    return track;
  });
}

/** MISSING where any input is, otherwise the largest state: filled how, before measured. */
export function combinedState(tracks: readonly Track<1 | 3 | 9>[], frames: number, ws: Workspace): Uint8Array {
  const state = ws.uint8(frames);
  const [first] = tracks;
  if (first === undefined) return state.fill(MEASURED);
  state.set(first.state.subarray(0, frames));
  for (let i = 1; i < tracks.length; i++) {
    const others = tracks[i]!.state;
    for (let f = 0; f < frames; f++) {
      const other = others[f]!;
      const own = state[f]!;
      if (other === own || own === MISSING) continue;
      if (other === MISSING || other > own) state[f] = other;
    }
  }
  return state;
}

/** The largest widening of any of the tracks, frame by frame: no result rests on a filled sample more than on it alone. Empty where none has one. */
export function combinedWidening(
  tracks: readonly Track<1 | 3 | 9>[],
  frames: number,
  ws: Workspace,
): { readonly widening?: Float64Array } {
  let widening: Float64Array | null = null;
  for (const track of tracks) {
    if (track.widening === undefined) continue;
    if (widening === null) widening = ws.float64(frames).fill(1);
    for (let f = 0; f < frames; f++) if (track.widening[f]! > widening[f]!) widening[f] = track.widening[f]!;
  }
  return widening === null ? {} : { widening };
}

/** Σ weight · point. Weights of a place sum to 1. */
export function weightedPoint(
  tracks: readonly Track<3>[],
  weights: readonly number[],
  clock: Clock,
  provenance: string,
  ws: Workspace,
): Track<3> {
  const { frames } = clock;
  const data = ws.float64(3 * frames);
  let variance = 0;
  for (let i = 0; i < tracks.length; i++) {
    const weight = weights[i]!;
    const { noise } = tracks[i]!;
    variance += weight * weight * noise * noise;
  }
  for (let i = 0; i < tracks.length; i += 2) {
    const next = tracks[i + 1];
    if (next === undefined) addWeighted(data, i > 0, tracks[i]!.data, weights[i]!);
    else addTwoWeighted(data, i > 0, tracks[i]!.data, weights[i]!, next.data, weights[i + 1]!);
  }
  return {
    dimension: 3,
    clock,
    data,
    state: combinedState(tracks, frames, ws),
    noise: Math.sqrt(variance),
    ...combinedWidening(tracks, frames, ws),
    madeOf: { kind: 'mean', tracks, weights },
    provenance,
  };
}

/** data + weight · a; without `hasSum` in the place of what is in `data`. */
function addWeighted(data: Float64Array, hasSum: boolean, a: Float64Array, weight: number): void {
  for (let k = 0; k < data.length; k++) data[k] = (hasSum ? data[k]! : 0) + weight * a[k]!;
}

/** The same of two one after the other, in one pass over the memory. */
function addTwoWeighted(
  data: Float64Array,
  hasSum: boolean,
  a: Float64Array,
  ofA: number,
  b: Float64Array,
  ofB: number,
): void {
  for (let k = 0; k < data.length; k++) data[k] = (hasSum ? data[k]! : 0) + ofA * a[k]! + ofB * b[k]!;
}

/** The mean of points. */
export function meanPoint(tracks: readonly Track<3>[], clock: Clock, provenance: string, ws: Workspace): Track<3> {
  return weightedPoint(
    tracks,
    tracks.map(() => 1 / tracks.length),
    clock,
    provenance,
    ws,
  );
}

/** Unit vector from one point to another. Its noise is an angle, rad: that of the two ends over their mean distance. */
export function directionTrack(
  from: Track<3>,
  to: Track<3>,
  clock: Clock,
  provenance: string,
  ws: Workspace,
): Track<3> {
  const { frames } = clock;
  const data = ws.float64(3 * frames);
  const a = from.data;
  const b = to.data;
  let sum = 0;
  let count = 0;
  for (let f = 0, g = frames, h = 2 * frames; f < frames; f++, g++, h++) {
    const x = b[f]! - a[f]!;
    const y = b[g]! - a[g]!;
    const z = b[h]! - a[h]!;
    const length = Math.sqrt(x * x + y * y + z * z);
    const factor = length > 0 ? 1 / length : Number.NaN;
    data[f] = x * factor;
    data[g] = y * factor;
    data[h] = z * factor;
    if (length > 0) {
      sum += length;
      count += 1;
    }
  }
  const length_m = sum / count;
  const noise = Math.sqrt(from.noise * from.noise + to.noise * to.noise) / length_m;
  const ends = [from, to];
  const widening = combinedWidening(ends, frames, ws);
  const madeOf = { kind: 'line', from, to, length_m } as const;
  return { dimension: 3, clock, data, state: combinedState(ends, frames, ws), noise, ...widening, madeOf, provenance };
}

/** Coordinates of the landmarks at one frame, three numbers each. */
export function gather(tracks: readonly Track<3>[], frames: number, frame: number, p: Float64Array): void {
  for (let i = 0; i < tracks.length; i++) {
    const data = tracks[i]!.data;
    p[3 * i] = data[frame]!;
    p[3 * i + 1] = data[frames + frame]!;
    p[3 * i + 2] = data[2 * frames + frame]!;
  }
}

/** Distance of two points at a frame, metres; NaN where either is missing. */
export function distanceAt(p: Track<3>, q: Track<3>, frame: number): number {
  const { frames } = p.clock;
  const x = p.data[frame]! - q.data[frame]!;
  const y = p.data[frames + frame]! - q.data[frames + frame]!;
  const z = p.data[2 * frames + frame]! - q.data[2 * frames + frame]!;
  return Math.sqrt(x * x + y * y + z * z);
}

/**
 * The rotation of a segment from its landmarks, every frame. Its noise is the RMS over the axes of the rotation vector's, rad.
 * `isRigid`: the landmarks keep their distances.
 */
export function rotationTrack(
  tracks: readonly Track<3>[],
  kernel: FrameKernel,
  clock: Clock,
  provenance: string,
  ws: Workspace,
  isRigid = true,
): Track<9> {
  const { frames } = clock;
  const data = ws.float64(9 * frames);
  const p = ws.float64(3 * tracks.length);
  const state = combinedState(tracks, frames, ws);
  const columns: Float64Array[] = [];
  const noises: number[] = [];
  for (let i = 0; i < tracks.length; i++) {
    columns.push(tracks[i]!.data);
    noises.push(tracks[i]!.noise);
  }
  const middle = rotationsInto(data, state, columns, frames, kernel, p);
  const turnsAt = (frame: number): Float64Array => {
    gather(tracks, frames, frame, p);
    return ownTurns(p, kernel);
  };
  let axes: readonly [number, number, number] = [Number.NaN, Number.NaN, Number.NaN];
  let turns: Float64Array | null = null;
  if (middle >= 0) {
    turns = turnsAt(middle);
    axes = axisNoise(turns, noises);
  }
  return {
    dimension: 9,
    clock,
    data,
    state,
    noise: rms3(axes),
    axisNoise_rad: axes,
    ...combinedWidening(tracks, frames, ws),
    madeOf: { kind: 'frame', tracks, turns: isRigid ? turns : null, turnsAt },
    provenance,
  };
}

/**
 * Writes the rotation of every frame, and MISSING to the state of those without one. Returns the last frame of the first half that has one, else
 * the first there is; −1 where none has. By itself, since the engine compiles a loop within a longer function again and again.
 */
function rotationsInto(
  data: Float64Array,
  state: Uint8Array,
  columns: readonly Float64Array[],
  frames: number,
  kernel: FrameKernel,
  p: Float64Array,
): number {
  let middle = -1;
  for (let f = 0; f < frames; f++) {
    for (let i = 0; i < columns.length; i++) {
      const column = columns[i]!;
      p[3 * i] = column[f]!;
      p[3 * i + 1] = column[frames + f]!;
      p[3 * i + 2] = column[2 * frames + f]!;
    }
    kernel(p, data, 9 * f);
    if (Number.isNaN(data[9 * f])) state[f] = MISSING;
    else if (middle < 0 || f <= frames / 2) middle = f;
  }
  return middle;
}
