/** Formats of the tables: CSV is always written, the others are asked for with --tables. */
import { nearestOf } from '../base/text.ts';

/** Formats of tables alone, of which a comparison has some, too. */
const OF_TABLES = ['csv', 'parquet', 'xlsx'] as const;
/** Copies of the trials: of a day alone, since a comparison has none. */
const OF_TRIALS = ['c3d', 'bids'] as const;

export const TABLE_FORMATS = [...OF_TABLES, ...OF_TRIALS] as const;
export type TableFormat = (typeof TABLE_FORMATS)[number];
/** Formats with a file for each table; XLSX has one for all. */
export type FileFormat = 'csv' | 'parquet';

/** Whether a format is made of the swings at every frame. */
export function isOfTrials(format: TableFormat): boolean {
  return (OF_TRIALS as readonly string[]).includes(format);
}

/**
 * The value of --tables: names joined by commas, in any order; CSV is always among them. `hasTrials`: the command has trials, not
 * comparisons alone. @throws RangeError with a sentence for the user
 */
export function parseFormats(text: string, hasTrials: boolean): readonly TableFormat[] {
  const known = hasTrials ? TABLE_FORMATS : OF_TABLES;
  const named = text
    .split(',')
    .map((name) => name.trim().toLowerCase())
    .filter((name) => name !== '');
  for (const name of named) {
    if ((known as readonly string[]).includes(name)) continue;
    if ((OF_TRIALS as readonly string[]).includes(name)) {
      throw new RangeError(
        `"${name}" copies the trials of a day: process writes it, a comparison has ${known.join(', ')}`,
      );
    }
    const near = nearestOf(name, known);
    const hint = near === null ? '' : `; did you mean ${near}?`;
    throw new RangeError(`"${name}" is none of the formats ${known.join(', ')}${hint}`);
  }
  return TABLE_FORMATS.filter((format) => format === 'csv' || named.includes(format));
}
