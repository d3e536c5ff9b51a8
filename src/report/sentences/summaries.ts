import { quantityById } from '../../model/catalogue.ts';
import type { ComparisonRow, Verdict } from '../../model/comparison.ts';
import type { PositionId } from '../../model/positions.ts';
import { listed } from './numbers.ts';
import { byPosition, capital, catalogueOrder } from './ranking.ts';

/** Many rows in one sentence: what matches, what differs slightly, what can't be told yet. */

/** Says a subject once where neighbours share it: 'the chest has 3.5° more …', '4.8° less …'. */
export function joinClauses(clauses: readonly string[]): string[] {
  return clauses.map((clause, i) => {
    const [subject, rest] = clause.split(' has ');
    return i > 0 && rest !== undefined && clauses[i - 1]!.startsWith(`${subject} has `) ? rest : clause;
  });
}

/** The three leading quantities with this verdict and where they have it, the others counted. */
export function rangesText(rows: readonly ComparisonRow[], verdict: Verdict, primary: ReadonlySet<string>): string {
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
  const told = ranked
    .slice(0, 3)
    .map(([quantity, at]) => `${quantityById(quantity).label} at ${stretches(at, compared.get(quantity)!)}`);
  const left = ranked.length - told.length;
  const more = `at some positions ${left} more ${left === 1 ? 'quantity' : 'quantities'}`;
  return `${capital(left > 0 ? `${told.join('; ')}; ${more}` : told.join('; '))}.`;
}

/** Positions as stretches of those compared: 'P1, P3 to P6 and P8'. */
export function stretches(positions: readonly PositionId[], compared: readonly PositionId[]): string {
  const parts: string[] = [];
  for (let i = 0; i < positions.length; ) {
    let end = i;
    while (
      end + 1 < positions.length &&
      compared.indexOf(positions[end + 1]!) === compared.indexOf(positions[end]!) + 1
    )
      end += 1;
    parts.push(...(end - i >= 2 ? [`${positions[i]} to ${positions[end]}`] : positions.slice(i, end + 1)));
    i = end + 1;
  }
  return listed(parts);
}

export function undecidedText(rows: readonly ComparisonRow[]): string {
  const told = rows.filter((row) => row.verdict !== 'none');
  const undecided = told.filter((row) => row.verdict === 'undecided');
  if (undecided.length === 0) return '';
  const opening = `${undecided.length} of ${told.length} comparisons can’t be told yet`;
  const more = undecided.map((row) => row.moreSwings).filter((entry) => entry !== null);
  const club = commonest(more.map((entry) => entry.club));
  if (club === null) return `${opening}.`;
  const sorted = more.map((entry) => entry.count).sort((a, b) => a - b);
  // the smallest count that settles more than half of them
  const count = sorted[Math.floor(sorted.length / 2)]!;
  const swings = count > 40 ? 'more than 40' : `about ${count}`;
  return `${opening}; ${swings} more swing${count === 1 ? '' : 's'} of ${club} would settle most.`;
}

/** The entry that occurs most; of equally frequent ones the first; null of none. */
export function commonest(entries: readonly string[]): string | null {
  const counts = new Map<string, number>();
  for (const entry of entries) counts.set(entry, (counts.get(entry) ?? 0) + 1);
  let best: string | null = null;
  for (const [entry, count] of counts) if (best === null || count > counts.get(best)!) best = entry;
  return best;
}
