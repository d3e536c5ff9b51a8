/** One file of delimited text → SensorTable. */

import { fail, type Notes, quoted } from './diagnosticCodes.ts';
import { findLayout, type Layout } from './layout.ts';
import { readRows, type TableRows } from './tableRows.ts';
import { fileOffset, type TextBytes, textBytes } from './textBytes.ts';
import type { SensorTable, WordColumn } from './types.ts';

/** More than this share of bad cells in a column, or of rows of another width, and the table is refused. */
const MOST_BAD = 0.1;

export interface DelimitedOptions {
  /** Path as it is shown in messages. */
  readonly file: string;
  /** Names and units of the columns by a side-car; null: from the header. */
  readonly channels: { readonly names: readonly string[]; readonly units: readonly string[] } | null;
  /** A further text that stands for no value; null: none. */
  readonly missing: string | null;
}

/** @throws FormatError where the bytes hold no table, or too much of it cannot be read */
export function readDelimited(file: Uint8Array, options: DelimitedOptions, notes: Notes): SensorTable {
  const text = textBytes(file);
  const shown = baseName(options.file);
  const layout = findLayout(text, { file: options.file, names: options.channels?.names ?? null }, notes);
  const width = layout.isWord.length;
  const channels = options.channels;
  if (channels !== null && channels.names.length !== width) {
    const found = `${width} ${width === 1 ? 'column' : 'columns'} in ${shown}`;
    const expected = `${channels.names.length}, one per row of its *_channels.tsv`;
    fail(options.file, 'bids-columns-disagree', found, expected);
  }
  let rows = readRows(text.bytes, layout, options.missing);
  const onlyWords = layout.isWord.map((word, c) => (word === 1 || (!rows.hasNumbers[c] && rows.bad[c]! > 0) ? 1 : 0));
  if (onlyWords.some((word, c) => word !== layout.isWord[c]))
    rows = readRows(text.bytes, { ...layout, isWord: onlyWords }, options.missing);
  refuseDamage(rows, layout, text, options.file, notes);
  const words = rows.words.flatMap((list, column): WordColumn[] =>
    list === null ? [] : [{ column, words: list.words, index: list.index.slice(0, rows.rows) }],
  );
  return {
    file: shown,
    columns: layout.columns,
    units: channels?.units ?? layout.units,
    rows: rows.rows,
    values: rows.values,
    words,
  };
}

/** The name without folders, whichever way they are parted. */
export function baseName(path: string): string {
  return path.slice(Math.max(path.lastIndexOf('/'), path.lastIndexOf('\\')) + 1);
}

function refuseDamage(rows: TableRows, layout: Layout, text: TextBytes, file: string, notes: Notes): void {
  const offset = (at: number): number | null => fileOffset(text, at);
  const width = layout.isWord.length;
  const all = rows.rows + rows.dropped;
  if (rows.firstDropped !== null) {
    const { line, at, found } = rows.firstDropped;
    const expected = width === 1 ? '1 cell' : `${width} cells`;
    if (rows.dropped > MOST_BAD * all && rows.dropped > 1) {
      const what = `${rows.dropped} of ${all} rows do not have ${expected}; the first is line ${line} with ${found}`;
      fail(file, 'table-rows-unreadable', what, `${expected} in every row`, [`line ${line}`], offset(at));
    }
    const what = rows.dropped === 1 ? '1 row is left out' : `${rows.dropped} rows are left out`;
    const message = `${file}: ${what} of ${all}: line ${line} has ${found}, the others ${expected}`;
    notes.add('rows-of-another-width', message, offset(at));
  }
  if (rows.rows === 0) fail(file, 'table-without-numbers', 'there are no rows', 'rows of numbers');
  if (!rows.hasNumbers.includes(true)) {
    fail(file, 'table-without-numbers', 'no column holds numbers', 'columns of numbers', [], offset(layout.dataAt));
  }
  for (const [c, first] of rows.firstBad.entries()) {
    if (first === null) continue;
    const bad = rows.bad[c]!;
    const place = [`line ${first.line}`, `column ${layout.columns[c]} (${c + 1})`];
    if (bad > MOST_BAD * rows.rows && bad > 1) {
      const found = `${bad} of ${rows.rows} cells are no numbers; the first is ${quoted(first.found)}`;
      fail(file, 'table-cells-unreadable', found, 'numbers', place, offset(first.at));
    }
    const what = bad === 1 ? '1 cell is no number' : `${bad} cells are no numbers`;
    const message = `${file}, ${place.join(', ')}: ${what}, ${bad === 1 ? '' : 'first '}${quoted(first.found)}; counted as missing`;
    notes.add('cells-not-numbers', message, offset(first.at));
  }
}
