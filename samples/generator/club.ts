/** Invented clubs. Club frame: first coordinate down the shaft from the butt, second toward the toe, third out of the back of the face (right-handed). */
import { cross, dot, RAD, scale, sub, unit, type Vec, vec } from './geometry.ts';

export interface ClubSpec {
  readonly id: string;
  readonly kind: 'driver' | 'iron';
  readonly length_m: number;
  readonly loft_deg: number;
  readonly lie_deg: number;
}

export interface Club {
  readonly spec: ClubSpec;
  readonly grip: Vec;
  readonly shaft: Vec;
  readonly head: readonly [Vec, Vec, Vec];
  readonly face: Vec;
  /** Face centre in the frame of the three head markers, mm: as the day file has it for a right-hander's club. */
  readonly face_mm: Vec;
  /** Direction that the face looks, in the club frame: with the shaft across the target line at its lie, toward the target and raised by the loft. */
  readonly normal: Vec;
  /** The same in the frame of the three head markers, as the day file has it for a right-hander's club. */
  readonly faceNormal: Vec;
  /** Height of the face centre above the ground when it strikes, metres (the driver's ball is teed). */
  readonly strikeHeight: number;
}

export const DRIVER: ClubSpec = { id: 'driver', kind: 'driver', length_m: 1.143, loft_deg: 10.5, lie_deg: 58 };
export const IRON_5: ClubSpec = { id: 'iron5', kind: 'iron', length_m: 0.965, loft_deg: 26, lie_deg: 61 };
export const IRON_7: ClubSpec = { id: 'iron7', kind: 'iron', length_m: 0.94, loft_deg: 33, lie_deg: 62.5 };
export const IRON_9: ClubSpec = { id: 'iron9', kind: 'iron', length_m: 0.914, loft_deg: 42, lie_deg: 64 };

export function makeClub(spec: ClubSpec): Club {
  const L = spec.length_m;
  const driver = spec.kind === 'driver';
  const head: readonly [Vec, Vec, Vec] = driver
    ? [vec(L - 0.052, 0.006, -0.002), vec(L - 0.036, 0.1, 0.006), vec(L - 0.05, 0.052, 0.066)]
    : [vec(L - 0.07, 0.014, 0.01), vec(L - 0.016, 0.084, 0.013), vec(L + 0.004, 0.011, 0.021)];
  const face = driver ? vec(L - 0.03, 0.05, -0.012) : vec(L - 0.022, 0.036, -0.001);
  const x = unit(sub(head[1], head[0]));
  const z = unit(cross(x, sub(head[2], head[0])));
  const y = cross(z, x);
  const from = sub(face, head[0]);
  const [lie, loft] = [spec.lie_deg * RAD, spec.loft_deg * RAD];
  const normal = vec(-Math.sin(lie) * Math.sin(loft), Math.cos(lie) * Math.sin(loft), -Math.cos(loft));
  return {
    spec,
    grip: vec(0.3, 0, 0),
    shaft: vec(0.72, 0, 0),
    head,
    face,
    face_mm: scale([dot(x, from), dot(y, from), dot(z, from)], 1000),
    normal,
    faceNormal: [dot(x, normal), dot(y, normal), dot(z, normal)],
    strikeHeight: driver ? 0.048 : 0.02,
  };
}
