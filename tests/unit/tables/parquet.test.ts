import { createHash } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { parse } from 'csv-parse/sync';
import { parquetMetadata, parquetReadObjects } from 'hyparquet';
import { describe, expect, it } from 'vitest';
import { orderAngles } from '../../../src/compare/orderAngles.ts';
import type { OrderSensitivity, OrderVerdict } from '../../../src/model/orderSensitivity.ts';
import { TABLES, type TableSources } from '../../../src/tables/allTables.ts';
import { csvText, numberColumn, type Table, textColumn } from '../../../src/tables/csv.ts';
import { parquetBytes } from '../../../src/tables/parquet.ts';
import { SESSIONS } from '../../../src/tables/sessions.ts';
import { fixtureCheckpoints } from '../../support/checkpointFixture.ts';
import { scratchFolder } from '../../support/folders.ts';
import { slowRotation } from '../../support/numericOracles.ts';
import { comparisonOf, outcomeOf, ROW, recordOf, seriesOf } from './fixture.ts';

type Row = Readonly<Record<string, string | number | bigint | null>>;

/** Pages are unpacked by zlib, not by the library that packed them. */
const compressors = { GZIP: (bytes: Uint8Array) => new Uint8Array(gunzipSync(bytes)) };

function bufferOf(bytes: Uint8Array): ArrayBuffer {
  return new Uint8Array(bytes).buffer;
}

async function readBack(bytes: Uint8Array): Promise<Row[]> {
  return (await parquetReadObjects({ file: bufferOf(bytes), compressors })) as Row[];
}

const POSTURE = slowRotation('YXZ', -1.6, -0.6, -0.1);
const ORDER_CHECK: OrderSensitivity = {
  rotation: 'thorax',
  mainOrder: 'YXZ',
  reason: '',
  rows: [true, false, null].map((changes, i): OrderVerdict => ({
    rotation: 'thorax', position: 'P4', basis: 'value', order: 'ZXY', component: i as 0 | 1 | 2, inPlaceOf: i === 2 ? null : 'thorax.turn',
    isCounterpart: i < 2, nGroup: 8, nReference: 9, meanGroup: -12.34567, meanReference: 1.5, difference: i === 2 ? null : -13.84567,
    low95: null, high95: 2.25, margin: 2, verdict: 'departs', mainVerdict: 'matches', changes, nSingular: i, reason: '',
  })), // biome-ignore format: one glance
};
const fault = { code: 'marker-sticks', markers: ['C7'], action: 'removed', detail: '=5 mm' } as const;
const record = recordOf('a', {
  poses: { P4: { pelvis: null, thorax: POSTURE } },
  faults: [{ ...fault, frames: [[24, 47]] }],
});
const SOURCES: TableSources = {
  records: [record, recordOf('b')],
  comparisons: [{ ...comparisonOf('auk', [ROW]), checkpoints: fixtureCheckpoints(), orderChecks: [ORDER_CHECK] }],
  orderAngles: () => orderAngles([record], ['thorax']),
  outcomes: [outcomeOf('a', { record, reason: 'ü, "x"\r\ntwo lines' }), outcomeOf('s', { role: 'static' })],
  repeatability: [],
  seriesOf,
};

/** Value of Parquet against the field of CSV: numbers within half of the last decimal, texts but for the guard against formulas. */
function agrees(value: Row[string], field: string): boolean {
  if (value === null) return field === '';
  if (typeof value === 'string') return field === (/^[=+\-@\t]/.test(value) ? `'${value}` : value);
  const decimals = field.split('.')[1]?.length ?? 0;
  // half a step of the last decimal, and rounding of the sum itself
  const half = 0.5 / Number(`1e${decimals}`) + 1e-12 * Math.abs(Number(field));
  return field !== '' && Math.abs(Number(value) - Number(field)) <= half;
}

