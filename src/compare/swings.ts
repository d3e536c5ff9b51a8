import type { ClubPlan, Hand } from '../model/dayPlan.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import type { SwingSelector } from '../model/swingSelector.ts';

/** Which swings stand against which. */

/** Definitions 8: the player's driver against the same player's irons (kind iron alone: no wedge, hybrid or wood). */
export const DRIVER: SwingSelector = { label: 'driver', kinds: ['driver'] };
export const IRONS: SwingSelector = { label: 'irons', kinds: ['iron'] };

/** What a comparison needs to know of a club. */
export type ClubOfPlan = Pick<ClubPlan, 'id' | 'kind' | 'length_m'>;

/** One side of a comparison, ordered by trial id so that sums do not depend on the order of files. */
export interface SwingGroup {
  readonly label: string;
  readonly records: readonly SwingRecord[];
  /** Club id of each record, '' where none is named. */
  readonly clubs: readonly string[];
}

/** By code unit, never by locale. */
export function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** Whether a selector names a swing of this club, kind and set. The kind is that of the club in the plan, otherwise the one given. */
export function isSelected(
  swing: { readonly club: string | null; readonly kind: string | null; readonly set: string },
  clubs: readonly ClubOfPlan[],
  selector: SwingSelector,
): boolean {
  const named = (list: readonly string[] | undefined, value: string | null): boolean =>
    list === undefined || (value !== null && list.includes(value));
  const kind = clubs.find(({ id }) => id === swing.club)?.kind ?? swing.kind;
  return (
    named(selector.kinds, kind) &&
    named(selector.clubs, swing.club) &&
    named(selector.sets, swing.set) &&
    !(selector.except !== undefined && isSelected(swing, clubs, selector.except))
  );
}

/** The player's swings that a selector names. */
export function selectSwings(
  records: readonly SwingRecord[],
  player: string,
  clubs: readonly ClubOfPlan[],
  selector: SwingSelector,
): SwingGroup {
  const chosen = records
    .filter(({ head }) => head.player === player && head.role === 'swing')
    .filter(({ head }) => isSelected(head, clubs, selector))
    .sort((a, b) => compareText(a.head.trial, b.head.trial));
  return { label: selector.label, records: chosen, clubs: chosen.map(({ head }) => head.club ?? '') };
}

/** Indices of the records of each part, in the order in which parts first occur. */
export function partsBy<T>(keys: readonly T[]): Map<T, number[]> {
  const parts = new Map<T, number[]>();
  keys.forEach((key, index) => {
    const part = parts.get(key);
    if (part === undefined) parts.set(key, [index]);
    else part.push(index);
  });
  return parts;
}

/** Clubs of one length are one part: the length in metres where the plan knows it, otherwise the club's id. */
export function lengthKeys(group: SwingGroup, clubs: readonly ClubOfPlan[]): (string | number)[] {
  const lengths = new Map(clubs.map((club) => [club.id, club.length_m]));
  return group.clubs.map((club) => lengths.get(club) ?? club);
}

/** '1 swing of the irons': counts in sentences. */
export function countOf(n: number, label: string): string {
  return `${n} swing${n === 1 ? '' : 's'} of the ${label}`;
}

/** The hand of the plan, else of the first record, else right. */
export function handOf(declared: Hand | null, records: readonly SwingRecord[]): Hand {
  return declared ?? records[0]?.head.facts.hand.value ?? 'right';
}

/** True where every swing of one group follows every swing of the other: then club and order cannot be told apart. */
export function isOrderConfounded(group: SwingGroup, reference: SwingGroup): boolean {
  if (group.records.length === 0 || reference.records.length === 0) return false;
  const a = group.records.map(({ head }) => head.order);
  const b = reference.records.map(({ head }) => head.order);
  return Math.max(...a) < Math.min(...b) || Math.max(...b) < Math.min(...a);
}

/** Why two groups cannot be compared at all, or ''. `oneDay`: trials of one name are one trial. */
export function refusal(group: SwingGroup, reference: SwingGroup, oneDay = true): string {
  for (const side of [group, reference]) {
    if (side.records.length === 0) return `no swing of the ${side.label}`;
  }
  const trials = new Set(group.records.map(({ head }) => head.trial));
  const both = reference.records.find(({ head }) => trials.has(head.trial));
  if (oneDay && both !== undefined) return `trial ${both.head.trial} is on both sides`;
  const datums = partsBy([...group.records, ...reference.records].map(datumOf));
  if (sharedDatum(group, reference) === null) {
    return `swings of ${datums.size} datums (${[...datums.keys()].sort(compareText).join(', ')}): angles with different zeros are not compared`;
  }
  return '';
}

export function datumOf({ datum }: SwingRecord): string {
  return `${datum.kind}:${datum.id}`;
}

/** The datum that both groups have, of several the one that the poorer group has most often; null where they share none. */
export function sharedDatum(group: SwingGroup, reference: SwingGroup): string | null {
  const count = (side: SwingGroup, datum: string): number =>
    side.records.filter((record) => datumOf(record) === datum).length;
  const ranked = [...new Set(group.records.map(datumOf))]
    .map((datum) => ({ datum, a: count(group, datum), b: count(reference, datum) }))
    .filter(({ b }) => b > 0)
    .sort((x, y) => Math.min(y.a, y.b) - Math.min(x.a, x.b) || y.a + y.b - x.a - x.b || compareText(x.datum, y.datum));
  return ranked[0]?.datum ?? null;
}

/** One datum in a comparison: the two groups without the swings of another, and a sentence about those of each group. */
export function ofOneDatum(
  group: SwingGroup,
  reference: SwingGroup,
): { readonly group: SwingGroup; readonly reference: SwingGroup; readonly notes: readonly string[] } {
  const shared = sharedDatum(group, reference);
  const notes: string[] = [];
  const kept = (side: SwingGroup): SwingGroup => {
    const records = side.records.filter((record) => datumOf(record) === shared);
    if (records.length === side.records.length) return side;
    const others = side.records.filter((record) => datumOf(record) !== shared).map(({ head }) => head.trial);
    notes.push(
      `${others.length} of ${countOf(side.records.length, side.label)} left out (${others.join(', ')}): the frames and joint centres rest on other landmarks than in the rest, and angles with different zeros are not compared.`,
    );
    return { label: side.label, records, clubs: records.map(({ head }) => head.club ?? '') };
  };
  return { group: kept(group), reference: kept(reference), notes };
}
