/**
 * Orientation of one sensor from angular velocity and specific force over a whole recording, written from the papers of their authors.
 *
 * Inside, quaternions (w, x, y, z) turn sensor coordinates into a world whose Z is up, as in the papers; what leaves is R_world_sensor of a
 * world whose Y is up: X stays, Y = up, Z = −Y of the papers' world. Without a magnetometer the heading starts at zero and drifts.
 */

import { multiplyQuaternions } from '../rotationKernels.ts';
import { stepVector } from '../strapdown.ts';

/** Samples of one sensor without missing ones (dropped samples are longer steps), in sensor axes. */
export interface InertialSignals {
  readonly count: number;
  /** Seconds, strictly increasing, with stride `count` beside the planar arrays. */
  readonly times_s: Float64Array;
  /** Planar 3 × count, rad/s. */
  readonly gyro: Float64Array;
  /** Planar 3 × count, m/s²; at rest it points up. */
  readonly acc: Float64Array;
  /** Planar 3 × count in any unit, or null. */
  readonly mag: Float64Array | null;
  /** Per sample: 1 where specific force must not correct anything (a swing); null: nowhere. */
  readonly held: Uint8Array | null;
}

/** Smallest specific force and field that have a direction, in their units. */
const NO_DIRECTION = 1e-9;

const vector = new Float64Array(3);
const turn = new Float64Array(4);

/** q ← q ⊗ exp(rotation vector / 2): turns further about the sensor's own axes. */
export function turnQuaternion(q: Float64Array, v: ArrayLike<number>): void {
  const angle = Math.sqrt(v[0]! * v[0]! + v[1]! * v[1]! + v[2]! * v[2]!);
  const f = angle > 1e-8 ? Math.sin(angle / 2) / angle : 0.5;
  turn[0] = Math.cos(angle / 2);
  for (let c = 0; c < 3; c++) turn[c + 1] = f * v[c]!;
  multiplyQuaternions(q, 0, turn, 0, q, 0);
}

/** Scales a quaternion to length 1. */
export function normalizeQuaternion(q: Float64Array): void {
  const f = 1 / Math.sqrt(q[0]! * q[0]! + q[1]! * q[1]! + q[2]! * q[2]! + q[3]! * q[3]!);
  for (let i = 0; i < 4; i++) q[i] = q[i]! * f;
}

/** Turns `q` by the gyro's step from sample k − 1 to k, less a bias (rad/s), by the rule of `strapDown`. */
export function turnByGyro(signals: InertialSignals, k: number, bias: ArrayLike<number>, q: Float64Array): void {
  const { times_s, gyro, count } = signals;
  stepVector(times_s, gyro, count, k, 1, vector);
  const h = times_s[k]! - times_s[k - 1]!;
  for (let c = 0; c < 3; c++) vector[c] = vector[c]! - h * bias[c]!;
  turnQuaternion(q, vector);
}

/** v_world = q ⊗ v ⊗ q*, the papers' world. `out` may be `v`. */
export function toWorld(q: Float64Array, v: ArrayLike<number>, out: Float64Array): void {
  const w = q[0]!;
  const x = q[1]!;
  const y = q[2]!;
  const z = q[3]!;
  const a = v[0]!;
  const b = v[1]!;
  const c = v[2]!;
  const tx = 2 * (y * c - z * b);
  const ty = 2 * (z * a - x * c);
  const tz = 2 * (x * b - y * a);
  out[0] = a + w * tx + y * tz - z * ty;
  out[1] = b + w * ty + z * tx - x * tz;
  out[2] = c + w * tz + x * ty - y * tx;
}

/**
 * Start: the least turn that brings the mean specific force of the first `seconds` (that are not held) to vertical. False, and no turn, where
 * it has no direction.
 */
export function startFromGravity(signals: InertialSignals, seconds: number, q: Float64Array): boolean {
  const { times_s, acc, count, held } = signals;
  let x = 0;
  let y = 0;
  let z = 0;
  for (let k = 0; k < count && times_s[k]! <= times_s[0]! + seconds; k++) {
    if (held !== null && held[k] === 1) continue;
    x += acc[k]!;
    y += acc[count + k]!;
    z += acc[2 * count + k]!;
  }
  q.fill(0);
  q[0] = 1;
  const length = Math.sqrt(x * x + y * y + z * z);
  if (!(length > NO_DIRECTION)) return false;
  levelling(x / length, y / length, z / length, q);
  return true;
}

/** The least turn that brings a unit vector to +Z; half a turn about X where it points down. */
export function levelling(x: number, y: number, z: number, q: Float64Array): void {
  const w = Math.sqrt(Math.max(0, (z + 1) / 2));
  if (w > 1e-6) {
    q[0] = w;
    q[1] = (0.5 * y) / w;
    q[2] = (-0.5 * x) / w;
    q[3] = 0;
  } else {
    q[0] = 0;
    q[1] = 1;
    q[2] = 0;
    q[3] = 0;
  }
}

/** R_world_sensor with world Y up from a quaternion of the papers' world, at `offset`. */
export function writeRotation(q: Float64Array, R: Float64Array, offset: number): void {
  const w = q[0]!;
  const x = q[1]!;
  const y = q[2]!;
  const z = q[3]!;
  R[offset] = 1 - 2 * (y * y + z * z);
  R[offset + 1] = 2 * (x * y - w * z);
  R[offset + 2] = 2 * (x * z + w * y);
  R[offset + 3] = 2 * (x * z - w * y);
  R[offset + 4] = 2 * (y * z + w * x);
  R[offset + 5] = 1 - 2 * (x * x + y * y);
  R[offset + 6] = -2 * (x * y + w * z);
  R[offset + 7] = -(1 - 2 * (x * x + z * z));
  R[offset + 8] = -2 * (y * z - w * x);
}
