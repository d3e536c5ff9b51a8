/** Shoulder joint centre from the acromion (Dumas and Wojtusch 2018, Handbook of Human Motion). */

/** Length as a share of |C7 − IJ| and angle from x_c = C7 → IJ toward y_c, rad. */
const OFFSET = {
  male: { share: 0.33, angle_rad: (-11 * Math.PI) / 180 },
  female: { share: 0.36, angle_rad: (-5 * Math.PI) / 180 },
} as const;

/**
 * Shoulder centre = acromion + share · |C7 − IJ| · (cos a · x_c + sin a · y_c), with x_c along C7 → IJ, z_c = x_c × (C7 − T8) and
 * y_c = z_c × x_c; forward and down from the acromion. Any unit of length, any frame; `sex` null gives the mean of both.
 */
export function shoulderCentre(
  acromion: ArrayLike<number>,
  ij: ArrayLike<number>,
  c7: ArrayLike<number>,
  t8: ArrayLike<number>,
  sex: 'female' | 'male' | null,
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
  const alongX = part(female, Math.cos) * width;
  const alongY = part(female, Math.sin) * width;
  out[0] = acromion[0]! + alongX * x0 + alongY * (z1 * x2 - z2 * x1);
  out[1] = acromion[1]! + alongX * x1 + alongY * (z2 * x0 - z0 * x2);
  out[2] = acromion[2]! + alongX * x2 + alongY * (z0 * x1 - z1 * x0);
}

function part(female: number, of: (angle_rad: number) => number): number {
  return (
    female * OFFSET.female.share * of(OFFSET.female.angle_rad) +
    (1 - female) * OFFSET.male.share * of(OFFSET.male.angle_rad)
  );
}

/** The regression's name as it is stored with results. */
export function shoulderRegressionName(sex: 'female' | 'male' | null): string {
  return `Dumas and Wojtusch 2018, ${sex ?? 'mean of female and male'}`;
}
