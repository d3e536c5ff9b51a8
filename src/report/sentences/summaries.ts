import type { ComparisonRow, Verdict } from '../../model/comparison.ts';
import type { PositionId } from '../../model/positions.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { listed } from './numbers.ts';
import { byPosition, capital, catalogueOrder } from './ranking.ts';
import { differenceClause, labelOf, type SaidRow, saidDifference } from './words.ts';

/** Many rows in one sentence: what matches, what differs slightly, what can't be told yet. */

/** Clauses of differences; a subject is said once where neighbours share it: 'the chest has 3.5° more …', '4.8° less …'. */
export function joinedClauses(words: Words, rows: readonly SaidRow[]): string[] {
  const { clauseGoingOn } = words.differences;
  const said = rows.map((row) => saidDifference(words, row));
  return rows.map((row, i) => {
    const [before, own] = [said[i - 1] ?? null, said[i]!];
    const goesOn = before !== null && own !== null && before.subject === own.subject;
    const short = goesOn && clauseGoingOn(before) !== null ? clauseGoingOn(own) : null;
    return short ?? differenceClause(words, row);
  });
}

/** The three leading quantities with this verdict and where they have it, the others counted. */
export function rangesText(
  words: Words,
  rows: readonly ComparisonRow[],
  verdict: Verdict,
  primary: ReadonlySet<string>,
): string {
  const compared = new Map<string, PositionId[]>();
  const having = new Map<string, PositionId[]>();
  for (const row of [...rows].sort(byPosition)) {
    if (row.position === 'swing' || row.verdict === 'none') continue;
    compared.set(row.quantity, [...(compared.get(row.quantity) ?? []), row.position]);
    if (row.verdict === verdict) having.set(row.quantity, [...(having.get(row.quantity) ?? []), row.position]);
  }
  const ranked = [...having].sort(
    ([a, atA], [b, atB]) =>
      Number(primary.has(b)) - Number(primary.has(a)) ||
      atB.length - atA.length ||
      catalogueOrder({ quantity: a }) - catalogueOrder({ quantity: b }),
  );
  if (ranked.length === 0) return '';
  const told = ranked.slice(0, 3).map(([quantity, at]) =>
    fill(words.findings.matchesAt, {
      quantity: labelOf(words, quantity),
      positions: stretches(words, at, compared.get(quantity)!),
    }),
  );
  const left = ranked.length - told.length;
  const more = words.findings.moreAtSome(left);
  return `${capital(left > 0 ? `${told.join('; ')}; ${more}` : told.join('; '))}.`;
}

/** Positions as stretches of those compared: 'P1, P3 to P6 and P8'. */
export function stretches(words: Words, positions: readonly PositionId[], compared: readonly PositionId[]): string {
  const parts: string[] = [];
  for (let i = 0; i < positions.length; ) {
    let end = i;
    while (
      end + 1 < positions.length &&
      compared.indexOf(positions[end + 1]!) === compared.indexOf(positions[end]!) + 1
    )
      end += 1;
    parts.push(
      ...(end - i >= 2
        ? [fill(words.findings.stretch, { from: positions[i]!, to: positions[end]! })]
        : positions.slice(i, end + 1)),
    );
    i = end + 1;
  }
  return listed(words, parts);
}

/** `template` counts what is compared; absent: comparisons. */
export function undecidedText(
  words: Words,
  rows: readonly ComparisonRow[],
  template = words.findings.undecided,
): string {
  const told = rows.filter((row) => row.verdict !== 'none');
  const undecided = told.filter((row) => row.verdict === 'undecided');
  if (undecided.length === 0) return '';
  const opening = fill(template, { n: undecided.length, told: told.length });
  const more = undecided.map((row) => row.moreSwings).filter((entry) => entry !== null);
  const club = commonest(more.map((entry) => entry.club));
  if (club === null) return fill(words.findings.undecidedEnd, { opening });
  const sorted = more.map((entry) => entry.count).sort((a, b) => a - b);
  // the smallest count that settles more than half of them
  const count = sorted[Math.floor(sorted.length / 2)]!;
  return words.findings.undecidedUntil(opening, count, words.side(club));
}

/** The entry that occurs most; of equally frequent ones the first; null of none. */
export function commonest(entries: readonly string[]): string | null {
  const counts = new Map<string, number>();
  for (const entry of entries) counts.set(entry, (counts.get(entry) ?? 0) + 1);
  let best: string | null = null;
  for (const [entry, count] of counts) if (best === null || count > counts.get(best)!) best = entry;
  return best;
}
