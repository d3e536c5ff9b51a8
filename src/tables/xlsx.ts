/**
 * Tables as one workbook, Office Open XML (ECMA-376): a sheet for each table, names and units of the columns in its first two rows, which
 * stay in view. Numbers have the decimals of the CSV; texts are texts, never formulas; a missing value is an empty cell.
 */
import { unzipSync, zipSync } from 'fflate';
import writeWorkbook, { type Row, type Sheet } from 'write-excel-file/universal';
import type { Column, Table } from './csv.ts';

/** Rows that a sheet holds, and characters that a cell holds: specification and limits of the common spreadsheet programs, from memory. */
const SHEET_ROWS = 1_048_576;
const CELL_CHARACTERS = 32_767;
/** Every entry of the archive is stamped with the first day that it can name; without a zone, so that all places write the same. */
const STAMP = '1980-01-01T00:00:00';

export type TableSheet = Sheet<never>;

/** A sheet while its rows come; its cells are held until the workbook is made. */
export interface SheetStream<R> {
  add(rows: Iterable<R>): void;
  /** The sheet; where its rows are too many for one, a sentence stands in their place. */
  end(): TableSheet;
}

export function sheetStream<R>({ name, columns }: Table<R>, most = SHEET_ROWS): SheetStream<R> {
  const head: Row[] = [
    columns.map((column) => ({ value: column.name, fontWeight: 'bold' as const })),
    columns.map((column) => ({ value: column.unit, fontStyle: 'italic' as const })),
  ];
  const data: Row[] = [];
  let count = 0;
  return {
    add(rows) {
      for (const row of rows) {
        count += 1;
        if (head.length + count <= most) data.push(columns.map((column) => cellOf(column, row)));
      }
    },
    end() {
      const holds = head.length + count <= most;
      const instead = `${count} rows are more than a sheet holds; they are in ${name}.csv`;
      return { sheet: name, stickyRowsCount: head.length, data: [...head, ...(holds ? data : [[instead]])] };
    },
  };
}

/** A table as a sheet. */
export function sheetOf<R>(table: Table<R>, rows: Iterable<R>, most = SHEET_ROWS): TableSheet {
  const stream = sheetStream(table, most);
  stream.add(rows);
  return stream.end();
}

function cellOf<R>(column: Column<R>, row: R): string | number | null {
  const field = column.read(row);
  if (field === '') return null;
  return column.kind === 'text' ? cellText(field) : Number(field);
}

/**
 * Characters that XML has not or advises against, and what would be read as one, as _xHHHH_ (ECMA-376 part 1, 22.9.2.19 ST_Xstring); half
 * of a pair of code units as U+FFFD. Cut at the longest cell.
 */
function cellText(text: string): string {
  const cut = text.length <= CELL_CHARACTERS ? text : `${text.slice(0, CELL_CHARACTERS - 1)}…`;
  return cut
    .replace(/\p{Surrogate}/gu, '\uFFFD')
    .replace(/_(?=x[0-9A-Fa-f]{4}_)/g, '_x005F_')
    .replace(/[^\t\n\u0020-\u007E\u0085\u00A0-\uFDCF\uFDF0-\uFFFC]/g, (character) => {
      const code = character.charCodeAt(0).toString(16).toUpperCase();
      return `_x${code.padStart(4, '0')}_`;
    });
}

/** The bytes of the workbook: the same sheets give the same bytes. */
export async function workbookBytes(sheets: readonly TableSheet[]): Promise<Uint8Array> {
  const stamped = await writeWorkbook([...sheets]).toBlob();
  return zipSync(unzipSync(new Uint8Array(await stamped.arrayBuffer())), { mtime: STAMP });
}
