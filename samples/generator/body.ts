/** An invented player's body: lengths from standing height, landmarks rigid in their segments, joint centres by the published regressions. */
import { type Axes, add, distance, RAD, scale, sub, turnOut, turnSideBend, type Vec, vec } from './geometry.ts';

export interface PlayerSpec {
  readonly id: string;
  readonly hand: 'left' | 'right';
  readonly sex: 'female' | 'male';
  readonly height_m: number;
  readonly mass_kg: number;
}

export interface Body {
  readonly spec: PlayerSpec;
  /** Metres per metre of a 1.78 m player. */
  readonly size: number;
  /** Pelvis frame, origin midway between the ASIS: X forward, Y up, Z to the right. */
  readonly pelvis: { readonly asis: number; readonly psis: Vec; readonly hip: Vec; readonly lumbar: Vec };
  /** Thorax frame, origin IJ. `shoulder` and `acromion` of the right side; the left has the opposite z. */
  readonly thorax: {
    readonly ij: Vec;
    readonly c7: Vec;
    readonly px: Vec;
    readonly t8: Vec;
    readonly shoulder: Vec;
    readonly acromion: Vec;
    /** IJ above the lumbar joint. */
    readonly fromLumbar: Vec;
    readonly neck: Vec;
  };
  /** Head frame, origin midway between the ears; the frame of the markers is pitched against it. */
  readonly head: { readonly fromNeck: Vec; readonly ear: number; readonly orbit: Vec };
  readonly upperArm: number;
  readonly forearm: number;
  readonly thigh: number;
  readonly shank: number;
  readonly ankleHeight: number;
  /** ASIS to medial malleolus in the static pose. */
  readonly legLength: number;
}

/** Foot frame, origin ankle centre: X toward the toes, Y up, Z to the right; right foot (z outward). Shares of size. */
export const FOOT = {
  lateralMalleolus: vec(-0.006, 0.003, 0.036),
  medialMalleolus: vec(0.006, -0.003, -0.036),
  heel: vec(-0.06, -0.045, 0),
  mt1: vec(0.125, -0.05, -0.03),
  mt5: vec(0.1, -0.05, 0.045),
  toe: vec(0.185, -0.05, -0.005),
} as const;

export const ANKLE_HEIGHT = 0.07;
export const STATIC_KNEE_SHARE = 0.995;
export const STATIC_PELVIS_BEND_deg = 9;

export function makeBody(spec: PlayerSpec): Body {
  const size = spec.height_m / 1.78;
  const female = spec.sex === 'female';
  const asis = (female ? 0.248 : 0.236) * size;
  const depth = (female ? 0.146 : 0.155) * size;
  const thorax = makeThorax(size, female);
  const thigh = 0.436 * size;
  const shank = 0.432 * size;
  const ankleHeight = ANKLE_HEIGHT * size;
  let legLength = 0.52 * spec.height_m;
  let hip: Vec = vec(0, 0, 0);
  // The hip regression uses the leg length, the leg length the hip: a fixed point with a factor of 0.04.
  for (let i = 0; i < 40; i += 1) {
    hip = hipCentre(asis, depth, legLength);
    legLength = staticLegLength(hip, asis, thigh, shank, size);
  }
  return {
    spec,
    size,
    pelvis: {
      asis: asis / 2,
      psis: vec(-depth, 0, 0.044 * size),
      hip,
      lumbar: female ? vec(-0.34 * asis, 0.049 * asis, 0) : vec(-0.335 * asis, -0.032 * asis, 0),
    },
    thorax,
    head: { fromNeck: vec(0.02 * size, 0.14 * size, 0), ear: 0.074, orbit: vec(0.078, 0.012, 0.036) },
    upperArm: 0.31 * size,
    forearm: 0.262 * size,
    thigh,
    shank,
    ankleHeight,
    legLength,
  };
}

/** Right hip centre from mid-ASIS (Harrington 2007, two variables), metres. */
function hipCentre(asis: number, depth: number, leg: number): Vec {
  return vec(-0.24 * depth - 0.0099, -0.16 * asis - 0.04 * leg - 0.0071, 0.28 * depth + 0.16 * asis + 0.0079);
}

/** Straight vertical legs under a pelvis tilted as in the static pose. */
function staticLegLength(hip: Vec, asis: number, thigh: number, shank: number, size: number): number {
  const tilt = turnSideBend(0, 0, -STATIC_PELVIS_BEND_deg * RAD);
  const spine = turnOut(tilt, sub(vec(0, 0, asis / 2), hip));
  const ankle = vec(0, -STATIC_KNEE_SHARE * (thigh + shank), 0);
  return distance(spine, add(ankle, scale(FOOT.medialMalleolus, size)));
}

function makeThorax(size: number, female: boolean): Body['thorax'] {
  const ij = vec(0, 0, 0);
  const c7 = vec(-0.12 * size, 0.056 * size, 0);
  // mid(PX, T8) lies straight below mid(IJ, C7): the ISB Y axis of the landmarks is the frame's own.
  const px = vec(0.012 * size, -0.17 * size, 0);
  const t8 = vec(-0.132 * size, -0.134 * size, 0);
  const shoulder = vec(-0.062 * size, -0.022 * size, (female ? 0.162 : 0.172) * size);
  // Dumas and Wojtusch 2018: centre = acromion + share of |C7−IJ| at an angle from C7→IJ toward the up side.
  const width = distance(ij, c7);
  const forward = scale(sub(ij, c7), 1 / width);
  const upward = vec(-forward[1], forward[0], 0);
  const angle = (female ? -5 : -11) * RAD;
  const share = (female ? 0.36 : 0.33) * width;
  const offset = add(scale(forward, share * Math.cos(angle)), scale(upward, share * Math.sin(angle)));
  return {
    ij,
    c7,
    px,
    t8,
    shoulder,
    acromion: sub(shoulder, offset),
    fromLumbar: vec(0.055 * size, 0.42 * size, 0),
    neck: vec(-0.07 * size, 0.05 * size, 0),
  };
}

/** The other side of a right-side point. */
export const otherSide = (p: Vec): Vec => [p[0], p[1], -p[2]];

/** The markers' own head frame against the head's: ears and orbits are not level. */
export const headAxes = (turn: number, side: number, forward: number): Axes => turnSideBend(turn, side, -forward);
