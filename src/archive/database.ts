/** A database over the tables of an archive. It lives in memory, sees exactly the files that the list of days names, and can change nothing. */

import { join } from 'node:path';
import type { DuckDBConnection } from '@duckdb/node-api';
import { FileError } from '../disk/fileSource.ts';
import { PACKAGE_FOLDER } from '../disk/packageFacts.ts';
import type { ArchivedDay } from '../model/archive.ts';
import type { Described } from '../tables/csv.ts';
import { ARCHIVE_TABLES, type ArchiveTable } from './archiveTables.ts';
import { partitionOf } from './dayContent.ts';
import { dayFolder, readState } from './folder.ts';

export type Duckdb = typeof import('@duckdb/node-api');

/** The optional package. @throws FileError that says how to install it */
export async function loadDuckdb(
  load: () => Promise<Duckdb> = async () => await import('@duckdb/node-api'),
): Promise<Duckdb> {
  try {
    return await load();
  } catch (error) {
    const why = (error as Error).message.split('\n')[0];
    throw new FileError(
      `archive query and archive trend need the package @duckdb/node-api, which cannot be loaded (${why}); it is optional and about 70 MB: run npm install --include=optional in ${PACKAGE_FOLDER} (archive add, list and forget work without it)`,
    );
  }
}

export interface Database {
  readonly connection: DuckDBConnection;
  readonly close: () => void;
}

/**
 * One thread, so that sums come out alike; no extension is fetched, nothing is spilled to disk. After the views are made no other file can be opened
 * and no setting changed.
 */
export async function openDatabase(
  duckdb: Duckdb,
  archive: string,
  days: readonly ArchivedDay[],
  player: string | null = null,
): Promise<Database> {
  const instance = await duckdb.DuckDBInstance.create(':memory:', {
    threads: '1',
    autoinstall_known_extensions: 'false',
    autoload_known_extensions: 'false',
    allow_community_extensions: 'false',
    temp_directory: '',
  });
  const connection = await instance.connect();
  const close = (): void => {
    connection.closeSync();
    instance.closeSync();
  };
  try {
    await makeViews(connection, archive, days, player);
  } catch (error) {
    close();
    throw error;
  }
  return { connection, close };
}

async function makeViews(
  connection: DuckDBConnection,
  archive: string,
  days: readonly ArchivedDay[],
  player: string | null,
): Promise<void> {
  const isOne = new Set(days.map(({ version }) => version)).size < 2;
  const parts = days.flatMap((day) =>
    day.players
      .filter(({ id }) => player === null || id === player)
      .map(({ id }) => join(dayFolder(archive, day), ...partitionOf(id, day.date).split('/'))),
  );
  const files = ARCHIVE_TABLES.flatMap(({ name }) => parts.map((part) => fileOf(part, name)));
  await connection.run(daysView(days, player));
  for (const table of ARCHIVE_TABLES) await connection.run(tableView(table, parts, isOne));
  await connection.run(`SET allowed_paths=[${files.map(literal).join(', ')}]`);
  await connection.run('SET enable_external_access=false');
  await connection.run('SET lock_configuration=true');
}

/**
 * Runs `work` on a database over the days. Where it fails because the archive was changed meanwhile, or because a file of it is damaged, the error says so.
 * @throws FileError, and whatever else `work` throws
 */
export async function overArchive<T>(
  duckdb: Duckdb,
  place: { readonly archive: string; readonly days: readonly ArchivedDay[]; readonly player: string | null },
  work: (connection: DuckDBConnection) => Promise<T>,
): Promise<T> {
  const { archive, days, player } = place;
  const listed = JSON.stringify(readState(archive).days);
  try {
    const { connection, close } = await openDatabase(duckdb, archive, days, player);
    try {
      return await work(connection);
    } finally {
      close();
    }
  } catch (error) {
    if (JSON.stringify(readState(archive).days) !== listed) {
      throw new FileError(`the archive ${archive} was changed while it was read; ask again`);
    }
    const { message } = error as Error;
    const isOfQuery = /(Catalog|Permission|Parser|Binder) Error/.test(message);
    const isOfFile = !isOfQuery && message.includes(archive) && message.includes('.parquet');
    if (error instanceof FileError || !isOfFile) throw error;
    throw new FileError(`a file of the archive cannot be read: ${message}; add its day again with --replace`);
  }
}

function fileOf(part: string, table: string): string {
  return join(part, `${table}.parquet`);
}

/** A text as SQL has it. */
export function literal(text: string): string {
  return `'${text.replaceAll("'", "''")}'`;
}

const TYPES: Readonly<Record<Described['kind'], string>> = { text: 'VARCHAR', number: 'DOUBLE', integer: 'BIGINT' };

/** The rows of all parts, with the date as the column day first. Files of several versions may have other columns at the end. */
function tableView({ name, columns }: ArchiveTable, parts: readonly string[], isOne: boolean): string {
  if (parts.length === 0) {
    const empty = columns.map((column) => `NULL::${TYPES[column.kind]} AS "${column.name}"`);
    return `CREATE VIEW "${name}" AS SELECT NULL::DATE AS day, ${empty.join(', ')} WHERE false`;
  }
  const files = parts.map((part) => literal(fileOf(part, name)));
  const options = `hive_partitioning=true, hive_types={'player': VARCHAR, 'day': DATE}${isOne ? '' : ', union_by_name=true'}`;
  return `CREATE VIEW "${name}" AS SELECT day, * EXCLUDE (day) FROM read_parquet([${files.join(', ')}], ${options})`;
}

/** A row for each player of each day, from the list of days. */
function daysView(days: readonly ArchivedDay[], player: string | null): string {
  const rows = days.flatMap(({ date, day, version, tables, content, players }) =>
    players
      .filter(({ id }) => player === null || id === player)
      .map(
        ({ id, swings }) =>
          `(DATE ${literal(date)}, ${literal(id)}, ${literal(day)}, ${swings}::BIGINT, ${literal(version)}, ${tables}::BIGINT, ${literal(content)})`,
      ),
  );
  const empty = '(NULL::DATE, NULL::VARCHAR, NULL::VARCHAR, NULL::BIGINT, NULL::VARCHAR, NULL::BIGINT, NULL::VARCHAR)';
  const from = `(VALUES ${rows.length === 0 ? empty : rows.join(', ')}) AS t(day, player, name, swings, program, tables, content)`;
  return `CREATE VIEW days AS SELECT * FROM ${from}${rows.length === 0 ? ' WHERE false' : ''}`;
}
