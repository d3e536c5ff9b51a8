import { CLUB_LANDMARKS, type FileLandmark, MIDLINE_LANDMARKS, SIDED_LANDMARKS } from '../model/landmarks.ts';

/**
 * Names under which landmarks are recognised, beside their own: abbreviations of the anatomical terms,
 * after Wu 2002 and 2005 (ISB) and van Sint Jan 2007 (skeletal landmark atlas), and plain words.
 * Compared without regard to case, spaces, dots, hyphens and underscores.
 */
export const OTHER_NAMES: Readonly<Record<string, readonly string[]>> = {
  IJ: ['SJN', 'SNJ', 'CLAV', 'JUGULAR NOTCH', 'SUPRASTERNAL NOTCH', 'STERNAL NOTCH'],
  PX: ['SXS', 'XIPH', 'STRN', 'XIPHOID', 'XIPHOID PROCESS'],
  C7: ['CV7', 'C7 SPINOUS PROCESS'],
  T8: ['TV8', 'T8 SPINOUS PROCESS'],
  T10: ['TV10', 'T10 SPINOUS PROCESS'],
  L5: ['LV5', 'L5 SPINOUS PROCESS'],
  SACRUM: ['SACR', 'SAC', 'MID PSIS'],
  VERTEX: ['HEAD TOP', 'TOP HEAD'],
  HEAD: ['HEAD CENTRE', 'HEAD CENTER'],
  ASIS: ['ASI', 'IAS', 'ANTERIOR ILIAC SPINE'],
  PSIS: ['PSI', 'IPS', 'POSTERIOR ILIAC SPINE'],
  AC: ['ACR', 'SAE', 'SAJ', 'ACROMION', 'AA'],
  EL: ['HLE', 'LATERAL EPICONDYLE HUMERUS', 'ELBOW LAT', 'ELBOW LATERAL'],
  EM: ['HME', 'MEDIAL EPICONDYLE HUMERUS', 'ELBOW MED', 'ELBOW MEDIAL'],
  RS: ['RSP', 'RADIAL STYLOID', 'WRIST RAD', 'WRIST RADIAL'],
  US: ['USP', 'UHE', 'ULNAR STYLOID', 'WRIST ULN', 'WRIST ULNAR'],
  MC2: ['HM2', 'METACARPAL 2'],
  MC5: ['HM5', 'METACARPAL 5'],
  GT: ['FTC', 'GREATER TROCHANTER', 'TROCHANTER'],
  FL: ['FLE', 'LATERAL EPICONDYLE FEMUR', 'KNEE LAT', 'KNEE LATERAL'],
  FM: ['FME', 'MEDIAL EPICONDYLE FEMUR', 'KNEE MED', 'KNEE MEDIAL'],
  LM: ['FAL', 'LATERAL MALLEOLUS', 'ANKLE LAT', 'ANKLE LATERAL'],
  MM: ['TAM', 'MEDIAL MALLEOLUS', 'ANKLE MED', 'ANKLE MEDIAL'],
  HEEL: ['FCC', 'CALC', 'CALCANEUS'],
  MT1: ['FM1', 'METATARSAL 1'],
  MT5: ['FM5', 'METATARSAL 5'],
  TOE: ['FM2', 'TOES', 'TOE TIP'],
  EAR: ['TRAGUS'],
  ORBIT: ['ORB', 'INFRAORBITAL'],
  HEAD_FRONT: ['HDF', 'FRONT HEAD'],
  HEAD_BACK: ['HDB', 'BACK HEAD'],
  HJC: ['HIP', 'HIP CENTRE', 'HIP CENTER', 'HIP JOINT CENTRE'],
  KJC: ['KNEE', 'KNEE CENTRE', 'KNEE CENTER'],
  AJC: ['ANKLE', 'ANKLE CENTRE', 'ANKLE CENTER'],
  SJC: ['SHOULDER', 'SHOULDER CENTRE', 'SHOULDER CENTER', 'GH'],
  EJC: ['ELBOW', 'ELBOW CENTRE', 'ELBOW CENTER'],
  WJC: ['WRIST', 'WRIST CENTRE', 'WRIST CENTER'],
  HAND: ['HAND CENTRE', 'HAND CENTER'],
  CLUB_GRIP: ['GRIP', 'SHAFT TOP', 'CLUB TOP'],
  CLUB_SHAFT: ['SHAFT', 'SHAFT LOW', 'HOSEL', 'CLUB SHAFT'],
  CLUB_HEAD_1: ['CLUB HEAD', 'CLUBHEAD', 'CLUB TOE'],
  CLUB_HEAD_2: ['CLUB HEEL'],
  CLUB_HEAD_3: ['CLUB CROWN'],
  CLUB_FACE: ['FACE CENTRE', 'FACE CENTER', 'CLUB FACE CENTRE', 'CLUB FACE CENTER'],
  BALL: ['GOLF BALL'],
};

/** Upper case, letters and digits alone. */
export function plainName(label: string): string {
  return label
    .normalize('NFKD')
    .toUpperCase()
    .replace(/[^A-Z0-9]/g, '');
}

function buildTable(): ReadonlyMap<string, FileLandmark> {
  const table = new Map<string, FileLandmark>();
  const add = (text: string, landmark: FileLandmark): void => {
    const key = plainName(text);
    if (!table.has(key)) table.set(key, landmark);
  };
  const namesOf = (landmark: string): readonly string[] => [landmark, ...(OTHER_NAMES[landmark] ?? [])];
  for (const landmark of [...MIDLINE_LANDMARKS, ...CLUB_LANDMARKS]) {
    for (const name of namesOf(landmark)) add(name, landmark);
  }
  for (const landmark of SIDED_LANDMARKS) {
    for (const name of namesOf(landmark)) {
      for (const [letter, word] of [
        ['L', 'LEFT'],
        ['R', 'RIGHT'],
      ] as const) {
        const target = `${letter}_${landmark}` as const;
        add(`${letter}_${name}`, target);
        add(`${name}_${letter}`, target);
        add(`${word}_${name}`, target);
        add(`${name}_${word}`, target);
      }
    }
  }
  return table;
}

/** Plain name → landmark, built once. */
export const LANDMARK_BY_NAME: ReadonlyMap<string, FileLandmark> = buildTable();
