/** Rows of a delimited table to columns of numbers and words, in one pass over the bytes. */

import type { Layout } from './layout.ts';
import { type NumberCursor, scanNumber } from './numericText.ts';
import { sliceText } from './textBytes.ts';
import { afterLineEnd, BLANKS, isMissingText, isNumberText, lineEnd, splitCells, TAB } from './textLines.ts';

/** The first of several cells or rows that cannot be read. */
export interface BadPlace {
  readonly line: number;
  /** Byte of the scanned text. */
  readonly at: number;
  /** The cell, or the number of cells of the row. */
  readonly found: string;
}

export interface TableRows {
  readonly rows: number;
  /** Planar with `rows` per column. */
  readonly values: Float64Array;
  /** Per column; null where it holds numbers. */
  readonly words: readonly (WordList | null)[];
  /** Cells of each column that are no numbers though something stands in them. */
  readonly bad: Int32Array;
  readonly hasNumbers: readonly boolean[];
  readonly firstBad: readonly (BadPlace | null)[];
  readonly dropped: number;
  readonly firstDropped: BadPlace | null;
}

/** Longest text that is looked at of a cell that is no number. */
const LONGEST_CELL = 1000;
/** Words that are told apart by their bytes before a table of texts is asked. */
const FEW_WORDS = 32;

/** Distinct words of a column in the order of their first row. */
export class WordList {
  readonly words: string[] = [];
  readonly index: Int32Array;
  readonly #from: number[] = [];
  readonly #to: number[] = [];
  readonly #known = new Map<string, number>();

  constructor(capacity: number) {
    this.index = new Int32Array(capacity);
  }

