import type { ComparisonRow } from '../../model/comparison.ts';
import type { TableComparison } from '../../model/swingTable.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { counted, listed, plain, signed } from './numbers.ts';
import { undecidedText } from './summaries.ts';

/** Comparisons of a table measured elsewhere in words: names of columns and plain numbers, since their meaning is not known. */

/** '1, FACEON' */
export function tableName(words: Words, { player, by }: TableComparison): string {
  return [player, ...by].map((text) => (text === '' ? words.table.blank : text)).join(', ');
}

/** Decimals for numbers that scatter by `scale`: two figures of it, six at most. */
export function decimalsFor(scale: number): number {
  let decimals = 0;
  for (let rest = scale; rest > 0 && rest < 10 && decimals < 6; rest *= 10) decimals += 1;
  return decimals;
}

export function decimalsOf({ sdGroup, sdReference, meanGroup, meanReference }: ComparisonRow): number {
  const sd = Math.max(sdGroup ?? 0, sdReference ?? 0);
  return decimalsFor(sd > 0 ? sd : Math.max(Math.abs(meanGroup ?? 0), Math.abs(meanReference ?? 0)));
}

export function hasMargin(row: ComparisonRow): boolean {
  return row.marginRule !== 'none';
}

/** Departing and differing rows, the larger first: in standard deviations, since columns have units of their own. */
export function differingRows({ rows }: TableComparison): readonly ComparisonRow[] {
  const size = (row: ComparisonRow): number => Math.abs(row.hedgesG ?? Number.POSITIVE_INFINITY);
  const rank = (row: ComparisonRow): number => (row.verdict === 'departs' ? 0 : 1);
  return rows
    .filter(({ verdict }) => verdict === 'departs' || verdict === 'differs-slightly')
    .sort((a, b) => rank(a) - rank(b) || size(b) - size(a));
}

const MOST_NAMED = 3;

/** 'driver 8 swings, irons 9 swings' */
export function sizesText(words: Words, { group, reference }: TableComparison): string {
  return fill(words.table.sizes, {
    group: group.label,
    groupSwings: counted(words, group.swings, 'swing'),
    reference: reference.label,
    referenceSwings: counted(words, reference.swings, 'swing'),
  });
}

/** What a comparison found, in sentences. */
export function tableFinding(words: Words, comparison: TableComparison): string {
  const { rows, reason } = comparison;
  const { table } = words;
  const sizes = sizesText(words, comparison);
  if (reason !== '') return fill(table.noComparison, { reason, sizes });
  const told = rows.filter(({ verdict }) => verdict !== 'none');
  if (told.length === 0) return fill(table.noVerdict, { sizes });
  const untold = rows.length - told.length;
  const parts = [
    ...verdictParts(words, differingRows(comparison)),
    ...(told.some(({ verdict }) => verdict === 'matches')
      ? [fill(table.match, { n: told.filter(({ verdict }) => verdict === 'matches').length })]
      : []),
  ];
  return [
    parts.length === 0
      ? fill(table.nothing, { n: told.length })
      : fill(table.of, { columns: counted(words, told.length, 'column'), parts: parts.join('; ') }),
    undecidedText(words, rows, table.undecided),
    untold === 0 ? '' : table.untold(untold),
  ]
    .filter((text) => text !== '')
    .join(' ');
}

function verdictParts(words: Words, differing: readonly ComparisonRow[]): readonly string[] {
  const { departs, differsSlightly, differs } = words.table;
  const groups = [
    { said: departs, rows: differing.filter(({ verdict }) => verdict === 'departs') },
    {
      said: differsSlightly,
      rows: differing.filter((row) => row.verdict === 'differs-slightly' && hasMargin(row)),
    },
    {
      said: differs,
      rows: differing.filter((row) => row.verdict === 'differs-slightly' && !hasMargin(row)),
    },
  ];
  return groups.flatMap(({ said, rows }) => {
    if (rows.length === 0) return [];
    const named = rows
      .slice(0, MOST_NAMED)
      .map((row) => `${row.quantity} ${signed(words, row.difference ?? 0, decimalsOf(row))}`);
    const shown = rows.length > MOST_NAMED ? `${named.join(', ')} …` : listed(words, named);
    return [said(rows.length, shown)];
  });
}

/** '12.3 ± 1.4 (n 8)' */
export function meanText(words: Words, mean: number | null, sd: number | null, n: number, decimals: number): string {
  if (mean === null) return words.table.noValue;
  const scatter = sd === null ? '' : ` ± ${plain(words, sd, decimals)}`;
  return fill(words.table.mean, { mean: plain(words, mean, decimals), scatter, n });
}
