/** Tables that grow while a day is gone through, each in every format asked for: no row is kept longer than it takes to write it. */
import { csvHeader, type Table } from '../tables/csv.ts';
import { CURVES } from '../tables/curves.ts';
import { CURVES_TIME } from '../tables/curvesTime.ts';
import type { TableFormat } from '../tables/formats.ts';
import { type PackedRows, packedTable } from '../tables/packedRows.ts';
import type { TableSheet } from '../tables/xlsx.ts';
import type { OutputPart } from './renderReport.ts';

export interface TableStream {
  /** Adds the rows of one part of the day. */
  add(rows: PackedRows): Iterable<OutputPart>;
  end(): Iterable<OutputPart>;
  /** After `end`; null where the table stands in no workbook. A workbook holds its cells to the end. */
  sheet(): TableSheet | null;
}

/** Starts the files of a table. */
export type OpenTable = <R>(table: Table<R>) => TableStream;

/** Too long for a sheet of a common day. */
const TOO_LONG: ReadonlySet<string> = new Set([CURVES.name, CURVES_TIME.name]);

function hasSheet(formats: readonly TableFormat[], table: string): boolean {
  return formats.includes('xlsx') && !TOO_LONG.has(table);
}

/** Whether a format that is asked for takes the rows of a table as cells. */
export function needsCells(formats: readonly TableFormat[], table: string): boolean {
  return formats.includes('parquet') || hasSheet(formats, table);
}

/** Text of CSV that is gathered before it is written. */
const CHUNK = 65_536;

/** Loads what the formats need. */
export async function tableStreams(formats: readonly TableFormat[]): Promise<OpenTable> {
  const parquet = formats.includes('parquet') ? await import('../tables/parquet.ts') : null;
  const xlsx = formats.includes('xlsx') ? await import('../tables/xlsx.ts') : null;
  return (table) => {
    const [csvPath, parquetPath] = [`tables/${table.name}.csv`, `tables/${table.name}.parquet`];
    const packed = packedTable(table);
    const typed = parquet?.parquetStream(packed) ?? null;
    const sheet = hasSheet(formats, table.name) ? xlsx!.sheetStream(packed) : null;
    let text = csvHeader(table);
    return {
      *add(rows) {
        text += rows.text;
        if (text.length >= CHUNK) {
          yield { path: csvPath, piece: text };
          text = '';
        }
        for (const piece of typed?.add(rows.cells!) ?? []) yield { path: parquetPath, piece };
        sheet?.add(rows.cells!);
      },
      *end() {
        yield { path: csvPath, piece: text, isLast: true };
        if (typed !== null) yield { path: parquetPath, piece: typed.end(), isLast: true };
      },
      sheet: () => sheet?.end() ?? null,
    };
  };
}
