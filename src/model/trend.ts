/** One player over a season: driver, irons and the gap between them by date. */
import type { GroupInfo, Verdict } from './comparison.ts';
import type { PositionId } from './positions.ts';
import type { AngleOrder } from './quantity.ts';
import type { Change, Estimate, SessionComparison, Zero } from './sessions.ts';
import type { Unit } from './units.ts';

/** Mean of one side on one day, display units; the interval is of the mean, 95 %, by Student's t over the day's swings. */
export interface TrendMean extends Estimate {
  readonly n: number;
  readonly sd: number | null;
}

/** Of a later day against the first. */
export interface TrendChange {
  readonly group: Change;
  readonly reference: Change;
  readonly gap: Change;
  /** Share of the first day's gap that has closed. */
  readonly closed: Estimate;
}

/** One day of a series. */
export interface TrendPoint {
  /** ISO. */
  readonly date: string;
  readonly group: TrendMean;
  readonly reference: TrendMean;
  readonly gap: Estimate;
  /** Of the day's gap. */
  readonly verdict: Verdict;
  /** Largest gap without meaning. */
  readonly margin: number | null;
  /** Angles of the static trials: the values of the day are shifted by `before` − `after`, onto the zero of the first day. Null: as measured. */
  readonly zero: Zero | null;
  /** Null on the first day. */
  readonly change: TrendChange | null;
  readonly reason: string;
}

export interface TrendSeries {
  readonly quantity: string;
  readonly position: PositionId | 'swing';
  readonly unit: Unit;
  readonly order: AngleOrder | null;
  /** By date; days without the value are absent. */
  readonly points: readonly TrendPoint[];
}

/** A day that was looked at. */
export interface TrendDay {
  readonly date: string;
  /** Of the program that processed it. */
  readonly version: string;
  readonly group: GroupInfo;
  readonly reference: GroupInfo;
  /** Why it is not in the series, or ''. */
  readonly reason: string;
}

export interface Trend {
  readonly player: string;
  readonly labels: { readonly group: string; readonly reference: string };
  /** By date. */
  readonly days: readonly TrendDay[];
  /** The day that all others are compared with; null where no day has both sides. */
  readonly first: string | null;
  /** Of the primary comparisons, in the order of the catalogue, then of the swing. */
  readonly series: readonly TrendSeries[];
  /** The last day in the series against the first; null where there is one day. */
  readonly last: SessionComparison | null;
  readonly notes: readonly string[];
}
