/**
 * Landmarks by their ISB names (Wu 2002, Wu 2005). In files and day files sides are left and right (`L_ASIS`);
 * in a Trial they are lead and trail (`lead_ASIS`), after a left-hander's one reflection.
 */
export const MIDLINE_LANDMARKS = [
  'IJ',
  'PX',
  'C7',
  'T8',
  'T10',
  'L5',
  'SACRUM',
  'VERTEX',
  'HEAD',
  'PELVIS_1', // markers of a technical cluster, anywhere on the segment: they carry hidden landmarks
  'PELVIS_2',
  'PELVIS_3',
  'THORAX_1',
  'THORAX_2',
  'THORAX_3',
] as const;

/** Anatomical points that exist on both sides. */
export const SIDED_LANDMARKS = [
  'ASIS', // anterior superior iliac spine
  'PSIS', // posterior superior iliac spine
  'AC', // acromioclavicular joint / acromion
  'EL', // lateral epicondyle of the humerus
  'EM', // medial epicondyle of the humerus
  'RS', // radial styloid
  'US', // ulnar styloid
  'MC2', // head of the second metacarpal
  'MC5', // head of the fifth metacarpal
  'GT', // greater trochanter
  'FL', // lateral epicondyle of the femur
  'FM', // medial epicondyle of the femur
  'LM', // lateral malleolus
  'MM', // medial malleolus
  'HEEL',
  'MT1', // head of the first metatarsal
  'MT5', // head of the fifth metatarsal
  'TOE',
  'EAR', // tragus
  'ORBIT', // lower edge of the orbit
  'HEAD_FRONT', // head band, front
  'HEAD_BACK', // head band, back
  'HJC', // joint centres, where the file has nothing better
  'KJC',
  'AJC',
  'SJC',
  'EJC',
  'WJC',
  'HAND',
  'UPPER_ARM_1', // technical clusters
  'UPPER_ARM_2',
  'UPPER_ARM_3',
  'FOREARM_1',
  'FOREARM_2',
  'FOREARM_3',
  'THIGH_1',
  'THIGH_2',
  'THIGH_3',
  'SHANK_1',
  'SHANK_2',
  'SHANK_3',
] as const;

/** Of a face-calibration trial: the middle of the face, and others anywhere on it. */
export const FACE_LANDMARKS = ['CLUB_FACE', 'CLUB_FACE_1', 'CLUB_FACE_2', 'CLUB_FACE_3'] as const;

/** Club and ball. Head markers are three at most, named in the day file or by their labels. */
export const CLUB_LANDMARKS = [
  'CLUB_GRIP',
  'CLUB_SHAFT',
  'CLUB_HEAD_1',
  'CLUB_HEAD_2',
  'CLUB_HEAD_3',
  'BALL',
  ...FACE_LANDMARKS,
] as const;

export type MidlineLandmark = (typeof MIDLINE_LANDMARKS)[number];
export type SidedLandmark = (typeof SIDED_LANDMARKS)[number];
export type ClubLandmark = (typeof CLUB_LANDMARKS)[number];

/** As a file names them. */
export type FileLandmark = MidlineLandmark | ClubLandmark | `L_${SidedLandmark}` | `R_${SidedLandmark}`;

/** As a Trial and everything after it names them. */
export type LandmarkId = MidlineLandmark | ClubLandmark | `lead_${SidedLandmark}` | `trail_${SidedLandmark}`;

export const FILE_LANDMARKS: readonly FileLandmark[] = [
  ...MIDLINE_LANDMARKS,
  ...SIDED_LANDMARKS.flatMap((name) => [`L_${name}` as const, `R_${name}` as const]),
  ...CLUB_LANDMARKS,
];

/** Left is lead for a right-handed player; a left-hander's names are exchanged with the one reflection of definitions 1. */
export function landmarkOfPlayer(name: FileLandmark, hand: 'left' | 'right'): LandmarkId {
  if (name.startsWith('L_')) return `${hand === 'right' ? 'lead' : 'trail'}_${name.slice(2) as SidedLandmark}`;
  if (name.startsWith('R_')) return `${hand === 'right' ? 'trail' : 'lead'}_${name.slice(2) as SidedLandmark}`;
  return name as LandmarkId;
}
