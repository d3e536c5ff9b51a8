/** The last step of a sensor's way in: world Y up, and the one reflection of a left-hander. */

import type { SignedAxis } from '../../model/dayPlan.ts';
import { axisVector } from '../detectFacts.ts';

/**
 * Rows of the new world (X, Y up, Z = X × Y) in the file's axes. X is the target where it is set and level, otherwise the file axis that follows the
 * up axis in the order X Y Z: headings of such worlds are arbitrary but the same for all sensors.
 */
export function worldRows(up: SignedAxis, target: SignedAxis | null): readonly number[] {
  const y = axisVector(up);
  const following = { X: '+Y', Y: '+Z', Z: '+X' } as const;
  const x = axisVector(target !== null && target[1] !== up[1] ? target : following[up[1] as 'X' | 'Y' | 'Z']);
  const z = [x[1] * y[2] - x[2] * y[1], x[2] * y[0] - x[0] * y[2], x[0] * y[1] - x[1] * y[0]];
  return [...x, ...y, ...z];
}

/** W · R for all rows of a 9 × rows array, mirrored for a left-hander: S·W·R·S with S = diag(1, 1, −1) (definitions 1). */
export function toWorldInto(out: Float64Array, R: Float64Array, W: readonly number[], mirror: boolean): void {
  for (let at = 0; at < R.length; at += 9) {
    for (let r = 0; r < 3; r += 1) {
      for (let c = 0; c < 3; c += 1) {
        const value = W[3 * r]! * R[at + c]! + W[3 * r + 1]! * R[at + 3 + c]! + W[3 * r + 2]! * R[at + 6 + c]!;
        out[at + 3 * r + c] = mirror && (r === 2) !== (c === 2) ? -value : value;
      }
    }
  }
}

/** Vectors of sensor axes (x, y, −z) of a left-hander: specific force and field as directions, angular velocity as an axial vector. */
export function mirrorInto(planar: Float64Array, rows: number, kind: 'direction' | 'axial'): void {
  const from = kind === 'direction' ? 2 * rows : 0;
  const to = kind === 'direction' ? 3 * rows : 2 * rows;
  for (let i = from; i < to; i += 1) planar[i] = -planar[i]!;
}
