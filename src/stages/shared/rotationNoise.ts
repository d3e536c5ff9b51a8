/** How the noise of landmarks becomes noise of what is built from them: by moving each coordinate a little. */

import { logRotation, mul3, mulT3 } from '../../numeric/rotation.ts';
import type { FrameKernel } from './segmentFrames.ts';

/** Small against any segment, large against rounding, metres. */
const STEP_m = 1e-6;

/**
 * How a segment turns when one of its landmarks `p` moves: 3 × 3 row-major for each landmark, rotation vector about the segment's own axes
 * (rad) by the landmark's displacement (m) along them.
 */
export function ownTurns(p: Float64Array, kernel: FrameKernel): Float64Array {
  const own = Float64Array.from(p);
  const R = new Float64Array(9);
  const moved = new Float64Array(9);
  const turn = new Float64Array(9);
  const v = new Float64Array(3);
  const inLab = new Float64Array(3 * p.length);
  const out = new Float64Array(3 * p.length);
  kernel(own, R, 0);
  for (let i = 0; i < own.length; i++) {
    const kept = own[i]!;
    own[i] = kept + STEP_m;
    kernel(own, moved, 0);
    own[i] = kept;
    mulT3(R, 0, moved, 0, turn, 0);
    logRotation(turn, 0, v);
    const off = 9 * Math.floor(i / 3) + (i % 3);
    for (let r = 0; r < 3; r++) inLab[off + 3 * r] = v[r]! / STEP_m;
  }
  for (let k = 0; k < out.length; k += 9) mul3(inLab, k, R, 0, out, k);
  return out;
}

/**
 * Standard deviations (rad) of the rotation vector about the segment's own axes, whose landmarks have independent noise of the given
 * standard deviations per axis (metres). NaN where a noise is unknown. `turns` as of `ownTurns`.
 */
export function axisNoise(turns: Float64Array, noise_m: readonly number[]): readonly [number, number, number] {
  const covariance = turnCovariance(turns, noise_m);
  return [Math.sqrt(covariance[0]!), Math.sqrt(covariance[4]!), Math.sqrt(covariance[8]!)];
}

/** As `axisNoise`, of the landmarks `p` of a kernel: the whole covariance of the rotation vector, rad², 3 × 3 row-major. */
export function rotationCovariance(p: Float64Array, noise_m: readonly number[], kernel: FrameKernel): Float64Array {
  return turnCovariance(ownTurns(p, kernel), noise_m);
}

function turnCovariance(turns: Float64Array, noise_m: readonly number[]): Float64Array {
  const covariance = new Float64Array(9);
  noise_m.forEach((noise, k) => {
    for (let r = 0; r < 3; r++) {
      for (let c = 0; c < 3; c++) {
        let sum = 0;
        for (let i = 0; i < 3; i++) sum += turns[9 * k + 3 * r + i]! * turns[9 * k + 3 * c + i]!;
        covariance[3 * r + c] = covariance[3 * r + c]! + noise * noise * sum;
      }
    }
  });
  return covariance;
}

/** Root of the mean square of three standard deviations. */
export function rms3([x, y, z]: readonly [number, number, number]): number {
  return Math.sqrt((x * x + y * y + z * z) / 3);
}
