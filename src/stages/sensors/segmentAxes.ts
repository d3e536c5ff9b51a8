/** From two directions in a sensor's axes to the segment's axes: gravity first, then the axis of a movement or the way it faces. */

import type { Vec3 } from '../../model/calibration.ts';
import { cross, norm, normalize } from '../../numeric/vector.ts';

/**
 * R_sensor_segment, row-major, of Y along `up`, X = Y × `flexion`, Z = X × Y: the segment's axes when it stands upright, of which `flexion`
 * points to its right (after Black HD 1964, AIAA J 2:1350-1351, two vectors of which the first holds exactly; from memory). Neither need be
 * of unit length. NaN where they are parallel.
 */
export function axesFromFlexion(up: Vec3, flexion: Vec3): readonly number[] {
  const y = new Float64Array(3);
  const x = new Float64Array(3);
  normalize(up, y);
  cross(y, flexion, x);
  return columns(x, y);
}

/** The same from the direction that faces forward in the pose: Z = `forward` × Y. */
export function axesFromFacing(up: Vec3, forward: Vec3): readonly number[] {
  const right = new Float64Array(3);
  cross(forward, up, right);
  return axesFromFlexion(up, [right[0]!, right[1]!, right[2]!]);
}

/** Only the long axis is known: the sensor axis farthest from it, made perpendicular, stands for X. */
export function axesFromLongAxis(up: Vec3): readonly number[] {
  const size = up.map(Math.abs);
  const least = size[0]! <= size[1]! && size[0]! <= size[2]! ? 0 : size[1]! <= size[2]! ? 1 : 2;
  return axesFromFacing(up, [least === 0 ? 1 : 0, least === 1 ? 1 : 0, least === 2 ? 1 : 0]);
}

function columns(across: Float64Array, y: Float64Array): readonly number[] {
  const x = new Float64Array(3);
  const z = new Float64Array(3);
  if (norm(across) < 1e-9) x.fill(Number.NaN);
  else normalize(across, x);
  cross(x, y, z);
  return [x[0]!, y[0]!, z[0]!, x[1]!, y[1]!, z[1]!, x[2]!, y[2]!, z[2]!];
}
