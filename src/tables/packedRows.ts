/** Rows of a table made ready where what they are of is at hand: as text of its CSV file and, for formats with types of their own, as cells. */
import { type Column, csvRows, type Table } from './csv.ts';

/** A row without what it was read from: of each column its field and its value. */
export interface PackedRow {
  readonly fields: readonly string[];
  readonly values: readonly (string | number | null)[];
}

/** Some rows of one table, one after the other. Plain data: they can be sent between threads. */
export interface PackedRows {
  readonly table: string;
  /** Lines of the CSV file, without its header. */
  readonly text: string;
  /** Null where no format needs them. */
  readonly cells: readonly PackedRow[] | null;
}

/** `rows` is gone through once more where cells are needed. */
export function packRows<R>(table: Table<R>, rows: () => Iterable<R>, needsCells: boolean): PackedRows {
  return { table: table.name, text: csvRows(table, rows()), cells: needsCells ? cellsOf(table, rows()) : null };
}

function cellsOf<R>({ columns }: Table<R>, rows: Iterable<R>): PackedRow[] {
  const cells: PackedRow[] = [];
  for (const row of rows) {
    cells.push({
      fields: columns.map((column) => column.read(row)),
      values: columns.map((column) => column.value(row)),
    });
  }
  return cells;
}

/** The same table read from packed rows. */
export function packedTable<R>({ columns, ...table }: Table<R>): Table<PackedRow> {
  return {
    ...table,
    columns: columns.map(
      (column, i): Column<PackedRow> => ({
        ...column,
        read: ({ fields }) => fields[i]!,
        value: ({ values }) => values[i]!,
      }),
    ),
  };
}
