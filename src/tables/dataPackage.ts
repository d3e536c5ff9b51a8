/**
 * The descriptor of a folder of tables: Frictionless Data, Data Package and Table Schema version 1 (specs.frictionlessdata.io). Beside
 * the properties of the standard every column has its unit, and the package says unit, sign and axis order of every quantity.
 */
import { CATALOGUE } from '../model/catalogue.ts';
import type { Described } from './csv.ts';
import type { FileFormat, TableFormat } from './formats.ts';
import { type TableSchema, tableSchema } from './tableSchema.ts';

/** A table that is written. */
export interface PackagedTable {
  readonly name: string;
  readonly about: string;
  readonly columns: readonly Described[];
}

/** What a quantity is, from the catalogue. */
export interface QuantityNote {
  readonly name: string;
  readonly title: string;
  readonly description: string;
  readonly unit: string;
  /** What a value above 0 means, and one below. */
  readonly positive: string;
  readonly negative: string;
  /** Axis order of an angle; null of everything else. */
  readonly order: string | null;
}

export interface DataResource {
  readonly name: string;
  readonly path: string;
  readonly profile: 'tabular-data-resource' | 'data-resource';
  readonly description: string;
  readonly format: FileFormat;
  readonly mediatype: string;
  readonly encoding?: string;
  readonly dialect?: Readonly<Record<string, string | boolean>>;
  readonly schema: TableSchema;
}

export interface DataPackage {
  readonly profile: 'data-package';
  readonly name: string;
  readonly description: string;
  readonly resources: readonly DataResource[];
  readonly quantities: readonly QuantityNote[];
  /** How quantities are named that are there with `--orders` alone. */
  readonly orders: string;
}

const ORDERS =
  'With --orders SEGMENT.first, SEGMENT.second and SEGMENT.third, in degrees, are the angles of the axis order in the column order, one after the other; + by the right-hand rule about the axis of the segment.';

const MEDIA_TYPES: Readonly<Record<FileFormat, string>> = {
  csv: 'text/csv',
  parquet: 'application/vnd.apache.parquet',
};

/** The descriptor of tables that lie in one folder, a resource for each file that holds one table. */
export function dataPackage(
  name: string,
  tables: readonly PackagedTable[],
  formats: readonly TableFormat[],
): DataPackage {
  const written: readonly FileFormat[] = formats.includes('parquet') ? ['csv', 'parquet'] : ['csv'];
  const named = tables.some(({ columns }) => columns.some((column) => column.name === 'quantity'));
  return {
    profile: 'data-package',
    name,
    description:
      "Tables of swingbasis. unitColumn, quantityColumn and orderColumn name the column that says unit, quantity and axis order of a row; quantities says what a sign means. A text of a CSV file that begins with = + - @ or a tab has a ' before it.",
    resources: tables.flatMap((table) => written.map((format) => resource(table, format))),
    quantities: named ? CATALOGUE.map(quantityNote) : [],
    orders: ORDERS,
  };
}

function resource({ name, about, columns }: PackagedTable, format: FileFormat): DataResource {
  const isCsv = format === 'csv';
  return {
    name: isCsv ? name : `${name}-${format}`,
    path: `${name}.${format}`,
    profile: isCsv ? 'tabular-data-resource' : 'data-resource',
    description: about,
    format,
    mediatype: MEDIA_TYPES[format],
    ...(isCsv
      ? { encoding: 'utf-8', dialect: { delimiter: ',', lineTerminator: '\r\n', quoteChar: '"', doubleQuote: true } }
      : {}),
    schema: tableSchema(columns),
  };
}

function quantityNote({ id, label, definition, unit, plus, minus, order }: (typeof CATALOGUE)[number]): QuantityNote {
  return { name: id, title: label, description: definition, unit, positive: plus, negative: minus, order };
}
