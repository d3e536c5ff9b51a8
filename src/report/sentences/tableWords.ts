import type { ComparisonRow } from '../../model/comparison.ts';
import type { TableComparison } from '../../model/swingTable.ts';
import { counted, listed, plain, signed } from './numbers.ts';
import { undecidedText } from './summaries.ts';

/** Comparisons of a table measured elsewhere in words: names of columns and plain numbers, since their meaning is not known. */

/** '1, FACEON' */
export function tableName({ player, by }: TableComparison): string {
  return [player, ...by].map((text) => (text === '' ? '(blank)' : text)).join(', ');
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

/** What a comparison found, in sentences. */
export function tableFinding(comparison: TableComparison): string {
  const { group, reference, rows, reason } = comparison;
  const sizes = `${group.label} ${counted(group.swings, 'swing')}, ${reference.label} ${counted(reference.swings, 'swing')}`;
  if (reason !== '') return `No comparison: ${reason} (${sizes}).`;
  const told = rows.filter(({ verdict }) => verdict !== 'none');
  if (told.length === 0) return `No verdict: no column has five values on both sides (${sizes}).`;
  const untold = rows.length - told.length;
  const parts = [
    ...verdictParts(told, differingRows(comparison)),
    ...(told.some(({ verdict }) => verdict === 'matches')
      ? [`${told.filter(({ verdict }) => verdict === 'matches').length} match`]
      : []),
  ];
  return [
    parts.length === 0
      ? `No difference of ${told.length} columns is certain.`
      : `Of ${counted(told.length, 'column')} ${parts.join('; ')}.`,
    undecidedText(rows).replace('comparisons', 'columns'),
    untold === 0
      ? ''
      : `${counted(untold, 'column')} ${untold === 1 ? 'has' : 'have'} fewer than five values on a side.`,
  ]
    .filter((text) => text !== '')
    .join(' ');
}

function verdictParts(told: readonly ComparisonRow[], differing: readonly ComparisonRow[]): readonly string[] {
  const groups = [
    { verb: 'departs', verbs: 'depart', rows: differing.filter(({ verdict }) => verdict === 'departs') },
    {
      verb: 'differs slightly',
      verbs: 'differ slightly',
      rows: differing.filter((row) => row.verdict === 'differs-slightly' && hasMargin(row)),
    },
    {
      verb: 'differs (no margin set)',
      verbs: 'differ (no margin set)',
      rows: differing.filter((row) => row.verdict === 'differs-slightly' && !hasMargin(row)),
    },
  ];
  return groups.flatMap(({ verb, verbs, rows }) => {
    if (rows.length === 0) return [];
    const named = rows
      .slice(0, MOST_NAMED)
      .map((row) => `${row.quantity} ${signed(row.difference ?? 0, decimalsOf(row))}`);
    const shown = rows.length > MOST_NAMED ? `${named.join(', ')} …` : listed(named);
    return [`${rows.length} ${rows.length === 1 && told.length > 0 ? verb : verbs} (${shown})`];
  });
}

/** '12.3 ± 1.4 (n 8)' */
export function meanText(mean: number | null, sd: number | null, n: number, decimals: number): string {
  if (mean === null) return 'no value';
  const scatter = sd === null ? '' : ` ± ${plain(sd, decimals)}`;
  return `${plain(mean, decimals)}${scatter} (n ${n})`;
}
