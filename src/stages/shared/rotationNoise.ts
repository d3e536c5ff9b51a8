/** How the noise of landmarks becomes noise of what is built from them: by moving each coordinate a little. */

import { logRotation, mulT3 } from '../../numeric/rotation.ts';
import type { FrameKernel } from './segmentFrames.ts';

/** Small against any segment, large against rounding, metres. */
const STEP_m = 1e-6;

/**
 * Standard deviations (rad) of the rotation vector about the segment's own axes, whose landmarks `p` have independent noise of the given
 * standard deviations per axis (metres). NaN where a noise is unknown.
 */
export function rotationNoise(
  p: Float64Array,
  noise_m: readonly number[],
  kernel: FrameKernel,
): readonly [number, number, number] {
  const covariance = rotationCovariance(p, noise_m, kernel);
  return [Math.sqrt(covariance[0]!), Math.sqrt(covariance[4]!), Math.sqrt(covariance[8]!)];
}

/** As `rotationNoise`: the whole covariance of the rotation vector, rad², 3 × 3 row-major. */
export function rotationCovariance(p: Float64Array, noise_m: readonly number[], kernel: FrameKernel): Float64Array {
  const own = Float64Array.from(p);
  const R = new Float64Array(9);
  const moved = new Float64Array(9);
  const turn = new Float64Array(9);
  const v = new Float64Array(3);
  const covariance = new Float64Array(9);
  kernel(own, R, 0);
  for (let i = 0; i < own.length; i++) {
    const kept = own[i]!;
    own[i] = kept + STEP_m;
    kernel(own, moved, 0);
    own[i] = kept;
    mulT3(R, 0, moved, 0, turn, 0);
    logRotation(turn, 0, v);
    const share = noise_m[Math.floor(i / 3)]! / STEP_m;
    for (let r = 0; r < 3; r++) {
      for (let c = 0; c < 3; c++) covariance[3 * r + c] = covariance[3 * r + c]! + share * share * v[r]! * v[c]!;
    }
  }
  return covariance;
}

/** Root of the mean square of three standard deviations. */
export function rms3([x, y, z]: readonly [number, number, number]): number {
  return Math.sqrt((x * x + y * y + z * z) / 3);
}
