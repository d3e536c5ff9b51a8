/** What the columns of a table are, for programs: names and types of the Table Schema of Frictionless Data (version 1), and units. */
import type { Described } from './csv.ts';

export interface TableField {
  readonly name: string;
  readonly title: string;
  readonly description: string;
  readonly type: 'string' | 'number' | 'integer';
  /** Of a number: its unit; '' where it has none, such as a probability or a count of players. */
  readonly unit?: string;
  /** In place of `unit`: the column that holds the unit of each row. */
  readonly unitColumn?: string;
  /** Beside `unitColumn`: the column that holds the quantity of each row, which says what a sign means. */
  readonly quantityColumn?: string;
  /** Beside `unitColumn`: the column that holds the axis order of each row. */
  readonly orderColumn?: string;
}

export interface TableSchema {
  readonly fields: readonly TableField[];
  readonly missingValues: readonly string[];
}

/** The schema of a table, from the declarations of its columns. */
export function tableSchema(columns: readonly Described[]): TableSchema {
  const names = new Set(columns.map(({ name }) => name));
  const byRow = {
    unitColumn: 'unit',
    ...(names.has('quantity') ? { quantityColumn: 'quantity' } : {}),
    ...(names.has('order') ? { orderColumn: 'order' } : {}),
  };
  return { fields: columns.map((column) => fieldOf(column, byRow)), missingValues: [''] };
}

function fieldOf({ name, unit, meaning, kind }: Described, byRow: Partial<TableField>): TableField {
  const field = { name, title: name.replaceAll('_', ' '), description: meaning };
  if (kind === 'text') return { ...field, type: 'string' };
  return { ...field, type: kind, ...(unit === 'by row' ? byRow : { unit }) };
}
