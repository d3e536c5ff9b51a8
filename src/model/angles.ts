import type { Avail } from './availability.ts';
import type { Clock } from './clock.ts';
import type { SegmentId } from './motion.ts';
import type { AngleOrder } from './quantity.ts';

/** One quantity over all frames of its set: radians (rad/s for rates), NaN where missing. Angles as they come from the rotation, not unwrapped. */
export interface AngleSeries {
  readonly quantity: string;
  readonly order: AngleOrder | null;
  readonly values: Float64Array;
  /** 1 where the order is within 10° of its singular position; null where the quantity has no such position. */
  readonly singular: Uint8Array | null;
  /** Whether the angle is to be made continuous from P1. */
  readonly unwrap: boolean;
}

/** Series by quantity id for rows of the catalogue, and the extra orders that were asked for. */
export interface AngleSet {
  readonly clock: Clock;
  /** The frame of the clock at which series begin: 0 where they go over the whole recording. */
  readonly from: number;
  readonly series: ReadonlyMap<string, Avail<AngleSeries>>;
  /** By `<segment>.first:YXZ` and so on: one segment may be asked for in several orders. */
  readonly extra: ReadonlyMap<string, Avail<AngleSeries>>;
  /** Angular velocity of a segment about its own long axis, every frame, rad/s. */
  readonly rates: ReadonlyMap<SegmentId, Avail<Float64Array>>;
}

/** Within this distance of an order's singular position a value is kept and flagged (definitions 3), rad. */
export const SINGULAR_BAND_rad = (10 * Math.PI) / 180;
