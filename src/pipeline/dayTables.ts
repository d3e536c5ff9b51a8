/** The tables of a day while it is gone through: swings first, then comparisons, then what only the whole day shows. */
import { orderAngles } from '../compare/orderAngles.ts';
import type { PlayerComparison } from '../model/comparison.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import type { SeriesOf } from '../model/swingSeries.ts';
import { type SwingTools, TABLES, type TableFile, type TableSources } from '../tables/allTables.ts';
import { CURVES } from '../tables/curves.ts';
import { CURVES_TIME } from '../tables/curvesTime.ts';
import { ORDER_VERDICTS, ORDERS } from '../tables/orders.ts';
import { REPEATABILITY } from '../tables/repeatability.ts';
import type { TableSheet } from '../tables/xlsx.ts';
import type { OutputPart } from './renderReport.ts';
import type { RunOptions } from './runRecord.ts';
import { type OpenTable, type TableStream, tableStreams } from './tableStreams.ts';

type DayTableOptions = Pick<RunOptions, 'curves' | 'tables' | 'orderCheck'>;

/** Sources without what has gone through the streams already. */
export type DaySources = Pick<TableSources, 'outcomes' | 'repeatability'>;

/** Curves are too long for a sheet of a common day. */
const TOO_LONG: ReadonlySet<string> = new Set([CURVES.name, CURVES_TIME.name]);

export class DayTables {
  readonly #open: OpenTable;
  readonly #tables: readonly TableFile[];
  readonly #streams = new Map<string, Pick<TableStream<never>, 'end' | 'sheet'>>();
  readonly #swings: readonly TableStream<SwingRecord>[];
  readonly #comparisons: readonly TableStream<PlayerComparison>[];
  #hasRepeatability = false;

  private constructor(open: OpenTable, asked: ReadonlySet<string>, tools: SwingTools) {
    this.#open = open;
    this.#tables = TABLES.filter(({ name, onRequest }) => !onRequest || asked.has(name));
    this.#swings = this.#tables.flatMap(
      ({ bySwing }) => bySwing?.((table, rows) => this.#start(table, rows), tools) ?? [],
    );
    this.#comparisons = this.#tables.flatMap(
      ({ byComparison }) => byComparison?.((table, rows) => this.#start(table, rows)) ?? [],
    );
  }

  /** `seriesOf` null: no table of swings at every frame. */
  static async start(options: DayTableOptions, seriesOf: SeriesOf | null): Promise<DayTables> {
    const { curves, tables = [], orderCheck = [] } = options;
    const asked = new Set([
      REPEATABILITY.name,
      ...(curves ? [CURVES.name] : []),
      ...(curves && seriesOf !== null ? [CURVES_TIME.name] : []),
      ...(orderCheck.length > 0 ? [ORDERS.name, ORDER_VERDICTS.name] : []),
    ]);
    return new DayTables(await tableStreams(tables, (name) => !TOO_LONG.has(name)), asked, {
      seriesOf: seriesOf ?? (() => null),
      orderAngles: (record) => orderAngles([record], orderCheck),
    });
  }

  #start: OpenTable = (table, rowsOf) => {
    const stream = this.#open(table, rowsOf);
    this.#streams.set(table.name, stream);
    return stream;
  };

  /** Swings come by trial id. */
  *swing(record: SwingRecord): Iterable<OutputPart> {
    for (const table of this.#swings) yield* table.add(record);
  }

  *endSwings(): Iterable<OutputPart> {
    for (const table of this.#swings) yield* table.end();
  }

  /** Comparisons come by player. */
  *comparison(comparison: PlayerComparison): Iterable<OutputPart> {
    for (const table of this.#comparisons) yield* table.add(comparison);
  }

  /** Ends the tables of comparisons and writes those of the whole day. */
  *rest(day: DaySources): Iterable<OutputPart> {
    for (const table of this.#comparisons) yield* table.end();
    this.#hasRepeatability = day.repeatability.length > 0;
    const sources = { ...day, records: [], comparisons: [], seriesOf: () => null };
    for (const { name, write } of this.written()) {
      if (this.#streams.has(name)) continue;
      const stream = write(sources, (table, rows) => this.#start<TableSources, never>(table as never, rows as never));
      yield* stream.add(sources);
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
