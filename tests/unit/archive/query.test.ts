import { cpSync, existsSync, mkdirSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { beforeAll, describe, expect, it } from 'vitest';
import { ARCHIVE_TABLES } from '../../../src/archive/archiveTables.ts';
import { loadDuckdb } from '../../../src/archive/database.ts';
import { madeSwings, makeStoredDay } from '../../support/archiveDays.ts';
import { cli } from '../../support/cli.ts';
import { contentsOf, scratchFolder } from '../../support/folders.ts';

const scratch = scratchFolder();
// brackets, stars and quotes are patterns or marks of text to a database
const archive = join(scratch, "season [1] 'a' *?{b,c}", 'archive');
const outside = join(scratch, 'outside.csv');
const MAY = { day: 'first day', date: '2026-05-16', players: ['plover', '007'], seed: 1, still_deg: 10 } as const;
const JUNE = { day: '=second day', date: '2026-06-30', players: ['plover'], seed: 2 } as const;

beforeAll(async () => {
  writeFileSync(outside, 'a,b\n1,2\n');
  for (const made of [MAY, JUNE]) {
    const done = await cli('archive', 'add', makeStoredDay(join(scratch, made.date), made), '--archive', archive);
    expect(done.code, done.stderr).toBe(0);
  }
});

async function asked(sql: string): Promise<readonly Record<string, string>[]> {
  const { code, stdout, stderr } = await cli('archive', 'query', sql, '--archive', archive);
  expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
  return parse(stdout, { columns: true }) as Record<string, string>[];
}

describe('archive query', () => {
  it('finds every value of the days, grouped as asked', async () => {
    const rows = await asked(
      `SELECT player, day, kind, count(*) AS n, avg(value) AS mean FROM angles
       WHERE quantity = 'pelvis.turn' AND position = 'P4' GROUP BY ALL ORDER BY ALL`,
    );
    const expected = [
      { player: '007', ...MAY },
      { player: 'plover', ...MAY },
      { player: 'plover', ...JUNE },
    ].flatMap(({ player, ...made }) =>
      ['driver', 'iron'].map((kind) => {
        const values = madeSwings(player, made)
          .filter(({ head }) => head.kind === kind)
          .map(({ cells }) => cells.find(({ quantity }) => quantity === 'pelvis.turn')!.value! * (180 / Math.PI));
        return { player, day: made.date as string, kind, mean: values.reduce((a, b) => a + b) / values.length };
      }),
    );
    expect(rows.map(({ player, day, kind }) => ({ player, day, kind }))).toEqual(
      expected.map(({ player, day, kind }) => ({ player, day, kind })),
    );
    rows.forEach((row, i) => {
      expect(row['n']).toBe('6');
      expect(Number(row['mean'])).toBeCloseTo(expected[i]!.mean, 10);
    });
  });

  it('has a table for each of the archive, with its columns, the date as day first, and the days themselves', async () => {
    for (const { name, columns } of ARCHIVE_TABLES) {
      const { stdout } = await cli('archive', 'query', `SELECT * FROM ${name} LIMIT 0`, '--archive', archive);
      const others = columns.map((column) => column.name).filter((column) => column !== 'player');
      expect(stdout.trimEnd().split(',').toSorted()).toEqual(['day', 'player', ...others].toSorted());
      expect(stdout.startsWith('day,')).toBe(true);
    }
    expect(await asked('SELECT * EXCLUDE (content) FROM days ORDER BY ALL')).toEqual([
      { day: '2026-05-16', player: '007', name: 'first day', swings: '12', program: '0.1.0', tables: '1' },
      { day: '2026-05-16', player: 'plover', name: 'first day', swings: '12', program: '0.1.0', tables: '1' },
      // a text that a spreadsheet would take for a formula has a mark before it, as in all tables
      { day: '2026-06-30', player: 'plover', name: "'=second day", swings: '12', program: '0.1.0', tables: '1' },
    ]);
  });

  it('answers in CSV: missing values empty, numbers as they are, nested values as JSON', async () => {
    const sql = `SELECT NULL AS nothing, -1.5 AS number, -2::BIGINT AS whole, 0.1::DOUBLE AS real, DATE '2026-05-16' AS date, '-x' AS text, [1, 2] AS list, 'a "b", c' AS quoted`;
    const { stdout } = await cli('archive', 'query', sql, '--archive', archive);
    expect(stdout).toBe(
      `nothing,number,whole,real,date,text,list,quoted\r\n,-1.5,-2,0.1,2026-05-16,'-x,"[1,2]","a ""b"", c"\r\n`,
    );
  });

  it.each([
    'WITH t AS (SELECT 1 AS a) SELECT a FROM t;',
    'FROM days SELECT count(*)',
    'DESCRIBE angles',
    'SHOW TABLES',
    'SELECT sum(i) FROM range(10) t(i)',
    'VALUES (1)',
  ])('reads: %s', async (sql) => {
    expect((await cli('archive', 'query', sql, '--archive', archive)).code).toBe(0);
  });

  it('of an archive without days has the same tables, empty', async () => {
    const empty = join(scratch, 'empty');
    mkdirSync(empty);
    writeFileSync(join(empty, 'archive.json'), '{"archive":1}');
    for (const { name } of [...ARCHIVE_TABLES, { name: 'days' }]) {
      const { stdout, code } = await cli('archive', 'query', `SELECT count(day) AS n FROM ${name}`, '--archive', empty);
      expect([stdout, code]).toEqual(['n\r\n0\r\n', 0]);
    }
  });
});

describe('a query that is more than reading is refused and changes nothing', () => {
  const inArchive = (name: string): string =>
    join(archive, [...contentsOf(archive).keys()].find((path) => path.endsWith(name))!);
  const quoted = (path: string): string => `'${path.replaceAll("'", "''")}'`;
  const READS_ONLY = 'a query only reads: it is one SELECT statement, and this is';
  const HOSTILE: readonly (readonly [string, () => string, string])[] = [
    ...[
      'CREATE TABLE t AS SELECT 1',
      'CREATE MACRO f(x) AS x',
      'CREATE SECRET (TYPE s3)',
      'INSERT INTO angles VALUES (1)',
      'UPDATE angles SET value = 1',
      'DELETE FROM angles',
      'MERGE INTO angles USING days ON true WHEN MATCHED THEN DELETE',
      'DROP VIEW angles',
      'ALTER VIEW angles RENAME TO b',
      "COMMENT ON VIEW angles IS 'x'",
      "COPY angles TO 'out.csv'",
      "COPY (SELECT 1) TO 'out.parquet'",
      "ATTACH 'x.db'",
      'DETACH memory',
      'USE memory',
      "EXPORT DATABASE 'all'",
      "IMPORT DATABASE 'all'",
      'INSTALL httpfs',
      'LOAD httpfs',
      'SET enable_external_access = true',
      "SET memory_limit = '1GB'",
      'RESET lock_configuration',
      'PRAGMA enable_profiling',
      'CALL pragma_version()',
      'VACUUM',
      'CHECKPOINT',
      'BEGIN TRANSACTION',
      'PREPARE p AS SELECT 1',
      'EXECUTE p',
      "EXPLAIN ANALYZE COPY angles TO 'out.csv'",
      '/* SELECT */ DROP VIEW angles -- SELECT',
    ].map((sql): readonly [string, () => string, string] => {
      const word = /[A-Z]+/.exec(sql.replace('/* SELECT */', ''))![0];
      return [sql, () => sql, `${READS_ONLY} ${word}`];
    }),
    ...(
      [
        ['read_csv', () => `SELECT * FROM read_csv(${quoted(outside)})`],
        ['read_text', () => `SELECT * FROM read_text(${quoted(outside)})`],
        ['read_blob', () => `SELECT (SELECT count(*) FROM read_blob(${quoted(outside)}))`],
        ['read_json', () => `WITH x AS (SELECT * FROM read_json(${quoted(outside)})) SELECT * FROM x`],
        ['sniff_csv', () => `FROM sniff_csv(${quoted(outside)})`],
        ['glob', () => `SELECT * FROM glob(${quoted(`${scratch}/*`)})`],
        ['parquet_metadata', () => `SELECT * FROM parquet_metadata(${quoted(outside)})`],
        [
          'read_parquet',
          () => `SELECT * FROM days UNION ALL SELECT * FROM read_parquet(${quoted(inArchive('angles.parquet'))})`,
        ],
        ['query', () => `SELECT * FROM query('SELECT * FROM read_csv(''${outside}'')')`],
        ['query_table', () => `SELECT * FROM query_table(${quoted(outside)})`],
        [
          'json_execute_serialized_sql',
          () => `SELECT * FROM json_execute_serialized_sql(json_serialize_sql('SELECT 1'))`,
        ],
        [
          'enable_logging',
          () =>
            `SELECT * FROM enable_logging('QueryLog', storage = 'file', storage_config = {'path': ${quoted(inArchive('angles.parquet'))}})`,
        ],
        [
          'enable_profiling',
          () => `SELECT * FROM enable_profiling(save_location = ${quoted(join(scratch, 'profile.json'))})`,
        ],
        ['checkpoint', () => `SELECT * FROM days, LATERAL (SELECT * FROM checkpoint())`],
        ['duckdb_settings', () => 'SELECT * FROM duckdb_settings()'],
        ['sqlite_scan', () => `SELECT * FROM sqlite_scan('x.db', 't')`],
      ] as const
    ).map(([name, sql]): readonly [string, () => string, string] => [
      `the function ${name}`,
      sql,
      `the function ${name} is not for a query of the archive`,
    ]),
    ['a file as a table', () => `SELECT * FROM ${quoted(outside)}`, 'the query cannot be run'],
    [
      'a file of the archive as a table',
      () => `SELECT * FROM ${quoted(join(archive, 'days.json'))}`,
      'the query cannot be run',
    ],
    ['an address as a table', () => `SELECT * FROM 'https://localhost/x.parquet'`, 'the query cannot be run'],
    ['two statements', () => 'SELECT 1; DROP VIEW angles', 'one SELECT statement'],
    ['two readings', () => 'SELECT 1; SELECT 2', 'a query is one SELECT statement, not 2'],
    [
      'writing in a common table expression',
      () => 'WITH x AS (INSERT INTO angles VALUES (1) RETURNING *) SELECT * FROM x',
      'the query cannot be run',
    ],
    ['nothing', () => '  -- nothing', 'the query is empty'],
    ['a parameter', () => 'SELECT ?', 'a query has no parameters'],
    ['no SQL', () => 'SELEKT 1', 'syntax error'],
    [
      'an unknown table',
      () => 'SELECT * FROM nothere',
      'tables: angles, comparison, days, positions, quality, stills, trials',
    ],
    ['an unknown column', () => 'SELECT valeu FROM angles', 'Candidate bindings'],
  ];

  it.each(HOSTILE)('%s', async (_, sql, message) => {
    const before = contentsOf(scratch);
    const { code, stdout, stderr } = await cli('archive', 'query', sql(), '--archive', archive);
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toContain(message);
    expect(contentsOf(scratch)).toEqual(before);
  });

  it('the database alone refuses them as well: no check of the text is all that stands between', async () => {
    const { openDatabase } = await import('../../../src/archive/database.ts');
    const { readState } = await import('../../../src/archive/folder.ts');
    const before = contentsOf(scratch);
    const { connection, close } = await openDatabase(await loadDuckdb(), archive, readState(archive).days);
    const refusedBy = async (sql: string): Promise<string> =>
      await connection.run(sql).then(
        () => 'it ran',
        (error: Error) => error.message,
      );
    for (const sql of [
      `SELECT * FROM read_csv(${quoted(outside)})`,
      `SELECT * FROM glob(${quoted(`${scratch}/*`)})`,
      `COPY (SELECT 1) TO ${quoted(join(scratch, 'out.csv'))}`,
      `ATTACH ${quoted(join(scratch, 'x.db'))}`,
      `EXPORT DATABASE ${quoted(join(scratch, 'all'))}`,
    ]) {
      expect(await refusedBy(sql), sql).toContain('Permission Error');
    }
    for (const sql of ['SET enable_external_access = true', 'RESET lock_configuration', "SET allowed_paths = ['/']"]) {
      expect(await refusedBy(sql), sql).toMatch(/locked|Cannot/);
    }
    expect(await refusedBy('SELECT count(*) FROM angles')).toBe('it ran');
    close();
    expect(contentsOf(scratch)).toEqual(before);
  });
});

describe('days that programs of other versions made', () => {
  const mixed = join(scratch, 'mixed');

  it('are told and kept apart by a column; those of other tables are left out and named', async () => {
    await cli('archive', 'add', makeStoredDay(join(scratch, 'may'), MAY), '--archive', mixed);
    await cli(
      'archive',
      'add',
      makeStoredDay(join(scratch, 'june'), { ...JUNE, version: '0.2.0' }),
      '--archive',
      mixed,
    );
    const sql = 'SELECT DISTINCT program, day FROM trials ORDER BY ALL';
    const both = await cli('archive', 'query', sql, '--archive', mixed);
    expect(both.stdout).toBe('program,day\r\n0.1.0,2026-05-16\r\n0.2.0,2026-06-30\r\n');
    expect(both.stderr).toBe(
      'the days were processed by versions 0.1.0, 0.2.0 of the program; the column program keeps them apart\n',
    );
    const path = join(mixed, 'days.json');
    const state = JSON.parse(readFileSync(path, 'utf8')) as { days: { tables: number }[] };
    state.days[0]!.tables = 0;
    writeFileSync(path, JSON.stringify(state));
    const one = await cli('archive', 'query', sql, '--archive', mixed);
    expect(one.stdout).toBe('program,day\r\n0.2.0,2026-06-30\r\n');
    expect(one.stderr).toBe(
      'left out, since other tables made them: 2026-05-16 "first day"; process them again and add them with --replace\n',
    );
    expect((await cli('archive', 'list', '--archive', mixed)).stdout).toContain(
      'made with other tables, left out of query and trend until processed again and added with --replace: 2026-05-16',
    );
  });
});

it('without the database package the message says how to get it, and what works without', async () => {
  const { queryArchive } = await import('../../../src/archive/query.ts');
  const missing = async (): Promise<never> => {
    throw Object.assign(new Error("Cannot find package '@duckdb/node-api'"), { code: 'ERR_MODULE_NOT_FOUND' });
  };
  const request = { archive, sql: 'SELECT 1', onNote: () => {}, write: async () => {} };
  await expect(queryArchive(request, missing)).rejects.toThrow(
    /need the package @duckdb\/node-api, which cannot be loaded \(Cannot find package.*npm install --include=optional in .*archive add, list and forget work without it/,
  );
});

describe('an archive that cannot be read as its list says', () => {
  const damaged = join(scratch, 'damaged');
  const ask = ['archive', 'query', 'SELECT sum(value) FROM angles', '--archive', damaged];
  const report = ['archive', 'trend', 'plover', '--archive', damaged, '--out', join(scratch, 'no report')];

  beforeAll(() => {
    cpSync(archive, damaged, { recursive: true });
  });

  it.each([
    ['cut short', (path: string) => truncateSync(path, 500)],
    ['not there', (path: string) => rmSync(path)],
  ])('because a file is %s: it is named, with what to do, and nothing is written', async (_, spoil) => {
    const path = [...contentsOf(damaged).keys()].findLast((one) =>
      one.endsWith('player=plover/day=2026-06-30/angles.parquet'),
    )!;
    const whole = readFileSync(join(damaged, path));
    spoil(join(damaged, path));
    for (const args of [ask, report]) {
      const { code, stdout, stderr } = await cli(...args);
      expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
      expect(stderr).toContain('a file of the archive cannot be read');
      expect(stderr).toContain(path.slice(path.lastIndexOf('player=')));
      expect(stderr).toContain('add its day again with --replace');
    }
    expect(existsSync(join(scratch, 'no report'))).toBe(false);
    writeFileSync(join(damaged, path), whole);
    expect((await cli(...ask)).code).toBe(0);
  });

  it('because it was changed meanwhile', async () => {
    const { overArchive } = await import('../../../src/archive/database.ts');
    const { readState } = await import('../../../src/archive/folder.ts');
    const { days } = readState(damaged);
    const reading = overArchive(await loadDuckdb(), { archive: damaged, days, player: null }, async (connection) => {
      const done = await cli('archive', 'forget', 'plover', '--archive', damaged);
      expect(done.code, done.stderr).toBe(0);
      await connection.run('SELECT sum(value) FROM angles');
    });
    await expect(reading).rejects.toThrow('was changed while it was read; ask again');
  });
});
