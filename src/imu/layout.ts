/** The form of a delimited table, from its first lines and some spread over it: delimiter, decimal mark, header, kind of each column. */

import { fail, type Notes, quoted } from './diagnosticCodes.ts';
import { fileOffset, type TextBytes } from './textBytes.ts';
import {
  BLANKS,
  COMMA,
  headLines,
  isComment,
  isMissingText,
  isNumberText,
  type Line,
  SEMICOLON,
  splitCells,
  spreadLines,
  TAB,
} from './textLines.ts';
import { bareUnit, isUnitText, splitUnit } from './unitText.ts';

export interface Layout {
  /** TAB, SEMICOLON, COMMA or BLANKS. */
  readonly delimiter: number;
  /** Byte of the decimal mark. */
  readonly decimal: number;
  readonly columns: readonly string[];
  readonly units: readonly string[];
  /** 1 where a column holds words. */
  readonly isWord: Uint8Array;
  /** First byte of the first row, and its line. */
  readonly dataAt: number;
  readonly dataLine: number;
}

export interface LayoutOptions {
  /** What shows the file in messages. */
  readonly file: string;
  /** Names of the columns where a side-car gives them: tabs part the cells, and a first row is a header only if it holds exactly these. */
  readonly names: readonly string[] | null;
}

const HEAD_LINES = 64;
const SPREAD_LINES = 64;
/** Names, sensors above names, units. */
const MOST_HEADER_ROWS = 4;

