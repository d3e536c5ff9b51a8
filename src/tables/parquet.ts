/**
 * A table as Apache Parquet (format 2, GZIP pages): text as UTF-8 strings, counts as INT64, other numbers as DOUBLE with every digit; a
 * missing value is null. The key `schema` of the file's metadata holds name, description, type and unit of every column.
 */
import { gzipSync } from 'fflate';
import { ByteWriter, ParquetWriter, schemaFromColumnData } from 'hyparquet-writer';
import type { Column, Table } from './csv.ts';
import { tableSchema } from './tableSchema.ts';

/** Rows that are held at once before they are packed. */
const GROUP = 65_536;

const TYPES = { text: 'STRING', number: 'DOUBLE', integer: 'INT64' } as const;

/** The bytes of the file; rows in the order given. The same rows give the same bytes: no clock goes in. */
export function parquetBytes<R>(table: Table<R>, rows: Iterable<R>): Uint8Array {
  const { name, about, columns } = table;
  const writer = new ByteWriter();
  const parquet = new ParquetWriter({
    writer,
    schema: schemaFromColumnData({
      columnData: columns.map((column) => ({ name: column.name, data: [], type: TYPES[column.kind], nullable: true })),
    }),
    codec: 'GZIP',
    compressors: { GZIP: (bytes) => gzipSync(bytes, { mtime: 0 }) },
    createdBy: 'swingbasis',
    kvMetadata: [{ key: 'schema', value: JSON.stringify({ name, description: about, ...tableSchema(columns) }) }],
  });
  for (const group of groupsOf(rows)) {
    const columnData = columns.map((column) => ({ name: column.name, data: group.map((row) => cellOf(column, row)) }));
    atOnce(parquet.write({ columnData, rowGroupSize: GROUP }));
  }
  atOnce(parquet.finish());
  return writer.getBytes();
}

/** A writer into memory has nothing to wait for; should a version of it begin to, half a file must not pass as whole. */
function atOnce(written: void | Promise<void>): void {
  if (written instanceof Promise) throw new TypeError('expected bytes at once: the Parquet writer made a promise');
}

function cellOf<R>(column: Column<R>, row: R): string | number | bigint | null {
  const value = column.value(row);
  return column.kind === 'integer' && typeof value === 'number' ? BigInt(Math.round(value)) : value;
}

function* groupsOf<R>(rows: Iterable<R>): Generator<readonly R[]> {
  let group: R[] = [];
  for (const row of rows) {
    group.push(row);
    if (group.length < GROUP) continue;
    yield group;
    group = [];
  }
  if (group.length > 0) yield group;
}
