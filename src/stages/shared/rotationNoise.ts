/** How the noise of landmarks becomes noise of what is built from them: by moving each coordinate a little. */

import { logRotation, mul3T } from '../../numeric/rotation.ts';
import type { FrameKernel } from './segmentFrames.ts';

/** Small against any segment, large against rounding, metres. */
const STEP_m = 1e-6;

/**
 * RMS over the three axes of the standard deviation of the rotation vector (rad) of a segment whose landmarks `p` have independent noise
 * of the given standard deviations per axis (metres). NaN where a noise is unknown.
 */
export function rotationNoise(p: Float64Array, noise_m: readonly number[], kernel: FrameKernel): number {
  const own = Float64Array.from(p);
  const R = new Float64Array(9);
  const moved = new Float64Array(9);
  const turn = new Float64Array(9);
  const v = new Float64Array(3);
  kernel(own, R, 0);
  let variance = 0;
  for (let i = 0; i < own.length; i++) {
    const kept = own[i]!;
    own[i] = kept + STEP_m;
    kernel(own, moved, 0);
    own[i] = kept;
    mul3T(moved, 0, R, 0, turn, 0);
    logRotation(turn, 0, v);
    const share = noise_m[Math.floor(i / 3)]! / STEP_m;
    variance += share * share * (v[0]! * v[0]! + v[1]! * v[1]! + v[2]! * v[2]!);
  }
  return Math.sqrt(variance / 3);
}
