/** What a query of an archive may be: one SELECT over its tables. The database itself is closed as well; this says clearly what is refused, and first. */
import type { DuckDBConnection, DuckDBPreparedStatement } from '@duckdb/node-api';
import { ARCHIVE_TABLES } from './archiveTables.ts';
import { type Duckdb, literal } from './database.ts';

/** A query that is refused or cannot be run; the message is a sentence for the user. */
export class QueryError extends Error {}

/** Functions that stand for a table and read nothing but what they are given. */
const TABLE_FUNCTIONS = new Set(['range', 'generate_series', 'unnest', 'repeat']);

const TABLE_NAMES = [...ARCHIVE_TABLES.map(({ name }) => name), 'days'].sort();

/** The checked statement, ready to run. @throws QueryError */
export async function prepareReading(
  { StatementType }: Duckdb,
  connection: DuckDBConnection,
  sql: string,
): Promise<DuckDBPreparedStatement> {
  const tree = await parsed(connection, sql);
  const refused = [...functionsOfTables(tree)].find((name) => !TABLE_FUNCTIONS.has(name));
  if (refused !== undefined) {
    throw new QueryError(
      `the function ${refused} is not for a query of the archive: it reads the tables ${TABLE_NAMES.join(', ')}, and ${[...TABLE_FUNCTIONS].join(', ')}`,
    );
  }
  try {
    const statements = await connection.extractStatements(sql);
    if (statements.count !== 1) throw new QueryError(`a query is one SELECT statement, not ${statements.count}`);
    const statement = await statements.prepare(0);
    if (statement.statementType !== StatementType.SELECT) throw new QueryError(onlyReading(sql));
    if (statement.parameterCount > 0) throw new QueryError('a query has no parameters: write the values into it');
    return statement;
  } catch (error) {
    throw error instanceof QueryError ? error : failed(error);
  }
}

/** An error of the database, in its own words. */
export function failed(error: unknown): QueryError {
  return new QueryError(
    `the query cannot be run: ${(error as Error).message.trim()}\ntables: ${TABLE_NAMES.join(', ')}`,
  );
}

/** The tree of the one statement. @throws QueryError where it is none, several, or no SELECT */
async function parsed(connection: DuckDBConnection, sql: string): Promise<unknown> {
  let text: string;
  try {
    const result = await connection.runAndReadAll(`SELECT json_serialize_sql(${literal(sql)})`);
    text = String(result.getRows()[0]![0]);
  } catch (error) {
    throw failed(error);
  }
  const answer = JSON.parse(text) as {
    readonly error: boolean;
    readonly error_type?: string;
    readonly error_message?: string;
    readonly statements?: readonly unknown[];
  };
  if (answer.error) {
    if (answer.error_type === 'not implemented') throw new QueryError(onlyReading(sql));
    throw failed(new Error(answer.error_message ?? 'it is no SQL'));
  }
  const [statement, ...more] = answer.statements ?? [];
  if (statement === undefined) throw new QueryError('the query is empty');
  if (more.length > 0) throw new QueryError(`a query is one SELECT statement, not ${more.length + 1}`);
  return statement;
}

function onlyReading(sql: string): string {
  const word = /[A-Za-z]+/.exec(sql.replaceAll(/--.*$/gm, '').replaceAll(/\/\*[\s\S]*?\*\//g, ''))?.[0] ?? '';
  return `a query only reads: it is one SELECT statement, and this is ${word.toUpperCase()}`;
}

/** Names of the functions that stand where a table stands, anywhere in the statement. */
function* functionsOfTables(node: unknown): Generator<string> {
  if (typeof node !== 'object' || node === null) return;
  if (!Array.isArray(node)) {
    const { type, function: called } = node as {
      readonly type?: unknown;
      readonly function?: { readonly function_name?: unknown };
    };
    if (type === 'TABLE_FUNCTION') yield String(called?.function_name ?? 'of an unknown name').toLowerCase();
  }
  for (const inner of Object.values(node)) yield* functionsOfTables(inner);
}
