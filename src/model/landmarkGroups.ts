/** Which segment group a landmark belongs to. */

import type { FileLandmark, LandmarkId } from './landmarks.ts';

/** Segment groups that share a cutoff; club and ball are never filtered. In the order in which they are shown. */
export const LANDMARK_GROUPS = ['head', 'trunk', 'upperArm', 'forearm', 'legs', 'club', 'ball'] as const;
export type LandmarkGroup = (typeof LANDMARK_GROUPS)[number];

export const GROUP_WORDS: Readonly<Record<LandmarkGroup, string>> = {
  head: 'head',
  trunk: 'trunk',
  upperArm: 'upper arm',
  forearm: 'forearm',
  legs: 'legs',
  club: 'club',
  ball: 'ball',
};

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

/** The segment group of a landmark, as a file or a trial names it; null for a name that is no landmark. */
export function groupNamed(name: string): LandmarkGroup | null {
  const known = NAMED.get(name);
  if (known !== undefined) return known;
  const bare = name.replace(/^(lead_|trail_|L_|R_)/, '');
  if (!Object.hasOwn(GROUPS, bare)) return null;
  const group = GROUPS[bare]!;
  NAMED.set(name, group);
  return group;
}

/** Names that were asked for before, at most as many as there are landmarks. */
const NAMED = new Map<string, LandmarkGroup>();

/** The segment group of a landmark. Throws RangeError for a name that has none. */
export function groupOf(id: LandmarkId | FileLandmark): LandmarkGroup {
  const group = groupNamed(id);
  if (group === null) throw new RangeError(`landmark ${id} belongs to no segment group`);
  return group;
}
