/** Results to files for other programs: every table by name, for the writer of the output folder and for docs/tables.md. */
import type { PlayerComparison } from '../model/comparison.ts';
import type { OrderAngles } from '../model/orderSensitivity.ts';
import type { RepeatabilityRow } from '../model/repeatability.ts';
import type { SwingRecord, TrialOutcome } from '../model/swingRecord.ts';
import type { SeriesOf } from '../model/swingSeries.ts';
import { ANGLES, angleRows } from './angles.ts';
import { CHECKPOINTS, checkpointRows } from './checkpoints.ts';
import { COMPARISON, comparedRows } from './comparison.ts';
import type { Described, Table } from './csv.ts';
import { CURVES, curveRows } from './curves.ts';
import { CURVES_TIME, timeCurveRows } from './curvesTime.ts';
import { FAULT_TABLE, faultRows } from './faults.ts';
import { ORDER_VERDICTS, ORDERS, orderVerdictRows } from './orders.ts';
import { POSITION_TABLE, positionRows } from './positions.ts';
import { QUALITY, qualityRows } from './quality.ts';
import { REPEATABILITY } from './repeatability.ts';
import { TRIALS, trialRows } from './trials.ts';

export interface TableSources {
  readonly records: readonly SwingRecord[];
  readonly comparisons: readonly PlayerComparison[];
  readonly outcomes: readonly TrialOutcome[];
  /** Empty where a day has too few players. */
  readonly repeatability: readonly RepeatabilityRow[];
  readonly seriesOf: SeriesOf;
  /** All orders of the segments and joints asked for. Absent: none. */
  readonly orderAngles?: () => Iterable<OrderAngles>;
}

/** What makes of a table and its rows one file, or several; the rows may be gone through more than once. */
export type TableWriter<T> = <R>(table: Table<R>, rows: () => Iterable<R>) => T;

export interface TableFile {
  readonly name: string;
  readonly about: string;
  readonly columns: readonly Described[];
  /** Only when asked for, or where there is something to say. */
  readonly onRequest: boolean;
  readonly write: <T>(sources: TableSources, writer: TableWriter<T>) => T;
}

function file<R>(table: Table<R>, rows: (sources: TableSources) => Iterable<R>, onRequest = false): TableFile {
  const { name, about, columns } = table;
  return { name, about, columns, onRequest, write: (sources, writer) => writer(table, () => rows(sources)) };
}

export const TABLES: readonly TableFile[] = [
  file(ANGLES, ({ records }) => angleRows(records)),
  file(POSITION_TABLE, ({ records }) => positionRows(records)),
  file(COMPARISON, ({ comparisons }) => comparedRows(comparisons)),
  file(QUALITY, ({ records }) => qualityRows(records)),
  file(TRIALS, ({ outcomes }) => trialRows(outcomes)),
  file(CURVES, ({ records }) => curveRows(records), true),
  file(CURVES_TIME, ({ records, seriesOf }) => timeCurveRows(records, seriesOf), true),
  file(CHECKPOINTS, ({ comparisons }) => checkpointRows(comparisons)),
  file(REPEATABILITY, ({ repeatability }) => repeatability, true),
  file(FAULT_TABLE, ({ records, outcomes }) => faultRows(records, outcomes)),
  file(ORDERS, ({ orderAngles }) => orderAngles?.() ?? [], true),
  file(ORDER_VERDICTS, ({ comparisons }) => orderVerdictRows(comparisons), true),
];