  /** The number of the word at these bytes; −1 where it says that there is no value. */
  of(bytes: Uint8Array, from: number, to: number): number {
    const n = Math.min(this.words.length, FEW_WORDS);
    for (let i = 0; i < n; i++) if (sameBytes(bytes, this.#from[i]!, this.#to[i]!, from, to)) return i;
    const text = cellText(bytes, from, to);
    if (isMissingText(text)) return -1;
    const known = this.#known.get(text);
    if (known !== undefined) return known;
    const index = this.words.length;
    this.#known.set(text, index);
    this.words.push(text);
    if (index < FEW_WORDS) {
      this.#from.push(from);
      this.#to.push(to);
    }
    return index;
  }
}

function sameBytes(bytes: Uint8Array, a: number, aTo: number, b: number, bTo: number): boolean {
  if (aTo - a !== bTo - b) return false;
  for (let i = 0; a + i < aTo; i++) if (bytes[a + i] !== bytes[b + i]) return false;
  return true;
}

/** Text of a trimmed cell, quotes taken off. */
function cellText(bytes: Uint8Array, from: number, to: number): string {
  const text = sliceText(bytes, from, Math.min(to, from + LONGEST_CELL));
  return text.startsWith('"') ? splitCells(text, 10)[0]! : text.trim();
}

/** Rows there can be at most, one in hand included: no more than lines, and a row of n cells takes n bytes. */
function mostRows(bytes: Uint8Array, from: number, width: number): number {
  let lines = 0;
  for (let i = from; i < bytes.length; i++) {
    const byte = bytes[i]!;
    if (byte === 10 || byte === 13) lines += 1;
  }
  return Math.min(lines, Math.floor((bytes.length - from) / width) + 1);
}

/** What the functions of one reading share. */
interface Reading {
  readonly cursor: NumberCursor;
  readonly delimiter: number;
  /** A byte that counts as a blank beside the space: a tab unless it parts the cells. */
  readonly tab: number;
  readonly isWord: Uint8Array;
  readonly width: number;
  readonly words: readonly (WordList | null)[];
  readonly values: Float64Array;
  readonly capacity: number;
  readonly missing: string | null;
  /** Cells of the row in hand that are no numbers. */
  readonly rowBad: { readonly column: number; readonly at: number; readonly to: number }[];
}

/**
 * Reads all rows from `layout.dataAt`. Lines that are blank or begin with # are passed over; rows of another width are dropped;
 * a cell that is missing, holds the text `missing` or is no number is NaN. Memory is at most about 8 bytes per byte of the file.
 */
export function readRows(bytes: Uint8Array, layout: Layout, missing: string | null): TableRows {
  const { delimiter, isWord, decimal } = layout;
  const width = isWord.length;
  const capacity = mostRows(bytes, layout.dataAt, width);
  const values = new Float64Array(capacity * width);
  const words = Array.from(isWord, (word) => (word === 1 ? new WordList(capacity) : null));
  const cursor: NumberCursor = { bytes, decimal, at: layout.dataAt };
  const tab = delimiter === TAB ? 32 : TAB;
  const rowBad: Reading['rowBad'] = [];
  const reading: Reading = { cursor, delimiter, tab, isWord, width, words, values, capacity, missing, rowBad };
  const bad = new Int32Array(width);
  const firstBad: (BadPlace | null)[] = words.map(() => null);
  let dropped = 0;
  let firstDropped: BadPlace | null = null;
  let rows = 0;
  let line = layout.dataLine - 1;
  while (cursor.at < bytes.length) {
    line += 1;
    const from = passBlanks(bytes, cursor.at, tab);
    if (bytes[from] === 10 || bytes[from] === 13 || bytes[from] === 35) {
      cursor.at = afterLineEnd(bytes, lineEnd(bytes, from));
      continue;
    }
    cursor.at = from;
    rowBad.length = 0;
    let next = 0;
    while (next >= 0) {
      next = plainCells(reading, rows, next);
      if (next >= 0) next = otherCell(reading, rows, next);
    }
    const cells = -next;
    cursor.at = afterLineEnd(bytes, cursor.at);
    if (cells !== width) {
      dropped += 1;
      firstDropped ??= { line, at: from, found: cells === 1 ? '1 cell' : `${cells} cells` };
      continue;
    }
    for (const { column, at, to } of rowBad) {
      bad[column]! += 1;
      firstBad[column] ??= { line, at, found: cellText(bytes, at, to) };
    }
    rows += 1;
  }
  const hasNumbers = words.map((_, column) => hasNumber(values, column * capacity, rows));
  if (capacity !== rows) {
    for (let c = 1; c < width; c++) values.copyWithin(c * rows, c * capacity, c * capacity + rows);
  }
  const kept = capacity === rows ? values : values.slice(0, rows * width);
  return { rows, values: kept, words, bad, hasNumbers, firstBad, dropped, firstDropped };
}

function passBlanks(bytes: Uint8Array, from: number, tab: number): number {
  let at = from;
  while (bytes[at] === 32 || bytes[at] === tab) at += 1;
  return at;
}

function hasNumber(values: Float64Array, from: number, rows: number): boolean {
  for (let i = from; i < from + rows; i++) if (!Number.isNaN(values[i]!)) return true;
  return false;
}

/**
 * Reads plain numbers from the cursor, which stands on the first byte of cell `column`, until a cell is something else.
 * Returns that cell's number, the cursor on its first byte; or minus the number of cells where the row ended, the cursor on the line end.
 */
function plainCells(reading: Reading, row: number, column: number): number {
  const { cursor, delimiter, tab, isWord, width, values, capacity } = reading;
  const bytes = cursor.bytes;
  let to = column * capacity + row;
  for (let c = column; ; c++) {
    const cell = cursor.at;
    if (c >= width || isWord[c] === 1) return c;
    const value = scanNumber(cursor);
    let at = cursor.at;
    let byte = bytes[at]!;
    if (at === cell || value - value !== 0) {
      cursor.at = cell;
      return c;
    }
    if (byte !== delimiter) {
      const stop = at;
      while (byte === 32 || byte === tab) byte = bytes[++at]!;
      if (byte === 10 || byte === 13) {
        values[to] = value;
        cursor.at = at;
        return -c - 1;
      }
      if (byte !== delimiter && !(delimiter === BLANKS && at > stop)) {
        cursor.at = cell;
        return c;
      }
    }
    values[to] = value;
    to += capacity;
    if (byte === delimiter) byte = bytes[++at]!;
    while (byte === 32 || byte === tab) byte = bytes[++at]!;
    if (delimiter === BLANKS && (byte === 10 || byte === 13)) {
      cursor.at = at;
      return -c - 1;
    }
    cursor.at = at;
  }
}

/** Reads one cell of any kind; returns the number of the next cell, or minus the number of cells where the row ended. */
function otherCell(reading: Reading, row: number, column: number): number {
  const { cursor, delimiter, tab, width, words, values, capacity, missing, rowBad } = reading;
  const bytes = cursor.bytes;
  const cell = cursor.at;
  let at = cellEnd(bytes, cell, delimiter);
  let to = at;
  while (to > cell && (bytes[to - 1] === 32 || bytes[to - 1] === tab)) to -= 1;
  if (column < width) {
    const list = words[column]!;
    let value = Number.NaN;
    if (list !== null) list.index[row] = to === cell ? -1 : list.of(bytes, cell, to);
    else if (!isMissingCell(bytes, cell, to)) {
      if (bytes[cell] === 34) value = quotedNumber(cellText(bytes, cell, to), cursor.decimal);
      if (value - value !== 0) {
        value = Number.NaN;
        const text = cellText(bytes, cell, to);
        if (text !== missing && !isMissingText(text)) rowBad.push({ column, at: cell, to });
      }
    }
    values[column * capacity + row] = value;
  }
  if (delimiter === BLANKS) at = passBlanks(bytes, at, tab);
  cursor.at = at;
  // An empty cell behind a last delimiter is no cell.
  if (bytes[at] === 10 || bytes[at] === 13) return column === width && to === cell ? -width : -column - 1;
  cursor.at = passBlanks(bytes, delimiter === BLANKS ? at : at + 1, tab);
  return column + 1;
}

/** First byte after a cell: a delimiter or a line end. Quotes hold delimiters, not line ends. */
function cellEnd(bytes: Uint8Array, from: number, delimiter: number): number {
  let at = from;
  if (bytes[at] === 34) {
    at += 1;
    for (; ; at++) {
      const byte = bytes[at]!;
      if (byte === 10 || byte === 13) return at;
      if (byte === 34) {
        if (bytes[at + 1] !== 34) break;
        at += 1;
      }
    }
  }
  for (; ; at++) {
    const byte = bytes[at]!;
    if (byte === 10 || byte === 13 || byte === delimiter || (byte === 9 && delimiter === BLANKS)) return at;
  }
}

/** Empty, n/a or NaN in any case: the commonest cells without a value, without a string. */
function isMissingCell(bytes: Uint8Array, from: number, to: number): boolean {
  if (to <= from) return true;
  if (to - from !== 3 || (bytes[from]! | 32) !== 110) return false;
  const middle = bytes[from + 1]!;
  const last = bytes[from + 2]! | 32;
  return (middle === 47 && last === 97) || ((middle | 32) === 97 && last === 110);
}

function quotedNumber(text: string, decimal: number): number {
  return isNumberText(text, decimal) ? Number(text.replace(',', '.')) : Number.NaN;
}
