import type { PositionId } from './positions.ts';
import type { Unit } from './units.ts';

/** One value in which a swing stands apart from the median of its group, display units. */
export interface Departing {
  readonly quantity: string;
  readonly position: PositionId | 'swing';
  readonly unit: Unit;
  /** Value less median. */
  readonly deviation: number;
}

/** A swing that stands apart from the others of its group. It is pointed out and used all the same. */
export interface Outlying {
  /** The group, as 'driver', 'iron, set after'. */
  readonly group: string;
  readonly swings: number;
  /** Robust distance from the middle of the group, about 1 for a common swing; and beyond what it counts. */
  readonly distance: number;
  readonly limit: number;
  /** Values that lie beyond their margin, the largest in margins first; three at most. */
  readonly values: readonly Departing[];
}
