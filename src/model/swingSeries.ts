import type { Clock } from './clock.ts';
import type { SegmentId } from './motion.ts';
import type { AngleOrder } from './quantity.ts';
import type { FileFrame } from './trial.ts';
import type { Unit } from './units.ts';

/** One quantity at every frame: SI and radians, NaN where missing; turns continuous from P1, displacements from P1. */
export interface QuantitySeries {
  readonly quantity: string;
  readonly unit: Unit;
  readonly order: AngleOrder | null;
  readonly values: Float64Array;
  /** Doubts about all of it, as the flags of a cell. */
  readonly flags: readonly string[];
  /** 1 within 10° of the order's singular position; null where there is none. */
  readonly singular: Uint8Array | null;
  /** What was filled among the samples behind it, frame by frame: FILLED and REBUILT added up; null where nothing was. */
  readonly filled: Uint8Array | null;
}

/** By a spline or by components. */
export const FILLED = 1;
/** From the rest of a segment. */
export const REBUILT = 2;

/** The three angles of a rotation, in the order in which they are turned. */
export interface AngleTriple {
  /** A segment against the player frame, or a joint. */
  readonly rotation: string;
  readonly order: AngleOrder;
  /** What each angle is: the name of its quantity, 'minus …' or '' where no quantity is it. */
  readonly parts: readonly [string, string, string];
  /** Planar columns of frames, radians. */
  readonly values: Float64Array;
  /** False: signs of the quantities. True: angles as they are in the order asked for (--orders). */
  readonly raw: boolean;
}

/** A marker as the analysis used it: gaps filled, faults repaired; of the body smoothed, of the club and the ball as measured. */
export interface PointSeries {
  /** Under the name that files and day files use, `L_ASIS`. */
  readonly landmark: string;
  /** As the recording calls it. */
  readonly label: string;
  /** Planar columns in G, metres, NaN where missing. */
  readonly data: Float64Array;
  /** As of a track: 0 missing, 1 measured, 2 and more filled, how. */
  readonly state: Uint8Array;
}

/** A segment's frame at every frame. */
export interface SegmentSeries {
  readonly segment: SegmentId;
  /** What its origin is, such as 'lead_hip'. */
  readonly originPoint: string;
  /** Planar columns in G, metres; null where the recording does not show it. */
  readonly origin: Float64Array | null;
  /** R_player_segment, as in Track: nine numbers a frame, row-major; NaN where missing. */
  readonly pose: Float64Array;
}

/** A swing at every frame, for copies and time-based tables. Owns its memory; in G, a left-hander reflected as everywhere. */
export interface SwingSeries {
  readonly trial: string;
  readonly clock: Clock;
  readonly quantities: readonly QuantitySeries[];
  readonly angles: readonly AngleTriple[];
  readonly points: readonly PointSeries[];
  readonly segments: readonly SegmentSeries[];
  /** Null of sensors. */
  readonly file: FileFrame | null;
}

/** Reads the series of a used trial; null where they were not kept. */
export type SeriesOf = (trial: string) => SwingSeries | null;
