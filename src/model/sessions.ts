/** Two capture days of one player: how driver, irons and the gap between them have changed. */
import type { Basis, FamilyId, GroupInfo, Verdict } from './comparison.ts';
import type { PositionId } from './positions.ts';
import type { AngleOrder } from './quantity.ts';
import type { Unit } from './units.ts';

/** A mean of some swings of one day, display units; null where no swing has the value. */
export interface DayMean {
  readonly n: number;
  readonly mean: number | null;
  readonly sd: number | null;
}

/** An estimate with the ends of its 95 % interval; null where not known. */
export interface Estimate {
  readonly value: number | null;
  readonly low95: number | null;
  readonly high95: number | null;
}

/** After less before, display units, with its tests; the verdict reads as that of a comparison: departs, matches (unchanged) … */
export interface Change extends Estimate {
  readonly margin: number | null;
  /** Part of the margin that stands for markers put on again. */
  readonly reapplication: number;
  readonly p: number | null;
  readonly pBeyond: number | null;
  readonly pWithin: number | null;
  readonly pAdjusted: number | null;
  readonly pBeyondAdjusted: number | null;
  readonly verdict: Verdict;
}

/** Angles of a player's static trials, display units. */
export interface Zero {
  readonly before: number;
  readonly after: number;
}

export interface SessionRow {
  readonly quantity: string;
  readonly position: PositionId | 'swing';
  readonly basis: Basis;
  readonly unit: Unit;
  readonly order: AngleOrder | null;
  readonly family: FamilyId | null;
  readonly before: {
    readonly group: DayMean;
    readonly reference: DayMean;
    readonly gap: Estimate;
    readonly verdict: Verdict;
  };
  readonly after: {
    readonly group: DayMean;
    readonly reference: DayMean;
    readonly gap: Estimate;
    readonly verdict: Verdict;
  };
  /**
   * What is taken off the values of each day in the changes of group and reference (`before`, `after` hold the means with it taken off), which
   * then have the plain margin. A change since P1 holds it twice, and nothing is taken off. Null: not zeroed.
   */
  readonly zero: Zero | null;
  /** Of the group's swings, such as the driver's. */
  readonly group: Change;
  readonly reference: Change;
  /** Of the gap, group less reference within each day: markers put on again leave it as it is, so its margin is the plain one. */
  readonly gap: Change;
  /** Share of the first day's gap that has closed, 1 all of it; null values where there was no certain gap. */
  readonly closed: Estimate;
  /** Why there is no verdict or no share, and what was left out. */
  readonly reason: string;
}

export interface SessionComparison {
  readonly player: string;
  readonly hand: 'left' | 'right';
  /** ISO dates. */
  readonly before: string;
  readonly after: string;
  readonly group: { readonly before: GroupInfo; readonly after: GroupInfo };
  readonly reference: { readonly before: GroupInfo; readonly after: GroupInfo };
  readonly rows: readonly SessionRow[];
  /** Why there is no comparison at all, or ''. */
  readonly reason: string;
  readonly notes: readonly string[];
}
