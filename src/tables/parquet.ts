/**
 * A table as Apache Parquet (format 2, GZIP pages): text as UTF-8 strings, counts as INT64, other numbers as DOUBLE with every digit; a
 * missing value is null. The key `schema` of the file's metadata holds name, description, type and unit of every column.
 */
import { gzipSync } from 'fflate';
import { ByteWriter, ParquetWriter, schemaFromColumnData } from 'hyparquet-writer';
import { joinBytes } from '../base/joinBytes.ts';
import type { Column, Table } from './csv.ts';
import { tableSchema } from './tableSchema.ts';

/** Rows that are held at once before they are packed. */
const GROUP = 65_536;

type Cell = string | number | bigint | null;

const TYPES = { text: 'STRING', number: 'DOUBLE', integer: 'INT64' } as const;

/** A table's bytes while its rows come. */
export interface ParquetStream<R> {
  /** The bytes of every group that is full. */
  add(rows: Iterable<R>): Generator<Uint8Array>;
  /** The rest, with what the file ends with. */
  end(): Uint8Array;
}

/** Bytes of a table whose rows come bit by bit. Only the cells of one group are held: whatever a row refers to may go. */
export function parquetStream<R>({ name, about, columns }: Table<R>): ParquetStream<R> {
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
  let held: Cell[][] = columns.map(() => []);
  let count = 0;
  const pack = (): void => {
    const columnData = columns.map((column, i) => ({ name: column.name, data: held[i]! }));
    atOnce(parquet.write({ columnData, rowGroupSize: GROUP }));
    held = columns.map(() => []);
    count = 0;
  };
  const taken = (): Uint8Array => {
    const bytes = writer.getBytes().slice();
    // places in the file are counted in `offset`, which goes on
    writer.index = 0;
    return bytes;
  };
  return {
    *add(rows) {
      for (const row of rows) {
        for (let i = 0; i < columns.length; i++) held[i]!.push(cellOf(columns[i]!, row));
        count += 1;
        if (count < GROUP) continue;
        pack();
        yield taken();
      }
    },
    end() {
      if (count > 0) pack();
      atOnce(parquet.finish());
      return taken();
    },
  };
}

/** The bytes of the file in pieces; rows in the order given. The same rows give the same bytes: no clock goes in. */
export function* parquetPieces<R>(table: Table<R>, rows: Iterable<R>): Generator<Uint8Array> {
  const stream = parquetStream(table);
  yield* stream.add(rows);
  yield stream.end();
}

/** The same in one piece. */
export function parquetBytes<R>(table: Table<R>, rows: Iterable<R>): Uint8Array {
  return joinBytes([...parquetPieces(table, rows)]);
}

/** A writer into memory has nothing to wait for; should a version of it begin to, half a file must not pass as whole. */
function atOnce(written: void | Promise<void>): void {
  if (written instanceof Promise) throw new TypeError('expected bytes at once: the Parquet writer made a promise');
}

function cellOf<R>(column: Column<R>, row: R): Cell {
  const value = column.value(row);
  return column.kind === 'integer' && typeof value === 'number' ? BigInt(Math.round(value)) : value;
}
