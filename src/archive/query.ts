/** A question to the archive in SQL, answered as delimited text. */

import { resolve } from 'node:path';
import type { Json } from '@duckdb/node-api';
import type { ArchivedDay } from '../model/archive.ts';
import { TABLES_VERSION } from '../pipeline/tablesVersion.ts';
import { type Column, csvText, type Table } from '../tables/csv.ts';
import { type Duckdb, loadDuckdb, overArchive } from './database.ts';
import { readState } from './folder.ts';
import { failed, prepareReading } from './readOnlySql.ts';

export interface QueryRequest {
  readonly archive: string;
  readonly sql: string;
  readonly onNote: (note: string) => void;
  /** Takes the answer piece by piece. */
  readonly write: (text: string) => Promise<void>;
}

type Row = readonly Json[];

/** @throws QueryError where the statement is refused or fails @throws FileError */
export async function queryArchive(
  { archive, sql, onNote, write }: QueryRequest,
  load?: () => Promise<Duckdb>,
): Promise<void> {
  const folder = resolve(archive);
  const { days } = readState(folder);
  const duckdb = await loadDuckdb(load);
  const used = days.filter(({ tables }) => tables === TABLES_VERSION);
  for (const note of notesOf(days)) onNote(note);
  await overArchive(duckdb, { archive: folder, days: used, player: null }, async (connection) => {
    const statement = await prepareReading(duckdb, connection, sql);
    try {
      const result = await statement.stream();
      const numbers = result.columnTypes().map(({ typeId }) => isNumber(duckdb, typeId));
      const table = tableOf(result.deduplicatedColumnNames(), numbers);
      await write([...csvText(table, [])].join(''));
      for await (const rows of result.yieldRowsJson()) await write(bodyText(table, rows));
    } catch (error) {
      throw failed(error);
    }
  });
}

/** What the days that are asked are not alike in, and which are left out. */
function notesOf(days: readonly ArchivedDay[]): readonly string[] {
  const other = days.filter(({ tables }) => tables !== TABLES_VERSION).map(({ date, day }) => `${date} "${day}"`);
  const versions = [
    ...new Set(days.filter(({ tables }) => tables === TABLES_VERSION).map(({ version }) => version)),
  ].sort();
  return [
    ...(other.length === 0
      ? []
      : [
          `left out, since other tables made them: ${other.join(', ')}; process them again and add them with --replace`,
        ]),
    ...(versions.length < 2
      ? []
      : [
          `the days were processed by versions ${versions.join(', ')} of the program; the column program keeps them apart`,
        ]),
  ];
}

/** The text of rows without the line of names. */
function bodyText(table: Table<Row>, rows: readonly Row[]): string {
  const text = [...csvText(table, rows)].join('');
  return text.slice(text.indexOf('\r\n') + 2);
}

function tableOf(names: readonly string[], numbers: readonly boolean[]): Table<Row> {
  const columns = names.map((name, index): Column<Row> => {
    const value = (row: Row): string => shown(row[index] ?? null);
    return { name, unit: '', meaning: '', kind: numbers[index] === true ? 'number' : 'text', read: value, value };
  });
  return { name: 'answer', about: '', columns };
}

function shown(value: Json): string {
  if (value === null) return '';
  return typeof value === 'object' ? JSON.stringify(value) : String(value);
}

function isNumber({ DuckDBTypeId }: Duckdb, type: number): boolean {
  const named: string = DuckDBTypeId[type] ?? '';
  return /^(U?(TINY|SMALL|BIG|HUGE)?INT(EGER)?|U?INTEGER|FLOAT|DOUBLE|DECIMAL|BIGNUM)$/.test(named);
}
