import type { Avail } from './availability.ts';
import type { LandmarkId } from './landmarks.ts';

export type Vec3 = readonly [number, number, number];

/** A point that a segment carries. */
export interface FixedPoint {
  /** In the segment's frame, metres. */
  readonly place: Vec3;
  /** Such as 'Dumas and Wojtusch 2018, male'. */
  readonly regression: string;
}

/** The shape of a segment's landmarks on the static trial: what lets a hidden one be rebuilt from the others. */
export interface ClusterModel {
  /** Such as 'lead thigh'. */
  readonly segment: string;
  /** At least four, each seen on the static trial. */
  readonly landmarks: readonly LandmarkId[];
  /** x, y, z of each in a technical frame of the segment, origin at their mean, metres: medians over frames. */
  readonly places_m: readonly number[];
  /** RMS distance per landmark from this shape on the static trial, metres. */
  readonly residual_m: number;
}

/**
 * What a player's static trial fixes once for all of that player's trials: never per trial.
 * Without a static trial it is made from the trial itself, `source` is null, and every result says so.
 */
export interface PlayerCalibration {
  readonly player: string;
  /** Trial id of the static trial, or null. */
  readonly source: string | null;
  /** Medians over static frames. Hip centres in the pelvis frame, origin mid-ASIS, metres. */
  readonly hips: Avail<{
    readonly width_m: number;
    readonly depth_m: number;
    readonly legLength_m: number | null;
    readonly lead: Vec3;
    readonly trail: Vec3;
    /** Such as 'Harrington 2007, two variables'. */
    readonly regression: string;
  }>;
  /** Shoulder centres in the thorax frame, origin IJ, metres. */
  readonly shoulders: Avail<{ readonly lead: Vec3; readonly trail: Vec3; readonly regression: string }>;
  /** Neck joint (C7–T1) in the thorax frame, origin IJ. */
  readonly neck: Avail<FixedPoint>;
  /** Lumbar joint (L5–S1) in the pelvis frame, origin mid-ASIS. */
  readonly lumbar: Avail<FixedPoint>;
  /** R_technical_head, row-major: zeroes the technical head frame on the static trial. */
  readonly head: Avail<readonly number[]>;
  /** Name of the landmark set of each segment and point, by its id: the player's swings keep it where they show it. */
  readonly sets: Readonly<Record<string, string>>;
  /** Lengths between landmarks, metres, by 'A–B': another body shows here. */
  readonly lengths_m: Readonly<Record<string, number>>;
  readonly height_m: number | null;
  /** Shapes of the segments' landmarks on the static trial, in the lab frame's handedness as a trial has it; none without one. */
  readonly clusters: readonly ClusterModel[];
}
