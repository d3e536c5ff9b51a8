/** Tables as delimited text: UTF-8 without a mark, CRLF, quoted by RFC 4180, numbers through one formatter. */
import { formatFixed } from '../base/format.ts';

/** One column, declared once: the table, its page in the docs and the test of its header come from here. */
export interface Column<R> {
  readonly name: string;
  /** Unit in words, or '' for text; 'by row' where the column `unit` says it. */
  readonly unit: string;
  readonly meaning: string;
  /** 'number' and 'integer': written as they are; 'text': guarded against being read as a formula. */
  readonly kind: 'text' | 'number' | 'integer';
  /** The field of a row; '' where missing. */
  readonly read: (row: R) => string;
  /** The same with every digit, for formats with types of their own; null where missing. */
  readonly value: (row: R) => string | number | null;
}

/** What stands in the descriptions of a column. */
export type Described = Pick<Column<never>, 'name' | 'unit' | 'meaning' | 'kind'>;

export interface Table<R> {
  /** File name without extension. */
  readonly name: string;
  /** One sentence: what a row is. */
  readonly about: string;
  readonly columns: readonly Column<R>[];
}

export function textColumn<R>(name: string, meaning: string, read: (row: R) => string | null): Column<R> {
  return { name, unit: '', meaning, kind: 'text', read: (row) => read(row) ?? '', value: (row) => read(row) || null };
}

/** Fixed decimals, an integer where there are none; null and values that are not finite are missing. */
export function numberColumn<R>(
  name: string,
  unit: string,
  meaning: string,
  read: (row: R) => number | null,
  decimals: number | ((row: R) => number),
): Column<R> {
  const places = typeof decimals === 'number' ? () => decimals : decimals;
  return {
    name,
    unit,
    meaning,
    kind: decimals === 0 ? 'integer' : 'number',
    read: (row) => {
      const value = read(row);
      return value === null ? '' : formatFixed(value, places(row));
    },
    value: (row) => {
      const value = read(row);
      return value === null || !Number.isFinite(value) ? null : value + 0;
    },
  };
}

/**
 * Starts that a spreadsheet may take for a formula: = + - @, their full-width forms, a tab or a line break (common practice against
 * formulas in delimited text); also behind blanks and characters that are not seen.
 */
const FORMULA = /^(?:[\t\r\n]|[\s\p{Cc}\p{Cf}]*[=+\-@\uff1d\uff0b\uff0d\uff20])/u;

/** A text that a spreadsheet would take for a formula gets a ' before it. */
function guarded(text: string): string {
  return FORMULA.test(text) ? `'${text}` : text;
}

function quoted(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

const CHUNK = 65_536;

/** The first line of a table's file. */
export function csvHeader({ columns }: Pick<Table<never>, 'columns'>): string {
  return `${columns.map((column) => quoted(column.name)).join(',')}\r\n`;
}

/** The lines of rows, without the header. */
export function csvRows<R>({ columns }: Table<R>, rows: Iterable<R>): string {
  const lineOf = lineWriter(columns);
  let text = '';
  for (const row of rows) text += lineOf(row);
  return text;
}

/** The table's text in pieces of about 64 kB, its header first; rows in the order given. */
export function* csvText<R>(table: Table<R>, rows: Iterable<R>): Generator<string> {
  const lineOf = lineWriter(table.columns);
  let text = csvHeader(table);
  for (const row of rows) {
    text += lineOf(row);
    if (text.length < CHUNK) continue;
    yield text;
    text = '';
  }
  yield text;
}

/** Lines of rows one after the other. Most texts of a row are those of the row before it: how they are written is kept. */
function lineWriter<R>(columns: readonly Column<R>[]): (row: R) => string {
  const texts = columns.map(() => '');
  const written = columns.map(() => '');
  return (row) => {
    let line = '';
    for (let i = 0; i < columns.length; i++) {
      const column = columns[i]!;
      const field = column.read(row);
      if (i > 0) line += ',';
      if (column.kind !== 'text') {
        line += field;
        continue;
      }
      if (field !== texts[i]) {
        texts[i] = field;
        written[i] = quoted(guarded(field));
      }
      line += written[i];
    }
    return `${line}\r\n`;
  };
}
