import type { FilterResponse } from '../numeric/filterResponse.ts';
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
  /** Filtered points: what the filter does to noise and to fast motion. Absent: not filtered. */
  readonly response?: FilterResponse;
  /** What a derived track is made of, so that noise can be carried through. Absent: measured, or noise of its own. */
  readonly madeOf?: MadeOf;
  /** What a derived track is built on where noise is not carried through `madeOf`. */
  readonly builtOn?: readonly Track<3>[];
  /** Where it came from: a file label, or a rule such as "midpoint of the hip joint centres". */
  readonly provenance: string;
}

/** How a derived track moves, to first order, with the tracks that it is made of. */
export type MadeOf =
  /** Σ weight · point. */
  | { readonly kind: 'mean'; readonly tracks: readonly Track<3>[]; readonly weights: readonly number[] }
  /** origin + R · place, metres. */
  | {
      readonly kind: 'carried';
      readonly origin: Track<3>;
      readonly pose: Track<9>;
      readonly place: readonly [number, number, number];
    }
  /**
   * A segment's rotation from points. `turns`: 3 × 3 row-major for each point, rotation vector about the segment's own axes (rad) by the
   * point's displacement (m) along them, the same all the time, since a segment keeps its shape; null: by `turnsAt` a frame.
   */
  | {
      readonly kind: 'frame';
      readonly tracks: readonly Track<3>[];
      readonly turns: Float64Array | null;
      readonly turnsAt: (frame: number) => Float64Array;
    }
  /** Unit vector from one point to the other, `length_m` apart on average. */
  | { readonly kind: 'line'; readonly from: Track<3>; readonly to: Track<3>; readonly length_m: number };
