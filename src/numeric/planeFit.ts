/** Planes through points. */

import { symmetricEigen3 } from './svd3.ts';

export interface PlaneFit {
  /** Unit normal, sign arbitrary. */
  readonly normal: Float64Array;
  readonly centre: Float64Array;
  /** RMS distance of the points from the plane, in their unit. */
  readonly rms: number;
  /** Middle over largest spread in the plane, 0..1: near 0 the points are a line and the normal means nothing. */
  readonly breadth: number;
}

/** Plane of least squared distance to `count` points held as x, y, z one after the other; points with NaN are left out. Null below 3 points. */
export function fitPlane(points: Float64Array, count: number): PlaneFit | null {
  const centre = new Float64Array(3);
  let n = 0;
  const isAbsent = (k: number): boolean => Number.isNaN(points[3 * k]! + points[3 * k + 1]! + points[3 * k + 2]!);
  for (let k = 0; k < count; k++) {
    if (isAbsent(k)) continue;
    for (let c = 0; c < 3; c++) centre[c] = centre[c]! + points[3 * k + c]!;
    n += 1;
  }
  if (n < 3) return null;
  for (let c = 0; c < 3; c++) centre[c] = centre[c]! / n;
  const moment = new Float64Array(9);
  for (let k = 0; k < count; k++) {
    if (isAbsent(k)) continue;
    for (let r = 0; r < 3; r++) {
      for (let c = r; c < 3; c++) {
        const e = (points[3 * k + r]! - centre[r]!) * (points[3 * k + c]! - centre[c]!);
        moment[3 * r + c] = moment[3 * r + c]! + e;
      }
    }
  }
  const values = new Float64Array(3);
  const vectors = new Float64Array(9);
  symmetricEigen3(moment, values, vectors);
  const normal = Float64Array.of(vectors[0]!, vectors[3]!, vectors[6]!);
  let sum = 0;
  for (let k = 0; k < count; k++) {
    if (isAbsent(k)) continue;
    let e = 0;
    for (let c = 0; c < 3; c++) e += normal[c]! * (points[3 * k + c]! - centre[c]!);
    sum += e * e;
  }
  const breadth = values[2]! > 0 ? Math.sqrt(Math.max(0, values[1]!) / values[2]!) : 0;
  return { normal, centre, rms: Math.sqrt(sum / n), breadth };
}