describe('tables as Parquet, read back by another reader', () => {
  const tables = TABLES.filter(({ name }) => name !== 'repeatability');
  it.each(tables.map((table) => [table.name, table] as const))(
    '%s equals its CSV to its decimals',
    async (_, table) => {
      const [text, bytes] = table.write(SOURCES, (one, rows) => [
        [...csvText(one, rows())].join(''),
        parquetBytes(one, rows()),
      ]) as [string, Uint8Array];
      const fields = parse(text, { columns: true, record_delimiter: '\r\n' }) as Record<string, string>[];
      const rows = await readBack(bytes);
      expect(rows.length).toBeGreaterThan(0);
      expect(rows).toHaveLength(fields.length);
      const names = table.columns.map(({ name }) => name);
      for (const [i, row] of rows.entries()) {
        expect(Object.keys(row)).toEqual(names);
        expect(names.filter((name) => !agrees(row[name]!, fields[i]![name]!))).toEqual([]);
      }
    },
  );

  it('numbers keep every digit, which the CSV rounds away', async () => {
    const angles = TABLES.find(({ name }) => name === 'angles')!;
    const rows = await readBack(angles.write(SOURCES, (one, all) => parquetBytes(one, all())));
    // -1e-7 m in mm; the CSV has 0.00
    expect(rows[1]).toMatchObject({ quantity: 'pelvis.rise', value: -0.0000001 * 1000, unit: 'mm' });
    expect(rows[2]).toMatchObject({ quantity: 'club.path', value: null, flags: 'target-assumed' });
  });
});

interface Line {
  readonly text: string | null;
  readonly count: number | null;
  readonly size: number;
}

const SMALL: Table<Line> = {
  name: 'small',
  about: 'Three kinds of column.',
  columns: [
    textColumn('text', 'a text', ({ text }) => text),
    numberColumn('count', 'swings', 'a count', ({ count }) => count, 0),
    numberColumn('size', 'by row', 'a size', ({ size }) => size, 3),
  ],
};

const LINES: readonly Line[] = [
  { text: '=1+1', count: 3_000_000_000, size: 1 / 3 },
  { text: '', count: null, size: Number.NaN },
  { text: null, count: 0, size: -0 },
];

describe('a Parquet file', () => {
  it('has typed columns, GZIP pages, and says what the columns are', () => {
    const { schema, row_groups, key_value_metadata } = parquetMetadata(bufferOf(parquetBytes(SMALL, LINES)));
    const kinds = schema.slice(1).map(({ name, type, converted_type }) => [name, type, converted_type]);
    expect(kinds).toEqual([
      ['text', 'BYTE_ARRAY', 'UTF8'],
      ['count', 'INT64', undefined],
      ['size', 'DOUBLE', undefined],
    ]);
    expect(row_groups.flatMap(({ columns }) => columns.map(({ meta_data }) => meta_data!.codec))).toEqual(
      Array(3).fill('GZIP'),
    );
    const said = key_value_metadata!.find(({ key }) => key === 'schema')!.value!;
    expect(JSON.parse(said)).toMatchObject({
      name: 'small',
      description: 'Three kinds of column.',
      fields: [
        { name: 'text', type: 'string', description: 'a text' },
        { name: 'count', type: 'integer', unit: 'swings' },
        { name: 'size', type: 'number', unitColumn: 'unit' },
      ],
    });
  });
  it('holds texts as they are, counts beyond 32 bits, and null for what is missing; never -0', async () => {
    const rows = await readBack(parquetBytes(SMALL, LINES));
    expect(rows).toEqual([
      { text: '=1+1', count: 3_000_000_000n, size: 1 / 3 },
      { text: null, count: null, size: null },
      { text: null, count: 0n, size: 0 },
    ]);
  });
  it('has the same bytes on every Node version', () => {
    // no outside source: the bytes of the first run, so that another Node version that packs otherwise is seen
    const rows = Array.from({ length: 2000 }, (_, i): Line => ({ text: `t${i % 7}`, count: i, size: i / 7 }));
    const sha256 = createHash('sha256').update(parquetBytes(SMALL, rows)).digest('hex');
    expect(sha256).toBe('4c5545ba3e360b9a31ca3fe5b610d461ecd25ee061cab2ab396202a5d5e56245');
  });
  it.each([0, 65_536, 65_537])('has all of %i rows, group after group', async (count) => {
    const rows = Array.from({ length: count }, (_, i): Line => ({ text: `t${i % 7}`, count: i, size: i / 7 }));
    const bytes = parquetBytes(SMALL, rows);
    expect(parquetMetadata(bufferOf(bytes)).row_groups).toHaveLength(Math.ceil(count / 65_536));
    const back = await readBack(bytes);
    expect(back).toHaveLength(count);
    expect(back.every((row, i) => row['count'] === BigInt(i) && row['size'] === i / 7)).toBe(true);
  });
  it('of no rows has its columns all the same', () => {
    const { schema } = parquetMetadata(bufferOf(parquetBytes(SESSIONS, [])));
    expect(schema.slice(1).map(({ name }) => name)).toEqual(SESSIONS.columns.map(({ name }) => name));
  });
});

