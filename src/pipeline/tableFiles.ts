import { csvText, type Table } from '../tables/csv.ts';
import { dataPackage, type PackagedTable } from '../tables/dataPackage.ts';
import type { TableFormat } from '../tables/formats.ts';
import { jsonText } from '../tables/storedRecord.ts';
import type { sheetOf, TableSheet } from '../tables/xlsx.ts';
import type { OutputFile } from './renderReport.ts';

/** A table as CSV, then in the other formats that are asked for; the rows are gone through once for each. */
export async function* tableFiles<R>(
  table: Table<R>,
  rows: () => Iterable<R>,
  formats: readonly TableFormat[],
): AsyncGenerator<OutputFile> {
  const path = `tables/${table.name}`;
  yield { path: `${path}.csv`, text: csvText(table, rows()) };
  if (!formats.includes('parquet')) return;
  const { parquetPieces } = await import('../tables/parquet.ts');
  yield { path: `${path}.parquet`, text: parquetPieces(table, rows()) };
}

/** What makes a sheet of a table, without loading the writer where no workbook is asked for. */
type SheetMaker = typeof sheetOf;

/** The sheets as one workbook; nothing where it is not asked for. */
export async function* workbookOf(
  sheets: readonly TableSheet[],
  formats: readonly TableFormat[],
): AsyncGenerator<OutputFile> {
  if (!formats.includes('xlsx')) return;
  const { workbookBytes } = await import('../tables/xlsx.ts');
  yield { path: 'tables/tables.xlsx', text: [await workbookBytes(sheets)] };
}

/** All tables as one workbook, a sheet for each; nothing where it is not asked for. */
export async function* workbookFile(
  sheetsOf: (sheet: SheetMaker) => readonly TableSheet[],
  formats: readonly TableFormat[],
): AsyncGenerator<OutputFile> {
  if (!formats.includes('xlsx')) return;
  const { sheetOf } = await import('../tables/xlsx.ts');
  yield* workbookOf(sheetsOf(sheetOf), formats);
}

/** What the columns of all written tables are, for programs. */
export function dataPackageFile(
  name: string,
  tables: readonly PackagedTable[],
  formats: readonly TableFormat[],
): OutputFile {
  return { path: 'tables/datapackage.json', text: [`${jsonText(dataPackage(name, tables, formats))}\n`] };
}
