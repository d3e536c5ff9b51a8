import type { Clock } from './clock.ts';

/** States of a sample. A missing sample is NaN in the data and MISSING here; zero is never "missing". */
export const MISSING = 0;
export const MEASURED = 1;
/** Filled by cubic interpolation over a short gap. */
export const FILLED_CUBIC = 2;
/** Rebuilt from the other landmarks of its segment as a rigid body. */
export const REBUILT = 3;
/** Filled from how the marker moves together with its neighbours in the rest of the trial. */
export const FILLED_COMPONENTS = 4;

/**
 * A series on one clock.
 * D = 3: planar columns, x of all frames, then y, then z: `data[axis * frames + frame]`, metres (points) or unit vectors (directions).
 * D = 9: frame-major rotation matrices, row-major: `data[9 * frame + 3 * row + column]`.
 * D = 1: `data[frame]`.
 * Missing samples are NaN in every component.
 */
export interface Track<D extends 1 | 3 | 9> {
  readonly dimension: D;
  readonly clock: Clock;
  readonly data: Float64Array;
  /** One state per frame: 0 missing, 1 measured, 2 and more: filled, how. */
  readonly state: Uint8Array;
  /** Standard deviation of the measuring noise per component (metres or radians), NaN where it is not known. */
  readonly noise: number;
  /** Points: standard deviation of filled samples per axis before any filter, metres, frame by frame; 0 where measured. Absent: nothing filled. */
  readonly filledSd_m?: Float64Array;
  /** By how much the noise of a frame exceeds `noise` because of filled samples, 1 and more. Absent: nowhere. */
  readonly widening?: Float64Array;
  /** Rotations only: standard deviation of the rotation vector about the child's own x, y, z, rad; `noise` is their RMS. */
  readonly axisNoise_rad?: readonly [number, number, number];
  /** Rotations only: covariance of that rotation vector, rad², 3 × 3 row-major, where it was worked out. */
  readonly axisCovariance_rad2?: readonly number[];
  /** Where it came from: a file label, or a rule such as "midpoint of the hip joint centres". */
  readonly provenance: string;
}
