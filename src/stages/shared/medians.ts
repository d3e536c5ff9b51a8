/** Medians over the frames of a trial, for what is fixed once per player. */

import type { LandmarkId } from '../../model/landmarks.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import { medianInPlace } from '../../numeric/select.ts';

/** At most this many frames, evenly taken: a static trial of seconds holds no more information. */
const MOST_SAMPLES = 240;

/** Median of the values that are not NaN; NaN where there are none. */
export function median(values: ArrayLike<number>): number {
  const present = new Float64Array(values.length);
  let n = 0;
  for (let i = 0; i < values.length; i++) {
    if (Number.isNaN(values[i])) continue;
    present[n] = values[i]!;
    n += 1;
  }
  return medianInPlace(present, n);
}

/** Frames over which medians are taken, evenly spread over the trial. */
export function sampleFrames(frames: number): number[] {
  const stride = strideOver(frames);
  return Array.from({ length: Math.ceil(frames / stride) }, (_, i) => i * stride);
}

function strideOver(frames: number): number {
  return Math.max(1, Math.ceil(frames / MOST_SAMPLES));
}

/** Median distance of two landmarks, metres; null where the two are never seen together. */
export function medianDistance(trial: MarkerTrial, a: LandmarkId, b: LandmarkId): number | null {
  const p = trial.points.get(a)?.data;
  const q = trial.points.get(b)?.data;
  if (p === undefined || q === undefined) return null;
  const { frames } = trial.clock;
  const distances = new Float64Array(Math.ceil(frames / strideOver(frames)));
  for (let i = 0, f = 0; f < frames; i++, f += strideOver(frames)) {
    const x = p[f]! - q[f]!;
    const y = p[frames + f]! - q[frames + f]!;
    const z = p[2 * frames + f]! - q[2 * frames + f]!;
    distances[i] = Math.sqrt(x * x + y * y + z * z);
  }
  const value = median(distances);
  return Number.isNaN(value) ? null : value;
}

const BOTH_SIDES = [
  ['ASIS', 'PSIS'],
  ['AC', 'EL'],
  ['EL', 'US'],
  ['EL', 'EM'],
  ['GT', 'FL'],
  ['FL', 'LM'],
  ['FM', 'MM'],
  ['SJC', 'EJC'],
  ['EJC', 'WJC'],
  ['HJC', 'KJC'],
  ['KJC', 'AJC'],
] as const;

/** Distances that a body keeps while it moves, by which another body is recognised. */
export const BODY_LENGTHS: readonly (readonly [LandmarkId, LandmarkId])[] = [
  ['lead_ASIS', 'trail_ASIS'],
  ['lead_PSIS', 'trail_PSIS'],
  ['IJ', 'C7'],
  ['IJ', 'PX'],
  ['C7', 'T8'],
  ['lead_EAR', 'trail_EAR'],
  ...(['lead', 'trail'] as const).flatMap((side) =>
    BOTH_SIDES.map(([a, b]): readonly [LandmarkId, LandmarkId] => [`${side}_${a}`, `${side}_${b}`]),
  ),
];

/** The name under which a length is stored. */
export function lengthName(a: LandmarkId, b: LandmarkId): string {
  return `${a}–${b}`;
}
