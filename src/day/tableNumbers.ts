import type { DelimitedRow } from './delimitedText.ts';

/** The numbers of a table: decimal point or comma, blanks, and what is neither. */

/** What programs write where there is no value. */
const BLANKS = new Set(['', '-', '–', '?', '.', 'na', 'n/a', '#n/a', 'nan', 'null', 'none']);
const POINT = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;
const WITH_POINT = /^[+-]?(\d+\.\d*|\.\d+)(e[+-]?\d+)?$/i;
const COMMA = /^[+-]?(\d+,\d*|,\d+)(e[+-]?\d+)?$/i;

export interface TableNumbers {
  /** Indices of the columns that hold numbers. */
  readonly columns: readonly number[];
  /** By row, by entry of `columns`; NaN where blank. */
  readonly values: readonly Float64Array[];
  readonly decimalComma: boolean;
  readonly notes: readonly string[];
  readonly problems: readonly string[];
}

/**
 * A column that was found by a pattern and holds no number is passed over, with a note; a value that is no number is left out, one line a
 * column. The decimal mark is one for the whole table: the comma where it stands in numbers and the point does not.
 */
export function readNumbers(
  rows: readonly DelimitedRow[],
  wanted: readonly { readonly column: number; readonly written: boolean }[],
  names: readonly string[],
  file: string,
): TableNumbers {
  const texts = wanted.map(({ column }) => rows.map(({ fields }) => (fields[column] ?? '').trim().replace('−', '-')));
  const has = (pattern: RegExp): boolean => texts.some((column) => column.some((text) => pattern.test(text)));
  const decimalComma = has(COMMA) && !has(WITH_POINT);
  const numberOf = (text: string): number => {
    if (BLANKS.has(text.toLowerCase())) return Number.NaN;
    if (POINT.test(text)) return Number(text);
    return decimalComma && COMMA.test(text) ? Number(text.replace(',', '.')) : Number.POSITIVE_INFINITY;
  };
  const notes: string[] = [];
  const problems: string[] = [];
  const kept: { readonly column: number; readonly numbers: Float64Array }[] = [];
  const empty: string[] = [];
  wanted.forEach(({ column, written }, index) => {
    const numbers = Float64Array.from(texts[index]!, numberOf);
    const wrong = rows.flatMap((_, row) => (Math.abs(numbers[row]!) === Infinity ? [row] : []));
    if (!written && !numbers.some((value) => Number.isFinite(value))) {
      empty.push(names[column]!);
      return;
    }
    if (wrong.length > 0) {
      const first = wrong[0]!;
      const also = wrong.length === 1 ? '' : `, and ${wrong.length - 1} more of this column`;
      const mark = COMMA.test(texts[index]![first]!) ? ': the table has decimal points' : '';
      problems.push(
        `${file}:${rows[first]!.line}: ${names[column]}: "${texts[index]![first]!.slice(0, 40)}" is no number${mark}; left out${also}`,
      );
      for (const row of wrong) numbers[row] = Number.NaN;
    }
    kept.push({ column, numbers });
  });
  if (empty.length > 0) notes.push(`${file}: passed over, no numbers: ${empty.join(', ')}`);
  return {
    columns: kept.map(({ column }) => column),
    values: rows.map((_, row) => Float64Array.from(kept, ({ numbers }) => numbers[row]!)),
    decimalComma,
    notes,
    problems,
  };
}
