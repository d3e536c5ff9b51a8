/** Formats of the tables: CSV is always written, the others are asked for with --tables. */
import { nearestOf } from '../base/text.ts';

export const TABLE_FORMATS = ['csv', 'parquet', 'xlsx'] as const;
export type TableFormat = (typeof TABLE_FORMATS)[number];
/** Formats with a file for each table; XLSX has one for all. */
export type FileFormat = Exclude<TableFormat, 'xlsx'>;

/** The value of --tables: names joined by commas, in any order; CSV is always among them. @throws RangeError with a sentence for the user */
export function parseFormats(text: string): readonly TableFormat[] {
  const named = text
    .split(',')
    .map((name) => name.trim().toLowerCase())
    .filter((name) => name !== '');
  for (const name of named) {
    if ((TABLE_FORMATS as readonly string[]).includes(name)) continue;
    const near = nearestOf(name, TABLE_FORMATS);
    const hint = near === null ? '' : `; did you mean ${near}?`;
    throw new RangeError(`"${name}" is none of the formats ${TABLE_FORMATS.join(', ')}${hint}`);
  }
  return TABLE_FORMATS.filter((format) => format === 'csv' || named.includes(format));
}
