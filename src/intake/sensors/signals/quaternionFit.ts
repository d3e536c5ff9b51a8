/** Quaternions of a file against the gyro and gravity of the same sensor: which reading fits, if any. */

import { mulT3, rotationAngle, rotationFromQuaternion } from '../../../numeric/rotationKernels.ts';
import { missingBefore, turningOf } from './calm.ts';
import { DEG } from './tiltFit.ts';

export type QuaternionOrder = 'wxyz' | 'xyzw';
export type QuaternionDirection = 'sensor-to-world' | 'world-to-sensor';

export interface QuaternionReading {
  readonly order: QuaternionOrder;
  readonly direction: QuaternionDirection;
}

export interface ReadingFit extends QuaternionReading {
  /** Root mean square angle between turns of half a second by the quaternions and by the gyro, over windows with motion; NaN where none moves. */
  readonly miss_rad: number;
}

export interface QuaternionFit {
  /** All four readings, the one asked for first. */
  readonly readings: readonly ReadingFit[];
  /** Windows in which the quaternions or the gyro turn by more than 5°. */
  readonly windows: number;
  /** Root mean square turn in them by the gyro. */
  readonly turn_rad: number;
  readonly limit_rad: number;
}

export const WINDOW_s = 0.5;
const MOVING_rad = 5 * DEG;
/** A fused orientation lags or smooths by a few degrees in fast motion; another reading misses by the turn itself. */
const LIMIT_rad = 5 * DEG;
const LIMIT_SHARE = 0.15;

export const READINGS: readonly QuaternionReading[] = [
  { order: 'wxyz', direction: 'sensor-to-world' },
  { order: 'wxyz', direction: 'world-to-sensor' },
  { order: 'xyzw', direction: 'sensor-to-world' },
  { order: 'xyzw', direction: 'world-to-sensor' },
];

const PLACES: Readonly<Record<QuaternionOrder, readonly number[]>> = { wxyz: [0, 1, 2, 3], xyzw: [3, 0, 1, 2] };

/** R_world_sensor of a planar 4 × rows array by one reading, frame-major 9 × rows; NaN where the four numbers are missing or all zero. */
export function rotationsOf(quaternion: Float64Array, rows: number, reading: QuaternionReading): Float64Array {
  const places = PLACES[reading.order];
  const out = new Float64Array(9 * rows);
  const q = new Float64Array(4);
  for (let row = 0; row < rows; row += 1) {
    for (let k = 0; k < 4; k += 1) q[k] = quaternion[places[k]! * rows + row]!;
    const length = Math.hypot(q[0]!, q[1]!, q[2]!, q[3]!);
    if (!(length > 0)) {
      out.fill(Number.NaN, 9 * row, 9 * row + 9);
      continue;
    }
    const inverse = reading.direction === 'world-to-sensor' ? -1 : 1;
    q[0] = q[0]! / length;
    for (let k = 1; k < 4; k += 1) q[k] = (inverse * q[k]!) / length;
    rotationFromQuaternion(q, 0, out, 9 * row);
  }
  return out;
}

/** Largest distance of the quaternions' length from 1 that 95 % of the rows keep, missing and zero rows left out; NaN for none. */
export function lengthError(quaternion: Float64Array, rows: number): number {
  const errors: number[] = [];
  for (let row = 0; row < rows; row += 1) {
    const length = Math.hypot(
      quaternion[row]!,
      quaternion[rows + row]!,
      quaternion[2 * rows + row]!,
      quaternion[3 * rows + row]!,
    );
    if (length > 0) errors.push(Math.abs(length - 1));
  }
  errors.sort((a, b) => a - b);
  return errors[Math.floor(0.95 * (errors.length - 1))] ?? Number.NaN;
}

/** Compares all readings with the gyro (rad/s by `toRad`) over windows of half a second that begin every tenth of one. */
export function fitQuaternions(
  quaternion: Float64Array,
  gyro: Float64Array,
  times_s: Float64Array,
  toRad: number,
  asked: QuaternionReading,
): QuaternionFit {
  const rows = times_s.length;
  const turning = turningOf(gyro, times_s, toRad);
  const noGyro = missingBefore(gyro, rows);
  const noQuaternion = missingBefore(quaternion, rows);
  const order = [asked, ...READINGS.filter((one) => one.order !== asked.order || one.direction !== asked.direction)];
  const rotations = order.map((reading) => rotationsOf(quaternion, rows, reading));
  const squares = new Float64Array(order.length);
  let windows = 0;
  let turned = 0;
  const byGyro = new Float64Array(9);
  const byFile = new Float64Array(9);
  const between = new Float64Array(9);
  let next = Number.NEGATIVE_INFINITY;
  let to = 0;
  for (let from = 0; from < rows; from += 1) {
    if (times_s[from]! < next) continue;
    next = times_s[from]! + WINDOW_s / 10;
    while (to < rows && times_s[to]! < times_s[from]! + WINDOW_s - 1e-9) to += 1;
    if (to >= rows) break;
    if (noGyro[to + 1] !== noGyro[from] || noQuaternion[to + 1] !== noQuaternion[from]) continue;
    if (times_s[to]! > times_s[from]! + 1.5 * WINDOW_s) continue;
    mulT3(turning, 9 * from, turning, 9 * to, byGyro, 0);
    const turn = rotationAngle(byGyro, 0);
    const angles = rotations.map((R) => {
      mulT3(R, 9 * from, R, 9 * to, byFile, 0);
      mulT3(byFile, 0, byGyro, 0, between, 0);
      return rotationAngle(between, 0);
    });
    mulT3(rotations[0]!, 9 * from, rotations[0]!, 9 * to, byFile, 0);
    if (angles.some(Number.isNaN) || (turn < MOVING_rad && rotationAngle(byFile, 0) < MOVING_rad)) continue;
    windows += 1;
    turned += turn * turn;
    angles.forEach((angle, i) => {
      squares[i]! += angle * angle;
    });
  }
  const turn_rad = Math.sqrt(turned / windows);
  return {
    readings: order.map((reading, i) => ({ ...reading, miss_rad: Math.sqrt(squares[i]! / windows) })),
    windows,
    turn_rad,
    limit_rad: Math.max(LIMIT_rad, LIMIT_SHARE * turn_rad),
  };
}

/** A reading in words. */
export function readingInWords({ order, direction }: QuaternionReading): string {
  return `${order === 'wxyz' ? 'w x y z' : 'x y z w'}, ${direction.replaceAll('-', ' ')}`;
}
