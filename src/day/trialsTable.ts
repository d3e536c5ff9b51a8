/** A table of trials (`trials_csv`) as entries of the day file: comma, semicolon or tab, any common encoding, decimal comma. */
import { nearestOf } from '../base/text.ts';
import { TRIAL_COLUMNS } from '../model/daySchema.ts';
import { readDelimited } from './delimitedText.ts';
import { type DayNode, type LocatedProblem, mapNode, type Place, scalarNode } from './nodes.ts';

export interface TrialsTable {
  readonly rows: readonly DayNode[];
  readonly problems: readonly LocatedProblem[];
  /** What was recognised, one sentence; '' where the table could not be read. */
  readonly note: string;
}

const YES = new Set(['yes', 'y', 'true', '1']);
const NO = new Set(['no', 'n', 'false', '0']);

/** Rows of the table with line (of the row's end) and column (number of the field). Empty fields are left out. */
export function readTrialsTable(bytes: Uint8Array, file: string): TrialsTable {
  const problems: LocatedProblem[] = [];
  const problem = (line: number, column: number, code: string, message: string) =>
    problems.push({ file, line, column, code, message });
  const read = readDelimited(bytes, TRIAL_COLUMNS);
  if (!read.ok) {
    problem(read.line, 1, 'table-unreadable', `the table cannot be read: ${read.message}`);
    return { rows: [], problems, note: '' };
  }
  const { header } = read;
  if (header === null) {
    problem(
      1,
      1,
      'table-empty',
      'the table of trials is empty; its first line names the columns, such as file,player,club',
    );
    return { rows: [], problems, note: '' };
  }
  const columns = header.names;
  checkColumns(columns, header.line, problem);
  let decimalComma = false;
  const entries = read.rows.map(({ line, fields: record }) => {
    const extra = record.slice(columns.length).find((field) => field.trim() !== '');
    if (extra !== undefined) {
      const found = `this row has ${record.length} fields, the header ${columns.length}`;
      problem(
        line,
        columns.length + 1,
        'table-row-too-long',
        `${found}; put quotes around a field with ${read.separator}`,
      );
    }
    const fields: [string, DayNode][] = [];
    columns.forEach((name, index) => {
      const raw = (record[index] ?? '').trim();
      if (raw === '' || !(TRIAL_COLUMNS as readonly string[]).includes(name)) return;
      const place: Place = { file, line, column: index + 1 };
      if (name === 'rate_Hz' && /^\d+,\d+$/.test(raw)) decimalComma = true;
      fields.push([name, fieldNode(name, raw, place)]);
    });
    return mapNode({ file, line, column: 1 }, fields);
  });
  const note = `${file}: ${entries.length} trials, ${read.recognised}${decimalComma ? ', decimal comma' : ''}`;
  return { rows: entries, problems, note };
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
