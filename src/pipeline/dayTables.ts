/** The tables of a day while it is gone through: swings first, then comparisons, then what only the whole day shows. */
import { orderAngles } from '../compare/orderAngles.ts';
import type { PlayerComparison } from '../model/comparison.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import type { SeriesOf } from '../model/swingSeries.ts';
import { TABLES, type TableFile, type TableSources } from '../tables/allTables.ts';
import type { Table } from '../tables/csv.ts';
import { CURVES } from '../tables/curves.ts';
import { CURVES_TIME } from '../tables/curvesTime.ts';
import { ORDER_VERDICTS, ORDERS } from '../tables/orders.ts';
import { type PackedRows, packRows } from '../tables/packedRows.ts';
import { REPEATABILITY } from '../tables/repeatability.ts';
import type { TableSheet } from '../tables/xlsx.ts';
import type { OutputPart } from './renderReport.ts';
import type { RunOptions } from './runRecord.ts';
import { needsCells, type OpenTable, type TableStream, tableStreams } from './tableStreams.ts';

/** What of a run decides which tables there are, and in which formats. */
export type DayTableOptions = Pick<RunOptions, 'curves' | 'tables' | 'orderCheck'>;

/** Sources without what has gone through the streams already. */
export type DaySources = Pick<TableSources, 'outcomes' | 'repeatability'>;

/** `hasSeries`: whether the swings at every frame are at hand. */
function tablesOf({ curves, orderCheck = [] }: DayTableOptions, hasSeries: boolean): readonly TableFile[] {
  const asked = new Set([
    REPEATABILITY.name,
    ...(curves ? [CURVES.name] : []),
    ...(curves && hasSeries ? [CURVES_TIME.name] : []),
    ...(orderCheck.length > 0 ? [ORDERS.name, ORDER_VERDICTS.name] : []),
  ]);
  return TABLES.filter(({ name, onRequest }) => !onRequest || asked.has(name));
}

/** The rows of one swing in every table that has some. `seriesOf` null: no table of swings at every frame. */
export function swingRows(
  record: SwingRecord,
  options: DayTableOptions,
  seriesOf: SeriesOf | null,
): readonly PackedRows[] {
  const tools = {
    seriesOf: seriesOf ?? (() => null),
    orderAngles: (one: SwingRecord) => orderAngles([one], options.orderCheck ?? []),
  };
  const packed = packer(options);
  return tablesOf(options, seriesOf !== null).flatMap(
    ({ bySwing }) => bySwing?.((table, rowsOf) => packed(table, () => rowsOf(record)), tools) ?? [],
  );
}

/** The rows of one comparison in every table that has some. */
export function comparisonRows(comparison: PlayerComparison, options: DayTableOptions): readonly PackedRows[] {
  const packed = packer(options);
  return tablesOf(options, false).flatMap(
    ({ byComparison }) => byComparison?.((table, rowsOf) => packed(table, () => rowsOf(comparison))) ?? [],
  );
}

function packer({ tables = [] }: DayTableOptions): <R>(table: Table<R>, rows: () => Iterable<R>) => PackedRows {
  return (table, rows) => packRows(table, rows, needsCells(tables, table.name));
}

export class DayTables {
  readonly #open: OpenTable;
  readonly #options: DayTableOptions;
  readonly #tables: readonly TableFile[];
  readonly #streams = new Map<string, TableStream>();
  #hasRepeatability = false;

  private constructor(open: OpenTable, options: DayTableOptions, hasSeries: boolean) {
    this.#open = open;
    this.#options = options;
    this.#tables = tablesOf(options, hasSeries);
    const start = <R>(table: Table<R>): void => this.#start(table);
    const tools = { seriesOf: () => null, orderAngles: () => [] };
    for (const { bySwing, byComparison } of this.#tables) {
      bySwing?.(start, tools);
      byComparison?.(start);
    }
  }

  static async start(options: DayTableOptions, hasSeries: boolean): Promise<DayTables> {
    return new DayTables(await tableStreams(options.tables ?? []), options, hasSeries);
  }

  #start<R>(table: Table<R>): void {
    this.#streams.set(table.name, this.#open(table));
  }

  /** Rows of swings come by trial id, then those of comparisons by player. */
  *add(parts: readonly PackedRows[]): Iterable<OutputPart> {
    for (const rows of parts) yield* this.#streams.get(rows.table)!.add(rows);
  }

  *endSwings(): Iterable<OutputPart> {
    for (const { name, bySwing } of this.#tables) if (bySwing !== undefined) yield* this.#streams.get(name)!.end();
  }

  /** Ends the tables of comparisons and writes those of the whole day. */
  *rest(day: DaySources): Iterable<OutputPart> {
    for (const { name, byComparison } of this.#tables) {
      if (byComparison !== undefined) yield* this.#streams.get(name)!.end();
    }
    this.#hasRepeatability = day.repeatability.length > 0;
    const sources = { ...day, records: [], comparisons: [], seriesOf: () => null };
    const packed = packer(this.#options);
    for (const { name, write } of this.written()) {
      if (this.#streams.has(name)) continue;
      const rows = write(sources, (table, all) => {
        this.#start(table);
        return packed(table, all);
      });
      const stream = this.#streams.get(name)!;
      yield* stream.add(rows);
      yield* stream.end();
    }
  }

  /** After `rest`: the tables that are there, in the order of the page. */
  written(): readonly TableFile[] {
    return this.#tables.filter(({ name }) => name !== REPEATABILITY.name || this.#hasRepeatability);
  }

  /** After `rest`: sheets of the workbook. */
  sheets(): readonly TableSheet[] {
    return this.written().flatMap(({ name }) => this.#streams.get(name)!.sheet() ?? []);
  }
}
