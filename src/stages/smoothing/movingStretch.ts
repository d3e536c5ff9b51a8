/** The samples a cutoff is chosen from: those of the fast part of a recording, measured and without a gap. */

import { groupOf } from '../../model/landmarkGroups.ts';
import type { LandmarkId } from '../../model/landmarks.ts';
import { MEASURED, MISSING, type Track } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import type { Workspace } from '../../numeric/workspace.ts';

/** Before and after the fastest moment: backswing and follow-through. A long wait would count as movement that needs no bandwidth. */
const BEFORE_S = 1;
const AFTER_S = 0.5;
/** Shorter stretches hold too few periods of the lowest cutoff. */
export const LEAST_STRETCH_S = 0.5;
/** Speed is read over twice this, longer than the noise of a sample matters. */
const HALF_STEP_S = 0.025;
/** A marker without noise weighs no more than one of a micrometre; unknown noise counts as a millimetre. */
const LEAST_NOISE_M = 1e-6;
const UNKNOWN_NOISE_M = 1e-3;

/** Columns of several markers, one behind another. */
export interface Stretch {
  readonly data: Float64Array;
  /** Where each column starts in `data`, and its length. */
  readonly starts: readonly number[];
  readonly lengths: readonly number[];
  /** One over the variance of the marker's noise, per m². */
  readonly weights: readonly number[];
  readonly samples: number;
  readonly longest: number;
  readonly markers: number;
}

/** Frames from a second before the moment at which the body's markers are fastest on average to half a second after it, half open. */
export function fastPart(trial: MarkerTrial): readonly [number, number] {
  const { frames, rate_Hz } = trial.clock;
  const half = Math.max(1, Math.round(HALF_STEP_S * rate_Hz));
  const path = new Float64Array(frames);
  const count = new Uint16Array(frames);
  for (const [id, { data, state }] of trial.points) {
    const group = groupOf(id);
    if (group === 'club' || group === 'ball') continue;
    for (let f = half; f < frames - half; f++) {
      const a = f - half;
      const b = f + half;
      if (state[a] === MISSING || state[b] === MISSING) continue;
      const x = data[b]! - data[a]!;
      const y = data[frames + b]! - data[frames + a]!;
      const z = data[2 * frames + b]! - data[2 * frames + a]!;
      path[f] = path[f]! + Math.sqrt(x * x + y * y + z * z);
      count[f] = count[f]! + 1;
    }
  }
  let top = 0;
  let fastest = -1;
  for (let f = 0; f < frames; f++) {
    if (count[f] === 0) continue;
    const mean = path[f]! / count[f]!;
    if (mean <= fastest) continue;
    fastest = mean;
    top = f;
  }
  return [Math.max(0, top - Math.round(BEFORE_S * rate_Hz)), Math.min(frames, top + Math.round(AFTER_S * rate_Hz) + 1)];
}

/** The longest run of measured samples of each marker in the part, where it lasts half a second; what was filled shows no noise. */
export function stretchOf(
  points: ReadonlyMap<LandmarkId, Track<3>>,
  ids: readonly LandmarkId[],
  [from, to]: readonly [number, number],
  ws: Workspace,
): Stretch {
  const starts: number[] = [];
  const lengths: number[] = [];
  const weights: number[] = [];
  const data = ws.float64(3 * ids.length * (to - from));
  let used = 0;
  let longest = 0;
  let markers = 0;
  for (const id of ids) {
    const track = points.get(id)!;
    const { frames, rate_Hz } = track.clock;
    const [first, n] = longestRun(track.state, from, to);
    if (n < LEAST_STRETCH_S * rate_Hz) continue;
    const sd_m = Number.isFinite(track.noise) ? Math.max(track.noise, LEAST_NOISE_M) : UNKNOWN_NOISE_M;
    for (let c = 0; c < 3; c++) {
      const o = c * frames + first;
      for (let i = 0; i < n; i++) data[used + i] = track.data[o + i]!;
      starts.push(used);
      lengths.push(n);
      weights.push(1 / (sd_m * sd_m));
      used += n;
    }
    longest = Math.max(longest, n);
    markers += 1;
  }
  return { data, starts, lengths, weights, samples: used, longest, markers };
}

function longestRun(state: Uint8Array, from: number, to: number): readonly [number, number] {
  let first = from;
  let length = 0;
  for (let f = from; f < to; f++) {
    if (state[f] !== MEASURED) continue;
    const start = f;
    while (f < to && state[f] === MEASURED) f += 1;
    if (f - start <= length) continue;
    first = start;
    length = f - start;
  }
  return [first, length];
}
