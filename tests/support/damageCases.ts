/** Random damage of one marker or two in a clean swing, and whether it is found as what it is, with its frames. */

import type { FaultCode } from '../../src/model/faults.ts';
import type { LandmarkId } from '../../src/model/landmarks.ts';
import { MISSING } from '../../src/model/track.ts';
import type { MarkerTrial } from '../../src/model/trial.ts';
import { createRandom, type Random } from '../../src/numeric/random.ts';
import { distanceOf, type Frames, ghost, leaping, placeOf, stuck, swapped } from './damage.ts';

export const DAMAGES = ['swap-near', 'swap-far', 'jump', 'jump-stays', 'ghost', 'stick'] as const;
export type DamageKind = (typeof DAMAGES)[number];

export interface DamageCase {
  readonly trial: MarkerTrial;
  readonly code: FaultCode;
  readonly markers: readonly LandmarkId[];
  readonly frames: Frames;
  /** Frames by which both ends may differ: the task's own limits. */
  readonly tolerance: number;
}

const CODES: Readonly<Record<DamageKind, FaultCode>> = {
  'swap-near': 'labels-swapped',
  'swap-far': 'labels-swapped',
  jump: 'marker-jumps',
  'jump-stays': 'marker-jumps',
  ghost: 'ghost-point',
  stick: 'marker-sticks',
};

/** One damage in a trial with all its samples; null where the trial has no such pair of markers. */
export function damageCase(trial: MarkerTrial, kind: DamageKind, seed: number): DamageCase | null {
  const random = createRandom(7919 * seed + DAMAGES.indexOf(kind));
  const total = trial.clock.frames;
  const ids = [...trial.points]
    .filter(([id, track]) => id !== 'BALL' && !track.state.includes(MISSING))
    .map(([id]) => id);
  const id = ids[random.int(ids.length)]!;
  const made = (damaged: MarkerTrial, markers: readonly LandmarkId[], frames: Frames, tolerance = 1): DamageCase => ({
    trial: damaged,
    code: CODES[kind],
    markers,
    frames,
    tolerance,
  });
  const stretch = (least: number, most: number): Frames => {
    const length = least + random.int(most - least + 1);
    const first = 12 + random.int(total - length - 24);
    return [first, first + length - 1];
  };
  if (kind === 'swap-near' || kind === 'swap-far') {
    const frames = stretch(5, 60);
    const pair = pairOf(trial, ids, kind === 'swap-near', frames[0], random);
    if (pair === null) return null;
    return made(swapped(trial, ...pair, frames), pair, frames, kind === 'swap-near' ? 5 : 1);
  }
  if (kind === 'jump') {
    const frames = stretch(5, 60);
    return made(leaping(trial, id, frames, vectorOf(random, 0.03, 0.09)), [id], frames);
  }
  if (kind === 'jump-stays') {
    const first = Math.round(total * (0.7 + 0.2 * random.uniform()));
    const frames: Frames = [first, total - 1];
    return made(leaping(trial, id, frames, vectorOf(random, 0.03, 0.09)), [id], frames);
  }
  if (kind === 'ghost') {
    const frames = stretch(1, 12);
    return made(ghost(trial, id, frames, vectorOf(random, 0.2, 0.8), seed), [id], frames);
  }
  const frames = stretch(8, 40);
  if (!isMoved(trial, id, frames)) return null;
  return made(stuck(trial, id, frames), [id], frames);
}

/** False where the way of the marker over the frames, noise included, is under 5 mm: at rest a stuck marker is as good as none. */
function isMoved(trial: MarkerTrial, id: LandmarkId, [first, last]: Frames): boolean {
  let way = 0;
  for (let f = first - 1; f <= last; f++) {
    const p = placeOf(trial, id, f);
    const q = placeOf(trial, id, f + 1);
    way += Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]);
  }
  return way > 0.005;
}

/** Two markers nearer or farther than 50 mm in a frame; no nearer than 25 mm, which noise of 1 mm hides. */
function pairOf(
  trial: MarkerTrial,
  ids: readonly LandmarkId[],
  isNear: boolean,
  frame: number,
  random: Random,
): readonly [LandmarkId, LandmarkId] | null {
  const pairs = ids.flatMap((a, i) =>
    ids.slice(i + 1).flatMap((b): readonly (readonly [LandmarkId, LandmarkId])[] => {
      const d = distanceOf(trial, a, b, frame);
      return (isNear ? d > 0.025 && d < 0.05 : d > 0.05 && d < 0.5) ? [[a, b]] : [];
    }),
  );
  return pairs.length === 0 ? null : pairs[random.int(pairs.length)]!;
}

function vectorOf(random: Random, least: number, most: number): readonly [number, number, number] {
  const v = [random.normal(), random.normal(), random.normal()] as const;
  const size = (least + (most - least) * random.uniform()) / Math.hypot(...v);
  return [v[0] * size, v[1] * size, v[2] * size];
}
