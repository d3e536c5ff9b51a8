/** Shoulder and neck joint centres: Dumas and Wojtusch 2018 (Handbook of Human Motion) from acromion, IJ, C7 and T8, and Rab 2002. */

import type { Sex, ShoulderMethod } from '../../model/dayPlan.ts';

/** Length as a share of |C7 − IJ| and angle from x_c = C7 → IJ toward y_c, rad. */
interface Offset {
  readonly share: number;
  readonly angle_rad: number;
}
type BySex = Readonly<Record<Sex, Offset>>;

function rad(angle_deg: number): number {
  return (angle_deg * Math.PI) / 180;
}

/** From the acromion. */
const SHOULDER: BySex = {
  male: { share: 0.33, angle_rad: rad(-11) },
  female: { share: 0.36, angle_rad: rad(-5) },
};

/** From C7, to the joint between C7 and T1. */
const NECK: BySex = {
  male: { share: 0.55, angle_rad: rad(8) },
  female: { share: 0.53, angle_rad: rad(14) },
};

/**
 * Shoulder centre = acromion + share · |C7 − IJ| · (cos a · x_c + sin a · y_c), with x_c along C7 → IJ, z_c = x_c × (C7 − T8) and
 * y_c = z_c × x_c; forward and down from the acromion. Any unit of length, any frame; `sex` null gives the mean of both.
 */
export function shoulderCentre(
  acromion: ArrayLike<number>,
  ij: ArrayLike<number>,
  c7: ArrayLike<number>,
  t8: ArrayLike<number>,
  sex: Sex | null,
  out: number[] | Float64Array,
): void {
  offsetFrom(acromion, ij, c7, t8, SHOULDER, sex, out);
}

/** Neck joint (C7–T1): C7 + 0.55 |C7 − IJ| at +8° (male), 0.53 at +14° (female), in the axes of `shoulderCentre`: forward and up from C7. */
export function neckCentre(
  ij: ArrayLike<number>,
  c7: ArrayLike<number>,
  t8: ArrayLike<number>,
  sex: Sex | null,
  out: number[] | Float64Array,
): void {
  offsetFrom(c7, ij, c7, t8, NECK, sex, out);
}

function offsetFrom(
  from: ArrayLike<number>,
  ij: ArrayLike<number>,
  c7: ArrayLike<number>,
  t8: ArrayLike<number>,
  table: BySex,
  sex: Sex | null,
  out: number[] | Float64Array,
): void {
  const wx = ij[0]! - c7[0]!;
  const wy = ij[1]! - c7[1]!;
  const wz = ij[2]! - c7[2]!;
  const width = Math.sqrt(wx * wx + wy * wy + wz * wz);
  const x0 = wx / width;
  const x1 = wy / width;
  const x2 = wz / width;
  const u0 = c7[0]! - t8[0]!;
  const u1 = c7[1]! - t8[1]!;
  const u2 = c7[2]! - t8[2]!;
  let z0 = x1 * u2 - x2 * u1;
  let z1 = x2 * u0 - x0 * u2;
  let z2 = x0 * u1 - x1 * u0;
  const n = 1 / Math.sqrt(z0 * z0 + z1 * z1 + z2 * z2);
  z0 *= n;
  z1 *= n;
  z2 *= n;
  const female = sex === 'female' ? 1 : sex === null ? 0.5 : 0;
  const alongX = part(table, female, Math.cos) * width;
  const alongY = part(table, female, Math.sin) * width;
  out[0] = from[0]! + alongX * x0 + alongY * (z1 * x2 - z2 * x1);
  out[1] = from[1]! + alongX * x1 + alongY * (z2 * x0 - z0 * x2);
  out[2] = from[2]! + alongX * x2 + alongY * (z0 * x1 - z1 * x0);
}

function part(table: BySex, female: number, of: (angle_rad: number) => number): number {
  return (
    female * table.female.share * of(table.female.angle_rad) +
    (1 - female) * table.male.share * of(table.male.angle_rad)
  );
}

const RAB_SHARE = 0.17;

/**
 * Shoulder centre after Rab, Petuskey and Bagley 2002, Gait Posture 15:113-119 (from memory): below the acromion by 17 % of the distance
 * of both acromia, along the thorax axis `up` (a unit vector). Any unit of length, any frame.
 */
export function shoulderCentreRab(
  acromion: ArrayLike<number>,
  otherAcromion: ArrayLike<number>,
  up: ArrayLike<number>,
  out: number[] | Float64Array,
): void {
  const x = acromion[0]! - otherAcromion[0]!;
  const y = acromion[1]! - otherAcromion[1]!;
  const z = acromion[2]! - otherAcromion[2]!;
  const drop = RAB_SHARE * Math.sqrt(x * x + y * y + z * z);
  for (let c = 0; c < 3; c++) out[c] = acromion[c]! - drop * up[c]!;
}

/** The regression's name as it is stored with results. */
export function shoulderRegressionName(sex: Sex | null, method: ShoulderMethod = 'dumas-wojtusch'): string {
  return method === 'rab' ? 'Rab 2002' : `Dumas and Wojtusch 2018, ${sex ?? 'mean of female and male'}`;
}
