/** Numbers measured elsewhere: a table with one row per swing, and its comparisons. */
import type { ComparisonPart, ComparisonRow, FamilyId, Verdict } from './comparison.ts';
import type { MarginRule } from './quantity.ts';

export interface TableSwing {
  /** In the file, from 1. */
  readonly line: number;
  readonly player: string;
  /** Values of the columns by which swings are compared apart. */
  readonly by: readonly string[];
  /** Value of the group column. */
  readonly group: string;
  /** By column of values; NaN where missing. */
  readonly values: Float64Array;
}

export interface SwingTable {
  /** Names of the columns of values. */
  readonly columns: readonly string[];
  readonly swings: readonly TableSwing[];
}

/** Some swings by what the group column says of them. */
export interface TableSide {
  readonly label: string;
  readonly groups: readonly string[];
}

export interface TablePlan {
  readonly of: TableSide;
  readonly against: TableSide;
  /** By column of values; null: no margin, so that a row says only whether it differs from 0. */
  readonly margins: readonly (MarginRule | null)[];
  /** Columns fixed beforehand. */
  readonly primary: readonly string[];
  readonly seed: number;
  readonly resamples: number;
}

export interface TableGroup {
  readonly label: string;
  readonly swings: number;
}

/** One player's swings, of one view or whatever else keeps them apart; rows as of any comparison, at 'swing', unit 'none'. */
export interface TableComparison {
  readonly player: string;
  readonly by: readonly string[];
  readonly part: Pick<ComparisonPart, 'datum'>;
  readonly group: TableGroup;
  readonly reference: TableGroup;
  readonly rows: readonly ComparisonRow[];
  readonly familySizes: Readonly<Record<FamilyId, number>>;
  readonly counts: Readonly<Record<Verdict, number>>;
  /** Values that are not there, or no numbers, of all values of the swings compared. */
  readonly missing: number;
  readonly values: number;
  /** Why there is no comparison at all, or ''. */
  readonly reason: string;
}
