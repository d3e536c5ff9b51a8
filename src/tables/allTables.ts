/** Results to files for other programs: every table by name, for the writer of the output folder and for docs/tables.md. */
import type { PlayerComparison } from '../model/comparison.ts';
import type { OrderAngles } from '../model/orderSensitivity.ts';
import type { RepeatabilityRow } from '../model/repeatability.ts';
import type { DayOutcome, SwingRecord } from '../model/swingRecord.ts';
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
  readonly records: Iterable<SwingRecord>;
  readonly comparisons: readonly PlayerComparison[];
  readonly outcomes: readonly DayOutcome[];
  /** Empty where a day has too few players. */
  readonly repeatability: readonly RepeatabilityRow[];
  readonly seriesOf: SeriesOf;
  /** All orders of the segments and joints asked for. Absent: none. */
  readonly orderAngles?: () => Iterable<OrderAngles>;
}

/** What makes of a table and its rows one file, or several; the rows may be gone through more than once. */
export type TableWriter<T> = <R>(table: Table<R>, rows: () => Iterable<R>) => T;

/** What the tables of swings need beside the records. */
export interface SwingTools {
  readonly seriesOf: SeriesOf;
  /** All orders of the segments and joints asked for, of one swing. */
  readonly orderAngles: (record: SwingRecord) => Iterable<OrderAngles>;
}

/** What makes something of a table and of the rows of one part of a day, such as one swing: a stream that grows. */
export type PartWriter<S, T> = <R>(table: Table<R>, rowsOf: (part: S) => Iterable<R>) => T;

export interface TableFile {
  readonly name: string;
  readonly about: string;
  readonly columns: readonly Described[];
  /** Only when asked for, or where there is something to say. */
  readonly onRequest: boolean;
  readonly write: <T>(sources: TableSources, writer: TableWriter<T>) => T;
  /** Where each swing by trial id has its rows by itself. */
  readonly bySwing?: <T>(writer: PartWriter<SwingRecord, T>, tools: SwingTools) => T;
  /** Where each comparison, by player, has its rows by itself. */
  readonly byComparison?: <T>(writer: PartWriter<PlayerComparison, T>) => T;
}

function file<R>(table: Table<R>, rows: (sources: TableSources) => Iterable<R>, onRequest = false): TableFile {
  const { name, about, columns } = table;
  return { name, about, columns, onRequest, write: (sources, writer) => writer(table, () => rows(sources)) };
}

function ofSwings<R>(
  table: Table<R>,
  rows: (records: Iterable<SwingRecord>, seriesOf: SeriesOf) => Iterable<R>,
  onRequest = false,
): TableFile {
  const whole = file(table, ({ records, seriesOf }) => rows(records, seriesOf), onRequest);
  return { ...whole, bySwing: (writer, { seriesOf }) => writer(table, (record) => rows([record], seriesOf)) };
}

function ofComparisons<R>(
  table: Table<R>,
  rows: (comparisons: readonly PlayerComparison[]) => Iterable<R>,
  onRequest = false,
): TableFile {
  const whole = file(table, ({ comparisons }) => rows(comparisons), onRequest);
  return { ...whole, byComparison: (writer) => writer(table, (comparison) => rows([comparison])) };
}

export const TABLES: readonly TableFile[] = [
  ofSwings(ANGLES, angleRows),
  ofSwings(POSITION_TABLE, positionRows),
  ofComparisons(COMPARISON, comparedRows),
  ofSwings(QUALITY, qualityRows),
  file(TRIALS, ({ outcomes }) => trialRows(outcomes)),
  ofSwings(CURVES, curveRows, true),
  ofSwings(CURVES_TIME, timeCurveRows, true),
  ofComparisons(CHECKPOINTS, checkpointRows),
  file(REPEATABILITY, ({ repeatability }) => repeatability, true),
  file(FAULT_TABLE, ({ outcomes }) => faultRows(outcomes)),
  {
    ...file(ORDERS, ({ orderAngles }) => orderAngles?.() ?? [], true),
    bySwing: (writer, tools) => writer(ORDERS, tools.orderAngles),
  },
  ofComparisons(ORDER_VERDICTS, orderVerdictRows, true),
];
