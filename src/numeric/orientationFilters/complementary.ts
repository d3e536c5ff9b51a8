/** Complementary filter on the rotation group (Mahony, Hamel and Pflimlin 2008, IEEE Trans Autom Control 53:1203-1218), vertical only. */

import {
  type InertialSignals,
  normalizeQuaternion,
  startFromGravity,
  turnByGyro,
  turnQuaternion,
  writeRotation,
} from './signals.ts';

export interface ComplementaryOptions {
  /** Gain on the error of the vertical, 1/s: about one over the time in which an error of inclination is taken back. */
  readonly kp: number;
  /** Gain of the bias, 1/s²; 0: the bias stays as given. */
  readonly ki: number;
  /** Bias at the start, rad/s. */
  readonly bias: ArrayLike<number>;
  /** Specific force of the first so many seconds gives the start. */
  readonly start_s: number;
}

/** kp 0.2: on the open recordings nearer to the reference than 0.4 and 0.8, and back at gravity sooner than 0.1 after a fast hand. */
export const DEFAULT_COMPLEMENTARY: ComplementaryOptions = { kp: 0.2, ki: 0.001, bias: [0, 0, 0], start_s: 0.5 };

const error = new Float64Array(3);
const v = new Float64Array(3);

/**
 * e = a × R^T up (the one measured direction of their explicit filter); ḃ = −ki e; the rate is w − b + kp e. The gyro's part is the exact step of
 * `strapDown`. Writes R_world_sensor (Y up) of every sample and returns the last bias, rad/s.
 */
export function complementaryFilter(
  signals: InertialSignals,
  options: ComplementaryOptions,
  R: Float64Array,
): readonly [number, number, number] {
  const { count, times_s, acc, held } = signals;
  const q = new Float64Array(4);
  const bias = Float64Array.of(options.bias[0]!, options.bias[1]!, options.bias[2]!);
  startFromGravity(signals, options.start_s, q);
  for (let k = 0; k < count; k++) {
    if (k > 0) {
      const h = times_s[k]! - times_s[k - 1]!;
      turnByGyro(signals, k, bias, q);
      if (held === null || held[k] === 0) {
        verticalError(q, acc[k]!, acc[count + k]!, acc[2 * count + k]!);
        for (let c = 0; c < 3; c++) {
          v[c] = options.kp * h * error[c]!;
          bias[c] = bias[c]! - options.ki * h * error[c]!;
        }
        turnQuaternion(q, v);
      }
      normalizeQuaternion(q);
    }
    writeRotation(q, R, 9 * k);
  }
  return [bias[0]!, bias[1]!, bias[2]!];
}

/** a / |a| × Rᵀ up; none where there is no specific force. */
function verticalError(q: Float64Array, ax: number, ay: number, az: number): void {
  const length = Math.sqrt(ax * ax + ay * ay + az * az);
  const f = length > 0 ? 1 / length : 0;
  const x = 2 * (q[1]! * q[3]! - q[0]! * q[2]!);
  const y = 2 * (q[2]! * q[3]! + q[0]! * q[1]!);
  const z = 1 - 2 * (q[1]! * q[1]! + q[2]! * q[2]!);
  error[0] = f * (ay * z - az * y);
  error[1] = f * (az * x - ax * z);
  error[2] = f * (ax * y - ay * x);
}
