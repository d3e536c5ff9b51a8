/** Which segment group a landmark belongs to, and what it is called in a message. */

import type { FilterGroup, Hand } from '../../model/dayPlan.ts';
import type { LandmarkId } from '../../model/landmarks.ts';
import { MISSING } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';

/** Segment groups that share a cutoff; club and ball are never filtered. */
export type LandmarkGroup = 'trunk' | 'head' | 'legs' | 'upperArm' | 'forearm' | 'club' | 'ball';

const GROUPS: Readonly<Record<string, LandmarkGroup>> = {
  VERTEX: 'head', HEAD: 'head', EAR: 'head', ORBIT: 'head', HEAD_FRONT: 'head', HEAD_BACK: 'head',
  IJ: 'trunk', PX: 'trunk', C7: 'trunk', T8: 'trunk', T10: 'trunk', L5: 'trunk', SACRUM: 'trunk', ASIS: 'trunk', PSIS: 'trunk',
  AC: 'trunk', SJC: 'trunk', HJC: 'trunk', EL: 'upperArm', EM: 'upperArm', EJC: 'upperArm', RS: 'forearm', US: 'forearm',
  WJC: 'forearm', MC2: 'forearm', MC5: 'forearm', HAND: 'forearm', GT: 'legs', FL: 'legs', FM: 'legs', LM: 'legs', MM: 'legs',
  HEEL: 'legs', MT1: 'legs', MT5: 'legs', TOE: 'legs', KJC: 'legs', AJC: 'legs', CLUB_GRIP: 'club', CLUB_SHAFT: 'club',
  CLUB_HEAD_1: 'club', CLUB_HEAD_2: 'club', CLUB_HEAD_3: 'club', BALL: 'ball',
  CLUB_FACE: 'club', CLUB_FACE_1: 'club', CLUB_FACE_2: 'club', CLUB_FACE_3: 'club',
  PELVIS_1: 'trunk', PELVIS_2: 'trunk', PELVIS_3: 'trunk', THORAX_1: 'trunk', THORAX_2: 'trunk', THORAX_3: 'trunk',
  UPPER_ARM_1: 'upperArm', UPPER_ARM_2: 'upperArm', UPPER_ARM_3: 'upperArm',
  FOREARM_1: 'forearm', FOREARM_2: 'forearm', FOREARM_3: 'forearm',
  THIGH_1: 'legs', THIGH_2: 'legs', THIGH_3: 'legs', SHANK_1: 'legs', SHANK_2: 'legs', SHANK_3: 'legs',
}; // biome-ignore format: one glance

function bareName(id: LandmarkId): string {
  return id.startsWith('lead_') ? id.slice(5) : id.startsWith('trail_') ? id.slice(6) : id;
}

/** The segment group of a landmark. Throws RangeError for a name that has none. */
export function groupOf(id: LandmarkId): LandmarkGroup {
  const group = GROUPS[bareName(id)];
  if (group === undefined) throw new RangeError(`landmark ${id} belongs to no segment group`);
  return group;
}

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
export function filterGroupOf(id: LandmarkId): FilterGroup | null {
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