/** @throws FormatError where the bytes are no table */
export function findLayout(text: TextBytes, options: LayoutOptions, notes: Notes): Layout {
  const { bytes } = text;
  const { file, names } = options;
  refuseBinary(text, file);
  const offset = (line: Line | undefined): number | null => fileOffset(text, line?.from ?? 0);
  const head = headLines(text, HEAD_LINES, file);
  const plain = head.filter((line) => !isComment(line.text));
  const sample = [...plain.map((line) => line.text), ...spreadLines(bytes, head.at(-1)?.to ?? 0, SPREAD_LINES)];
  if (sample.length === 0) fail(file, 'table-without-numbers', 'there are no rows', 'rows of numbers');
  const delimiter = names === null ? delimiterOf(sample) : TAB;
  const rows = sample.map((line) => splitCells(line, delimiter));
  const decimal = names === null && delimiter !== COMMA ? decimalOf(rows) : 46;
  const first = firstLine(plain, rows, names);
  const width = first.width;
  const kinds = kindsOf(rows, width, decimal);
  if (!kinds.includes('number')) {
    fail(file, 'table-without-numbers', 'no column holds numbers', 'columns of numbers', [], offset(plain[0]));
  }
  const isWord = Uint8Array.from(kinds, (kind) => (kind === 'word' ? 1 : 0));
  const base = { delimiter, decimal, isWord };
  if (names !== null) {
    const start = plain[0];
    const same = width === names.length && rows[0]!.slice(0, width).every((cell, i) => cell === names[i]);
    if (same) notes.add('bids-header-row', `${file} starts with a row of its channel names`, offset(start));
    const from = same ? plain[1] : start;
    const columns = width === names.length ? names : kinds.map((_, i) => `col_${i + 1}`);
    return { ...base, columns, units: columns.map(() => ''), ...placeOf(from, bytes) };
  }
  const headerRows: string[][] = [];
  let next = first.index;
  while (next < plain.length && headerRows.length < MOST_HEADER_ROWS) {
    if (!isHeader(rows[next]!, kinds, decimal, headerRows.length > 0)) break;
    headerRows.push(rows[next]!.slice(0, width));
    next += 1;
  }
  if (first.index > 0) {
    const count = first.index === 1 ? 'a line' : `${first.index} lines`;
    notes.add(
      'lines-before-table',
      `${file}: ${count} before the table, first ${quoted(plain[0]!.text)}`,
      plain[0]!.from,
    );
  }
  const start = placeOf(plain[next], bytes);
  if (headerRows.length === 0) {
    const comment = head.filter((line) => isComment(line.text) && line.from < start.dataAt).at(-1);
    const cells = comment === undefined ? [] : splitCells(comment.text.trim().replace(/^#+/, ''), delimiter);
    if (cells.length === width && cells.every((cell) => cell !== '' && !isNumberText(cell, decimal))) {
      notes.add('header-from-comment', `${file}: names of the columns in line ${comment!.number}`, offset(comment));
      headerRows.push(cells);
    } else
      notes.add(
        'header-missing',
        `${file} has no header: its columns are called col_1 to col_${width}`,
        offset(plain[next]),
      );
  }
  return { ...base, ...namesOf(headerRows, width, file, notes), ...start };
}

function placeOf(line: Line | undefined, bytes: Uint8Array): { readonly dataAt: number; readonly dataLine: number } {
  return { dataAt: line?.from ?? bytes.length, dataLine: line?.number ?? 1 };
}

/** Control characters among the first bytes: a picture, an archive, a workbook. */
function refuseBinary(text: TextBytes, file: string): void {
  const { bytes } = text;
  const n = Math.min(bytes.length, 4096);
  for (let i = 0; i < n; i++) {
    const byte = bytes[i]!;
    if (byte < 9 || (byte > 13 && byte < 32 && byte !== 26)) {
      const hex = byte.toString(16).padStart(2, '0');
      fail(file, 'table-not-text', `byte 0x${hex} is no text`, 'a table of text', [], fileOffset(text, i));
    }
  }
}

/** The delimiter that gives most lines the same number of cells, at least two; of equals tab, then semicolon, comma, blanks. */
function delimiterOf(lines: readonly string[]): number {
  let best = COMMA;
  let bestShare = 0;
  for (const delimiter of [TAB, SEMICOLON, COMMA, BLANKS]) {
    const widths = lines.map((line) => splitCells(line, delimiter).length);
    const share = widths.filter((width) => width === modal(widths, 2)).length / lines.length;
    if (share > bestShare) {
      best = delimiter;
      bestShare = share;
    }
  }
  return best;
}

/** The most frequent value of at least `least`; of equals the largest; 0 where there is none. */
function modal(values: readonly number[], least: number): number {
  const counts = new Map<number, number>();
  for (const value of values) if (value >= least) counts.set(value, (counts.get(value) ?? 0) + 1);
  let best = 0;
  let most = 0;
  for (const [value, count] of counts) {
    if (count > most || (count === most && value > best)) {
      best = value;
      most = count;
    }
  }
  return best;
}

function decimalOf(rows: readonly (readonly string[])[]): number {
  let commas = 0;
  let points = 0;
  for (const cells of rows) {
    for (const cell of cells) {
      if (cell.includes(',') && isNumberText(cell, COMMA)) commas += 1;
      else if (cell.includes('.') && isNumberText(cell, 46)) points += 1;
    }
  }
  return commas > points ? COMMA : 46;
}

/** Width of the table and index of its first line among those without comments: lines before it have another width. */
function firstLine(
  plain: readonly Line[],
  rows: readonly (readonly string[])[],
  names: readonly string[] | null,
): { readonly width: number; readonly index: number } {
  const most = modal(
    rows.map((cells) => cells.length),
    1,
  );
  const whole = rows.filter((cells) => cells.length === most);
  const endsEmpty = most > 1 && whole.every((cells) => cells.at(-1) === '');
  // A delimiter at the end of every row makes no column, unless a header gives it a name, or every row but the header lacks it.
  const trailing =
    (endsEmpty && names?.length !== most) ||
    (most > 1 &&
      names === null &&
      whole.slice(1).every((cells) => cells.at(-1) === '') &&
      whole.length > 2 &&
      rows[0]!.length === most - 1);
  const width = trailing ? most - 1 : most;
  const index = rows.slice(0, plain.length).findIndex((cells) => cells.length === width || cells.length === most);
  return { width, index: Math.max(0, index) };
}

type Kind = 'number' | 'word';

/** By the second half of the sample, so that header and units of a short table do not count. */
function kindsOf(rows: readonly (readonly string[])[], width: number, decimal: number): Kind[] {
  const counted = rows.slice(Math.floor(rows.length / 2)).filter((cells) => cells.length >= width);
  const out: Kind[] = [];
  for (let c = 0; c < width; c++) {
    let numbers = 0;
    let words = 0;
    for (const cells of counted) {
      const cell = cells[c]!;
      if (isNumberText(cell, decimal)) numbers += 1;
      else if (!isMissingText(cell)) words += 1;
    }
    out.push(words > numbers ? 'word' : 'number');
  }
  return out;
}

/** Words above at least half of the columns of numbers; in a further header row no number at all. */
function isHeader(cells: readonly string[], kinds: readonly Kind[], decimal: number, further: boolean): boolean {
  let words = 0;
  let numbers = 0;
  let above = 0;
  for (const [c, kind] of kinds.entries()) {
    if (kind === 'word') continue;
    above += 1;
    const cell = cells[c] ?? '';
    if (isNumberText(cell, decimal)) numbers += 1;
    else if (!isMissingText(cell)) words += 1;
  }
  return words > 0 && 2 * words >= above && !(further && numbers > 0);
}

/** Names and units of the columns from the header rows: the last may hold units, the others are joined. */
function namesOf(
  headerRows: readonly (readonly string[])[],
  width: number,
  file: string,
  notes: Notes,
): { readonly columns: readonly string[]; readonly units: readonly string[] } {
  const last = headerRows.at(-1);
  const filled = last?.filter((cell) => cell !== '') ?? [];
  const hasUnits =
    headerRows.length > 1 && 2 * filled.filter((cell) => isUnitText(bareUnit(cell))).length > filled.length;
  const nameRows = hasUnits ? headerRows.slice(0, -1) : headerRows;
  if (nameRows.length > 1) notes.add('header-rows-joined', `${file}: ${nameRows.length} rows of names`);
  const columns: string[] = [];
  const units: string[] = [];
  for (let c = 0; c < width; c++) {
    const joined = nameRows
      .map((cells) => cells[c] ?? '')
      .filter((cell) => cell !== '')
      .join(' ');
    const { name, unit } = splitUnit(joined);
    columns.push(name === '' ? `col_${c + 1}` : name);
    units.push(unit === '' && hasUnits ? bareUnit(last![c] ?? '') : unit);
  }
  const seen = new Set<string>();
  const repeated = new Set<string>();
  for (const name of columns) {
    if (seen.has(name)) repeated.add(name);
    seen.add(name);
  }
  if (repeated.size > 0) {
    const list = [...repeated].slice(0, 10).map(quoted).join(', ');
    notes.add('column-names-repeated', `${file}: several columns are called ${list}`);
  }
  return { columns, units };
}
