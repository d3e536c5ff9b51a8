/** Gradient-descent filter (Madgwick, Harrison and Vaidyanathan 2011, Proc IEEE Int Conf Rehabil Robot, 5975346), inertial form. */

import { type InertialSignals, normalizeQuaternion, startFromGravity, turnByGyro, writeRotation } from './signals.ts';

export interface GradientOptions {
  /** Length of the correction, rad/s of the quaternion. */
  readonly beta: number;
  /** Taken off the gyro, rad/s: the filter has no bias of its own in this form. */
  readonly bias: ArrayLike<number>;
  /** Specific force of the first so many seconds gives the start. */
  readonly start_s: number;
}

/** β = √(3/4) · ω_β, ω_β the size of the gyro's mean zero error per axis, rad/s. */
export function gradientGain(gyroError_radPerS: number): number {
  return Math.sqrt(3 / 4) * gyroError_radPerS;
}

/** ω_β of 0.3°/s: what is left of a gyro once its bias has been taken off. */
export const DEFAULT_GRADIENT: GradientOptions = {
  beta: gradientGain((0.3 * Math.PI) / 180),
  bias: [0, 0, 0],
  start_s: 0.5,
};

/**
 * One correction over `dt` seconds: q − β ∇f/|∇f| dt, normalised; f = Rᵀ up − a/|a|. `q` turns sensor into world
 * coordinates. Nothing happens where there is no specific force or no error.
 */
export function gradientStep(q: Float64Array, ax: number, ay: number, az: number, beta: number, dt: number): void {
  const length = Math.sqrt(ax * ax + ay * ay + az * az);
  if (!(length > 0)) return;
  const w = q[0]!;
  const x = q[1]!;
  const y = q[2]!;
  const z = q[3]!;
  const f0 = 2 * (x * z - w * y) - ax / length;
  const f1 = 2 * (w * x + y * z) - ay / length;
  const f2 = 2 * (0.5 - x * x - y * y) - az / length;
  const gw = -2 * y * f0 + 2 * x * f1;
  const gx = 2 * z * f0 + 2 * w * f1 - 4 * x * f2;
  const gy = -2 * w * f0 + 2 * z * f1 - 4 * y * f2;
  const gz = 2 * x * f0 + 2 * y * f1;
  const size = Math.sqrt(gw * gw + gx * gx + gy * gy + gz * gz);
  if (!(size > 0)) return;
  const step = (beta * dt) / size;
  q[0] = w - step * gw;
  q[1] = x - step * gx;
  q[2] = y - step * gy;
  q[3] = z - step * gz;
  normalizeQuaternion(q);
}

/** The gyro's part is the exact step of `strapDown`, then `gradientStep`. Writes R_world_sensor (Y up) of every sample. */
export function gradientFilter(signals: InertialSignals, options: GradientOptions, R: Float64Array): void {
  const { count, times_s, acc, held } = signals;
  const q = new Float64Array(4);
  startFromGravity(signals, options.start_s, q);
  for (let k = 0; k < count; k++) {
    if (k > 0) {
      turnByGyro(signals, k, options.bias, q);
      if (held === null || held[k] === 0) {
        const dt = times_s[k]! - times_s[k - 1]!;
        gradientStep(q, acc[k]!, acc[count + k]!, acc[2 * count + k]!, options.beta, dt);
      }
      normalizeQuaternion(q);
    }
    writeRotation(q, R, 9 * k);
  }
}
