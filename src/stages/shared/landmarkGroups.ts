/** Which segment group a landmark belongs to, and what it is called in a message. */

import type { FilterGroup, Hand } from '../../model/dayPlan.ts';
import { groupOf, type LandmarkGroup } from '../../model/landmarkGroups.ts';
import type { FileLandmark, LandmarkId } from '../../model/landmarks.ts';
import { MISSING } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';

const FILTERED: Readonly<Record<LandmarkGroup, FilterGroup | null>> = {
  trunk: 'trunk_Hz',
  head: 'head_Hz',
  legs: 'legs_Hz',
  upperArm: 'upperArm_Hz',
  forearm: 'forearm_Hz',
  club: null,
  ball: null,
};

/** Which cutoff a landmark is smoothed with; null: club and ball are not. */
export function filterGroupOf(id: LandmarkId | FileLandmark): FilterGroup | null {
  return FILTERED[groupOf(id)];
}

/** The landmark as the user's own file would name it: lead and trail become left and right again. */
export function landmarkWords(id: LandmarkId, hand: Hand): string {
  const lead = hand === 'right' ? 'left' : 'right';
  const trail = hand === 'right' ? 'right' : 'left';
  if (id.startsWith('lead_')) return `${lead} ${id.slice(5)}`;
  if (id.startsWith('trail_')) return `${trail} ${id.slice(6)}`;
  return id;
}

/** A segment such as 'lead thigh' with left and right again. */
export function segmentWords(segment: string, hand: Hand): string {
  const [lead, trail] = hand === 'right' ? ['left', 'right'] : ['right', 'left'];
  return segment.replace(/^lead /, `${lead} `).replace(/^trail /, `${trail} `);
}

/** The landmark under the name that files and day files use (`L_ASIS`). */
export function fileName(id: LandmarkId, hand: Hand): string {
  const [lead, trail] = hand === 'right' ? ['L', 'R'] : ['R', 'L'];
  if (id.startsWith('lead_')) return `${lead}_${id.slice(5)}`;
  return id.startsWith('trail_') ? `${trail}_${id.slice(6)}` : id;
}

/** True where the trial has at least one sample of the landmark. */
export function hasLandmark(trial: MarkerTrial, id: LandmarkId): boolean {
  const track = trial.points.get(id);
  return track?.state.some((state) => state !== MISSING) ?? false;
}
