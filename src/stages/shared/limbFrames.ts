/**
 * Axes of limb segments from landmarks: X anterior, Y proximal, Z to the player's right on both sides. Kernels on plain numbers, three a
 * point in the order named; "left, right" is a pair across the segment, the left one first. Points on a line, or NaN, give NaN.
 */

import { type FrameKernel, frameFromYZ, frameFromZX } from './segmentFrames.ts';

/** Nearer to straight than this, the plane of two long axes is nobody's: 1 mm on 300 mm turns it by 1° already (choice of this program). */
const LEAST_BEND_rad = (15 * Math.PI) / 180;
const LEAST_SINE = Math.sin(LEAST_BEND_rad);

/**
 * p: proximal joint centre, left, right. Y exactly from the middle of the pair to the joint centre, Z in the plane of the three: humerus
 * after the first option (Wu 2005, J Biomech 38:981-992), femur (Wu 2002, J Biomech 35:543-548), and every segment with one proximal point.
 */
export function frameFromTop(p: Float64Array, out: Float64Array, off: number): void {
  frameFromYZ(
    p[0]! - (p[3]! + p[6]!) / 2,
    p[1]! - (p[4]! + p[7]!) / 2,
    p[2]! - (p[5]! + p[8]!) / 2,
    p[6]! - p[3]!,
    p[7]! - p[4]!,
    p[8]! - p[5]!,
    out,
    off,
  );
}

/**
 * p: two proximal landmarks, left, right. Y exactly from the middle of left and right to the middle of the proximal two, Z as near to the
 * line left → right as a right angle allows: shank (Grood and Suntay 1983, J Biomech Eng 105:136-144: the long axis holds), hand.
 */
export function frameFromPairs(p: Float64Array, out: Float64Array, off: number): void {
  frameFromYZ(
    (p[0]! + p[3]! - p[6]! - p[9]!) / 2,
    (p[1]! + p[4]! - p[7]! - p[10]!) / 2,
    (p[2]! + p[5]! - p[8]! - p[11]!) / 2,
    p[9]! - p[6]!,
    p[10]! - p[7]!,
    p[11]! - p[8]!,
    out,
    off,
  );
}

/**
 * Forearm of Wu 2005: Y exactly from the ulnar styloid to the middle of the elbow landmarks, X normal to the plane through both styloids and
 * that middle. `radial`: +1 where the radial styloid is the right one (right arm), −1 left. p: ulnar, radial styloid, one or two elbow landmarks.
 */
export function forearmFrame(radial: 1 | -1, elbowLandmarks: 1 | 2): FrameKernel {
  const second = elbowLandmarks === 2 ? 9 : 6;
  return (p, out, off) => {
    frameFromYZ(
      (p[6]! + p[second]!) / 2 - p[0]!,
      (p[7]! + p[second + 1]!) / 2 - p[1]!,
      (p[8]! + p[second + 2]!) / 2 - p[2]!,
      radial * (p[3]! - p[0]!),
      radial * (p[4]! - p[1]!),
      radial * (p[5]! - p[2]!),
      out,
      off,
    );
  };
}

/**
 * Humerus after the second option of Wu 2005: p: shoulder centre, elbow, ulnar styloid. Y from the elbow to the shoulder, Z normal to the plane
 * of that and the forearm's long axis, to the right when the elbow is bent. NaN within 15° of a straight elbow.
 */
export function upperArmFrameByForearm(p: Float64Array, out: Float64Array, off: number): void {
  const yx = p[0]! - p[3]!;
  const yy = p[1]! - p[4]!;
  const yz = p[2]! - p[5]!;
  const fx = p[3]! - p[6]!;
  const fy = p[4]! - p[7]!;
  const fz = p[5]! - p[8]!;
  const zx = yy * fz - yz * fy;
  const zy = yz * fx - yx * fz;
  const zz = yx * fy - yy * fx;
  const sine = Math.sqrt(
    (zx * zx + zy * zy + zz * zz) / ((yx * yx + yy * yy + yz * yz) * (fx * fx + fy * fy + fz * fz)),
  );
  if (sine < LEAST_SINE) out.fill(Number.NaN, off, off + 9);
  else frameFromYZ(yx, yy, yz, zx, zy, zz, out, off);
}

/**
 * p: heel, left, right metatarsal head. X exactly from the heel to the middle of the metatarsal heads, Z in the plane of the three, Y out of the
 * sole. Technical: the ISB's calcaneus has its axes from the standing pose (Wu 2002).
 */
export function footFrame(p: Float64Array, out: Float64Array, off: number): void {
  const xx = (p[3]! + p[6]!) / 2 - p[0]!;
  const xy = (p[4]! + p[7]!) / 2 - p[1]!;
  const xz = (p[5]! + p[8]!) / 2 - p[2]!;
  const wx = p[6]! - p[3]!;
  const wy = p[7]! - p[4]!;
  const wz = p[8]! - p[5]!;
  // left → right less its part along X
  const along = (wx * xx + wy * xy + wz * xz) / (xx * xx + xy * xy + xz * xz);
  frameFromZX(wx - along * xx, wy - along * xy, wz - along * xz, xx, xy, xz, out, off);
}
