/** Bytes of a table with one row per swing → its numbers, by the columns that are named; what cannot be used is told. */
import { nearestOf } from '../base/text.ts';
import type { SwingTable, TablePlan, TableSwing } from '../model/swingTable.ts';
import { type DelimitedRow, readDelimited } from './delimitedText.ts';
import { readNumbers } from './tableNumbers.ts';
import { marginsOf, namesIn, patternOf, sidesOf, TableOptionError } from './tableOptions.ts';

/** As the options give it. */
export interface TableRequest {
  /** Null: every row is a swing of its own. */
  readonly swingId: string | null;
  /** Null: all swings are of one player. */
  readonly player: string | null;
  readonly group: string;
  readonly values: string;
  readonly by: string | null;
  readonly of: string;
  readonly against: string;
  readonly margin: string | null;
  readonly primary: string | null;
}

export interface TableReading {
  readonly table: SwingTable;
  readonly plan: Pick<TablePlan, 'of' | 'against' | 'margins' | 'primary'>;
  /** Columns by which swings are compared apart. */
  readonly by: readonly string[];
  /** What was recognised and counted, one sentence each. */
  readonly notes: readonly string[];
  /** What could not be used, one line each, with file and line. */
  readonly problems: readonly string[];
}

/** Reads the table. @throws TableOptionError where an option names nothing, or the text is no table */
export function readSwingTable(bytes: Uint8Array, file: string, request: TableRequest): TableReading {
  const single = [request.swingId, request.player, request.group].filter((name) => name !== null);
  const by = request.by === null ? [] : namesIn('--by', request.by);
  const text = readDelimited(bytes, [...single, ...by]);
  if (!text.ok)
    throw new TableOptionError('--table', `${file}:${text.line}: the table cannot be read: ${text.message}`);
  if (text.header === null) throw new TableOptionError('--table', `${file} is empty; its first line names the columns`);
  const names = text.header.names;
  const at = (option: string, name: string): number => columnAt(option, name, names);
  const id = request.swingId === null ? null : at('--swing-id', request.swingId);
  const player = request.player === null ? null : at('--player', request.player);
  const group = at('--group', request.group);
  const apart = by.map((name) => at('--by', name));
  const taken = new Set([id, player, group, ...apart]);
  const wanted = valueColumns(request.values, names, taken);
  const problems: string[] = [];
  const long = text.rows.filter(({ fields }) => fields.slice(names.length).some((field) => field.trim() !== ''));
  for (const { line, fields } of long.slice(0, 5)) {
    problems.push(`${file}:${line}: ${fields.length} fields, the header has ${names.length}; the row is left out`);
  }
  if (long.length > 5) problems.push(`${file}: ${long.length - 5} more rows with too many fields are left out`);
  const field = ({ fields }: DelimitedRow, column: number | null): string =>
    column === null ? '' : (fields[column] ?? '').trim();
  const whole = text.rows.filter((row) => !long.includes(row));
  const unnamed = whole.filter((row) => field(row, group) === '' || (player !== null && field(row, player) === ''));
  const named = whole.filter((row) => !unnamed.includes(row));
  const rows = withoutRepeats(
    named,
    (row) => (id === null ? '' : field(row, id)),
    (row) => JSON.stringify([field(row, player), ...apart.map((column) => field(row, column))]),
    file,
    problems,
  );
  const numbers = readNumbers(rows, wanted, names, file);
  problems.push(...numbers.problems);
  const swings = rows.map(
    (row, index): TableSwing => ({
      line: row.line,
      player: player === null ? 'all' : field(row, player),
      by: apart.map((column) => field(row, column)),
      group: field(row, group),
      values: numbers.values[index]!,
    }),
  );
  const columns = numbers.columns.map((column) => names[column]!);
  const sides = sidesOf(
    request,
    swings.map((swing) => swing.group),
    names[group]!,
  );
  const used = swings.filter(
    (swing) => sides.of.groups.includes(swing.group) || sides.against.groups.includes(swing.group),
  );
  const notes = [
    `${file}: ${text.rows.length} rows, ${text.recognised}${numbers.decimalComma ? ', decimal comma' : ''}`,
    ...(unnamed.length === 0
      ? []
      : [
          `${file}: ${unnamed.length} rows without a ${player === null ? names[group] : `${names[player]} or ${names[group]}`} are left out`,
        ]),
    ...numbers.notes,
  ];
  return {
    table: { columns, swings: used },
    plan: { ...sides, margins: marginsOf(request.margin, columns), primary: primaryOf(request.primary, columns) },
    by,
    notes,
    problems,
  };
}

function columnAt(option: string, name: string, names: readonly string[]): number {
  const index = names.indexOf(name);
  if (index < 0) {
    const near = nearestOf(name, names);
    const hint = near === null ? `columns are ${names.join(', ')}` : `did you mean ${near}?`;
    throw new TableOptionError(option, `the table has no column ${name}; ${hint}`);
  }
  const again = names.indexOf(name, index + 1);
  if (again >= 0) {
    throw new TableOptionError(
      option,
      `the column ${name} stands there twice (fields ${index + 1} and ${again + 1}); rename one`,
    );
  }
  return index;
}

/** Columns of values in the order of the table, and whether each was written out rather than found by a pattern. */
function valueColumns(text: string, names: readonly string[], taken: ReadonlySet<number | null>) {
  const found = new Map<number, boolean>();
  for (const word of namesIn('--values', text)) {
    if (!word.includes('*')) {
      const column = columnAt('--values', word, names);
      if (taken.has(column))
        throw new TableOptionError('--values', `${word} already says whose swing it is; name columns of values`);
      found.set(column, true);
      continue;
    }
    const pattern = patternOf(word);
    const hits = names.flatMap((name, column) =>
      pattern.test(name) && name !== '' && !taken.has(column) ? [column] : [],
    );
    if (hits.length === 0)
      throw new TableOptionError('--values', `no column of values fits ${word}; columns are ${names.join(', ')}`);
    for (const column of hits) {
      columnAt('--values', names[column]!, names);
      if (!found.has(column)) found.set(column, false);
    }
  }
  return [...found].sort(([a], [b]) => a - b).map(([column, written]) => ({ column, written }));
}

function primaryOf(text: string | null, columns: readonly string[]): readonly string[] {
  if (text === null) return [];
  return namesIn('--primary', text).flatMap((word) => {
    const hits = columns.filter((name) => patternOf(word).test(name));
    if (hits.length > 0) return hits;
    throw new TableOptionError('--primary', `${word} is no column of values; they are ${columns.join(', ')}`);
  });
}

/** Each swing once for a player and view: further rows under its name are left out and told. */
function withoutRepeats(
  rows: readonly DelimitedRow[],
  idOf: (row: DelimitedRow) => string,
  partOf: (row: DelimitedRow) => string,
  file: string,
  problems: string[],
): readonly DelimitedRow[] {
  const first = new Map<string, number>();
  return rows.filter((row) => {
    const id = idOf(row);
    if (id === '') return true;
    const key = JSON.stringify([partOf(row), id]);
    const line = first.get(key);
    if (line === undefined) {
      first.set(key, row.line);
      return true;
    }
    problems.push(`${file}:${row.line}: the swing ${id} stands in line ${line} already; the row is left out`);
    return false;
  });
}
