import type { Cutoffs } from './dayPlan.ts';

/** What a segment, point or line of a motion was made of. */
export interface Origin {
  /** The rule, the sensor, or of a marker its label in the file. */
  readonly from: string;
  /** Markers behind it, under the names that files use (`L_ASIS`), sorted; none of sensors. */
  readonly markers: readonly string[];
}

/** What a swing was made of, for the account of one number. */
export interface Origins {
  /** What the markers of the body were smoothed with; null of sensors. */
  readonly cutoffs: Cutoffs | null;
  /** By name of the segment, point or line (their names differ); those that the recording gives. */
  readonly parts: Readonly<Record<string, Origin>>;
}