/** A second reader, where its binary is there for this machine. */
const duckdb = await import('@duckdb/node-api').catch(() => null);
describe.skipIf(duckdb === null)('in a database', () => {
  const scratch = scratchFolder();
  it('has the same types, sums and missing values', async () => {
    const path = join(scratch, 'small.parquet');
    writeFileSync(path, parquetBytes(SMALL, LINES));
    const connection = await (await duckdb!.DuckDBInstance.create()).connect();
    const from = `FROM read_parquet('${path.replaceAll("'", "''")}')`;
    const types = await connection.runAndReadAll(`DESCRIBE SELECT * ${from}`);
    expect(types.getRows().map(([name, type]) => [name, type])).toEqual([
      ['text', 'VARCHAR'],
      ['count', 'BIGINT'],
      ['size', 'DOUBLE'],
    ]);
    const asked = `SELECT max(text), max(count), sum(size), count(size), count(*) - count(text) ${from}`;
    expect((await connection.runAndReadAll(asked)).getRows()).toEqual([['=1+1', 3_000_000_000n, 1 / 3, 2n, 2n]]);
    connection.closeSync();
  });

  it.each(TABLES.filter(({ name }) => name !== 'repeatability').map((table) => [table.name, table] as const))(
    '%s has the types, rows and missing values of its CSV',
    async (name, table) => {
      const path = join(scratch, `${name}.parquet`);
      const [text, bytes] = table.write(SOURCES, (one, rows) => [
        [...csvText(one, rows())].join(''),
        parquetBytes(one, rows()),
      ]) as [string, Uint8Array];
      writeFileSync(path, bytes);
      const fields = parse(text, { columns: true, record_delimiter: '\r\n' }) as Record<string, string>[];
      const connection = await (await duckdb!.DuckDBInstance.create()).connect();
      const from = `FROM read_parquet('${path.replaceAll("'", "''")}')`;
      const types = await connection.runAndReadAll(`DESCRIBE SELECT * ${from}`);
      const wanted = { text: 'VARCHAR', integer: 'BIGINT', number: 'DOUBLE' };
      expect(types.getRows().map(([column, type]) => [column, type])).toEqual(
        table.columns.map(({ name: column, kind }) => [column, wanted[kind]]),
      );
      const counted = table.columns.map(({ name: column }) => `count("${column}")`).join(', ');
      const counts = (await connection.runAndReadAll(`SELECT count(*), ${counted} ${from}`)).getRows()[0];
      const there = (column: string): bigint => BigInt(fields.filter((row) => row[column] !== '').length);
      expect(counts).toEqual([BigInt(fields.length), ...table.columns.map(({ name: column }) => there(column))]);
      connection.closeSync();
    },
  );
});
