/** Tables that grow while a day is gone through, each in every format asked for: no row is kept longer than it takes to write it. */
import { csvStream, type Table } from '../tables/csv.ts';
import type { TableFormat } from '../tables/formats.ts';
import type { TableSheet } from '../tables/xlsx.ts';
import type { OutputPart } from './renderReport.ts';

export interface TableStream<S> {
  /** Adds the rows of one part of the day. */
  add(part: S): Iterable<OutputPart>;
  end(): Iterable<OutputPart>;
  /** After `end`; null where the table stands in no workbook. A workbook holds its cells to the end. */
  sheet(): TableSheet | null;
}

/** Starts the files of a table, of which `rowsOf` gives the rows of each part. */
export type OpenTable = <S, R>(table: Table<R>, rowsOf: (part: S) => Iterable<R>) => TableStream<S>;

/** Loads what the formats need. `hasSheet`: whether a table has a sheet in the workbook. */
export async function tableStreams(
  formats: readonly TableFormat[],
  hasSheet: (table: string) => boolean,
): Promise<OpenTable> {
  const parquet = formats.includes('parquet') ? await import('../tables/parquet.ts') : null;
  const xlsx = formats.includes('xlsx') ? await import('../tables/xlsx.ts') : null;
  return (table, rowsOf) => {
    const path = `tables/${table.name}`;
    const sheet = xlsx !== null && hasSheet(table.name) ? xlsx.sheetStream(table) : null;
    const files = [
      { path: `${path}.csv`, stream: csvStream(table) },
      ...(parquet === null ? [] : [{ path: `${path}.parquet`, stream: parquet.parquetStream(table) }]),
    ];
    return {
      *add(part) {
        for (const file of files) {
          for (const piece of file.stream.add(rowsOf(part))) yield { path: file.path, piece };
        }
        sheet?.add(rowsOf(part));
      },
      *end() {
        for (const file of files) yield { path: file.path, piece: file.stream.end(), isLast: true };
      },
      sheet: () => sheet?.end() ?? null,
    };
  };
}
