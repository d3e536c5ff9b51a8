/** A table of trials (`trials_csv`) as entries of the day file: comma, semicolon or tab, any common encoding, decimal comma. */
import { parse } from 'csv-parse/sync';
import { nearestOf } from '../base/text.ts';
import { TRIAL_COLUMNS } from '../model/daySchema.ts';
import { decodeText } from './decodeText.ts';
import { type DayNode, type LocatedProblem, mapNode, type Place, scalarNode } from './nodes.ts';

export interface TrialsTable {
  readonly rows: readonly DayNode[];
  readonly problems: readonly LocatedProblem[];
  /** What was recognised, one sentence; '' where the table could not be read. */
  readonly note: string;
}

const SEPARATORS = [
  { character: ',', name: 'commas' },
  { character: ';', name: 'semicolons' },
  { character: '\t', name: 'tabs' },
] as const;

const YES = new Set(['yes', 'y', 'true', '1']);
const NO = new Set(['no', 'n', 'false', '0']);

interface Row {
  readonly record: readonly string[];
  readonly info: { readonly lines: number };
}

/** Rows of the table with line (of the row's end) and column (number of the field). Empty fields are left out. */
export function readTrialsTable(bytes: Uint8Array, file: string): TrialsTable {
  const problems: LocatedProblem[] = [];
  const problem = (line: number, column: number, code: string, message: string) =>
    problems.push({ file, line, column, code, message });
  const decoded = decodeText(bytes);
  const sep = /^sep=(.)\r?\n/i.exec(decoded.text);
  const text = sep === null ? decoded.text : decoded.text.slice(sep[0].length);
  const firstLine = sep === null ? 0 : 1;
  const headerLine = text.split(/\r\n|\r|\n/).find((line) => line.trim() !== '') ?? '';
  const separator = recogniseSeparator(headerLine);
  let rows: readonly Row[];
  try {
    rows = parse(text, {
      delimiter: separator.character,
      info: true,
      relax_column_count: true,
      skip_empty_lines: true,
      relax_quotes: true,
      record_delimiter: ['\r\n', '\n', '\r'],
      trim: separator.character !== '\t',
    }) as unknown as readonly Row[];
  } catch (error) {
    const lines = (error as { lines?: number }).lines ?? 1;
    problem(lines + firstLine, 1, 'table-unreadable', `the table cannot be read: ${(error as Error).message}`);
    return { rows: [], problems, note: '' };
  }
  const header = rows[0];
  if (header === undefined) {
    problem(
      1,
      1,
      'table-empty',
      'the table of trials is empty; its first line names the columns, such as file,player,club',
    );
    return { rows: [], problems, note: '' };
  }
  const columns = header.record.map((name) => name.trim());
  checkColumns(columns, header.info.lines + firstLine, problem);
  let decimalComma = false;
  const entries = rows.slice(1).flatMap((row) => {
    const line = row.info.lines + firstLine;
    if (row.record.every((field) => field.trim() === '')) return [];
    const extra = row.record.slice(columns.length).find((field) => field.trim() !== '');
    if (extra !== undefined) {
      const found = `this row has ${row.record.length} fields, the header ${columns.length}`;
      problem(
        line,
        columns.length + 1,
        'table-row-too-long',
        `${found}; put quotes around a field with ${separator.name}`,
      );
    }
    const fields: [string, DayNode][] = [];
    columns.forEach((name, index) => {
      const raw = (row.record[index] ?? '').trim();
      if (raw === '' || !(TRIAL_COLUMNS as readonly string[]).includes(name)) return;
      const place: Place = { file, line, column: index + 1 };
      if (name === 'rate_Hz' && /^\d+,\d+$/.test(raw)) decimalComma = true;
      fields.push([name, fieldNode(name, raw, place)]);
    });
    return [mapNode({ file, line, column: 1 }, fields)];
  });
  const ends = text.includes('\r\n') ? 'CRLF' : text.includes('\n') ? 'LF' : text.includes('\r') ? 'CR' : 'no';
  const note = `${file}: ${entries.length} trials, ${decoded.encoding}, ${separator.name}, ${ends} line ends${decimalComma ? ', decimal comma' : ''}`;
  return { rows: entries, problems, note };
}

/** The separator under which most fields of the header are columns; without any, the most frequent. */
function recogniseSeparator(header: string): (typeof SEPARATORS)[number] {
  const known: readonly string[] = TRIAL_COLUMNS;
  const scored = SEPARATORS.map((separator) => {
    const fields = header.split(separator.character).map((field) => field.trim().replace(/^"(.*)"$/, '$1'));
    return { separator, known: fields.filter((field) => known.includes(field)).length, fields: fields.length };
  });
  scored.sort((a, b) => b.known - a.known || b.fields - a.fields);
  return scored[0]!.separator;
}

function checkColumns(
  columns: readonly string[],
  line: number,
  problem: (line: number, column: number, code: string, message: string) => void,
): void {
  const seen = new Set<string>();
  columns.forEach((name, index) => {
    if (name === '') return;
    if (!(TRIAL_COLUMNS as readonly string[]).includes(name)) {
      const near = nearestOf(name, TRIAL_COLUMNS);
      const hint = near === null ? `columns are ${TRIAL_COLUMNS.join(', ')}` : `did you mean ${near}?`;
      problem(line, index + 1, 'unknown-key', `"${name}" is not a column of trials; ${hint}`);
    } else if (seen.has(name)) problem(line, index + 1, 'duplicate-key', `the column ${name} stands there twice`);
    seen.add(name);
  });
  if (!seen.has('file') && !seen.has('pattern')) {
    problem(line, 1, 'missing-key', 'the table of trials needs a column file (or pattern)');
  }
}

function fieldNode(name: string, raw: string, place: Place): DayNode {
  if (raw === '?') return scalarNode(place, raw);
  if (name === 'use' || name === 'trust_coordinates') {
    const word = raw.toLowerCase();
    return scalarNode(place, YES.has(word) ? true : NO.has(word) ? false : raw);
  }
  if (name === 'rate_Hz') {
    const value = Number(/^\d+,\d+$/.test(raw) ? raw.replace(',', '.') : raw);
    return scalarNode(place, Number.isFinite(value) ? value : raw);
  }
  if (name === 'insist') {
    const items = raw.split(/[\s,;]+/).filter((word) => word !== '');
    return { kind: 'list', place, items: items.map((word) => scalarNode(place, word)) };
  }
  return scalarNode(place, raw);
}
