/** Which of several sets of landmarks makes a segment or a point in a trial. */

import { type Avail, absent } from '../../model/availability.ts';
import type { LandmarkId } from '../../model/landmarks.ts';
import { MISSING, type Track } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import { hasLandmark, landmarkWords } from './landmarkGroups.ts';

/** Sets whose counts of frames differ by no more than this share of the trial are as good as each other: a short gap must not change the set. */
const TIE = 0.02;
/** A set that is preferred for another reason than its frames (the calibration's, the club's order) needs this share of those of the best. */
const LEAST_SHARE = 0.5;

export interface LandmarkSet {
  readonly landmarks: readonly LandmarkId[];
  /** Told apart by this; '' where the set needs no name. */
  readonly name?: string;
}

/** Frames in which all of the landmarks are present, measured or filled. */
export function framesTogether(trial: MarkerTrial, ids: readonly LandmarkId[]): number {
  const states: Track<3>['state'][] = [];
  for (const id of ids) {
    const track = trial.points.get(id);
    if (track === undefined) return 0;
    if (track.state.includes(MISSING)) states.push(track.state);
  }
  if (states.length === 0) return trial.clock.frames;
  let count = 0;
  for (let f = 0; f < trial.clock.frames; f++) {
    let together = true;
    for (const state of states) if (state[f] === MISSING) together = false;
    if (together) count += 1;
  }
  return count;
}

/**
 * The alternative all of whose landmarks are present together in the most frames, the first of those within 2 % of the trial's frames of it.
 * `fixed` names the set of the player's calibration: it holds wherever the trial shows it in at least half as many frames as the best,
 * so that swings of a player do not mix sets. None possible: what the alternatives lack, in the user's words, the preferred one first.
 */
export function bestSet<T extends LandmarkSet>(
  trial: MarkerTrial,
  alternatives: readonly T[],
  fixed: string | null = null,
): Avail<T> {
  const first = alternatives.find(({ name }) => name !== undefined && name === fixed) ?? alternatives[0];
  // seen throughout: whatever the others show, this one is taken
  if (first !== undefined && framesTogether(trial, first.landmarks) === trial.clock.frames)
    return { ok: true, value: first };
  const counts = alternatives.map(({ landmarks }) => framesTogether(trial, landmarks));
  const most = counts.reduce((a, b) => Math.max(a, b), 0);
  if (most > 0) {
    const own = alternatives.findIndex(({ name }) => name !== undefined && name === fixed);
    if (own >= 0 && counts[own]! >= LEAST_SHARE * most) return { ok: true, value: alternatives[own]! };
    const enough = Math.max(1, most - TIE * trial.clock.frames);
    return { ok: true, value: alternatives.find((_, i) => counts[i]! >= enough)! };
  }
  const lacking: string[] = [];
  for (const { landmarks } of alternatives) {
    const missing = landmarks.filter((id) => !hasLandmark(trial, id));
    const hand = trial.head.facts.hand.value;
    const words =
      missing.length > 0
        ? missing.map((id) => landmarkWords(id, hand)).join(', ')
        : `${landmarks.map((id) => landmarkWords(id, hand)).join(', ')} in the same frame`;
    if (!lacking.includes(words)) lacking.push(words);
  }
  return absent('landmark-missing', lacking.join('; or '));
}

/** The first of the landmarks, in the order given, that is present in at least half as many frames as the best of them; null where none is. */
export function firstSeen<T extends LandmarkId>(trial: MarkerTrial, ids: readonly T[]): T | null {
  const counts = ids.map((id) => framesTogether(trial, [id]));
  const most = counts.reduce((a, b) => Math.max(a, b), 0);
  return most === 0 ? null : (ids.find((_, i) => counts[i]! >= LEAST_SHARE * most) ?? null);
}

/** True where the landmarks are present together in at least half as many frames as the best of them alone. */
export function areSeenTogether(trial: MarkerTrial, ids: readonly LandmarkId[]): boolean {
  const most = ids.reduce((best, id) => Math.max(best, framesTogether(trial, [id])), 0);
  return most > 0 && framesTogether(trial, ids) >= LEAST_SHARE * most;
}
