/** Medians over the frames of a trial, for what is fixed once per player. */

import type { LandmarkId } from '../../model/landmarks.ts';
import type { MarkerTrial } from '../../model/trial.ts';

/** At most this many frames, evenly taken: a static trial of seconds holds no more information. */
const MOST_SAMPLES = 240;

/** Median of the values that are not NaN; NaN where there are none. Sorts a copy. */
export function median(values: readonly number[]): number {
  const sorted = Float64Array.from(values.filter((value) => !Number.isNaN(value))).sort();
  const n = sorted.length;
  if (n === 0) return Number.NaN;
  return n % 2 === 1 ? sorted[n >> 1]! : (sorted[n / 2 - 1]! + sorted[n / 2]!) / 2;
}

/** Frames over which medians are taken, evenly spread over the trial. */
export function sampleFrames(frames: number): number[] {
  const stride = Math.max(1, Math.ceil(frames / MOST_SAMPLES));
  return Array.from({ length: Math.ceil(frames / stride) }, (_, i) => i * stride);
}

/** Median distance of two landmarks, metres; null where the two are never seen together. */
export function medianDistance(trial: MarkerTrial, a: LandmarkId, b: LandmarkId): number | null {
  const p = trial.points.get(a)?.data;
  const q = trial.points.get(b)?.data;
  if (p === undefined || q === undefined) return null;
  const { frames } = trial.clock;
  const value = median(
    sampleFrames(frames).map((f) => {
      const x = p[f]! - q[f]!;
      const y = p[frames + f]! - q[frames + f]!;
      const z = p[2 * frames + f]! - q[2 * frames + f]!;
      return Math.sqrt(x * x + y * y + z * z);
    }),
  );
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
