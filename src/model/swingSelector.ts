import type { ClubKind } from './dayPlan.ts';

/** Swings by kind of club, club, set and trial: any of a list, all of the lists; what is not named is not restricted. */
export interface SwingSelector {
  /** 'driver', 'irons': used in the rows and sentences. */
  readonly label: string;
  readonly kinds?: readonly ClubKind[];
  readonly clubs?: readonly string[];
  readonly sets?: readonly string[];
  readonly trials?: readonly string[];
  /** Swings that this one has are left out: one iron against the other irons. */
  readonly except?: SwingSelector;
}

/** A named comparison of a day: some swings against others of the same player. */
export interface GroupComparison {
  /** MAIN takes the place of driver against irons; any other name ends the name of a sheet of its own. */
  readonly name: string;
  readonly of: SwingSelector;
  readonly against: SwingSelector;
  /** Ids; null: every player. */
  readonly players: readonly string[] | null;
}

/** The name of the comparison that stands first on a player's sheet. */
export const MAIN = 'main';

const KIND_WORDS: Readonly<Record<ClubKind, string>> = {
  driver: 'driver',
  wood: 'woods',
  hybrid: 'hybrids',
  iron: 'irons',
  wedge: 'wedges',
  putter: 'putter',
};

export const CLUB_KINDS = Object.keys(KIND_WORDS) as readonly ClubKind[];

/** The kind that a word names, in the singular or plural; null where it names none. */
export function kindNamed(word: string): ClubKind | null {
  const lower = word.toLowerCase();
  return CLUB_KINDS.find((kind) => kind === lower || `${kind}s` === lower) ?? null;
}

/** 'irons', 'iron5, iron7', 'driver, set before': what the lists of a selector say. */
export function selectorLabel(selector: Omit<SwingSelector, 'label'>): string {
  const { kinds, clubs, sets, trials } = selector;
  const parts: string[] = [];
  if (kinds !== undefined) parts.push(kinds.map((kind) => KIND_WORDS[kind]).join(', '));
  if (clubs !== undefined) parts.push(clubs.join(', '));
  if (sets !== undefined) {
    const named = sets.map((set) => (set === '' ? 'without a name' : set));
    parts.push(`set${named.length === 1 ? '' : 's'} ${named.join(', ')}`);
  }
  if (trials !== undefined) parts.push(trials.length === 1 ? `trial ${trials[0]}` : `${trials.length} named trials`);
  return parts.join(', ');
}

/** The two sides of a comparison: what the first has is left out of the second, which is then called 'other …'. */
export function sidesOf(
  of: SwingSelector,
  against: SwingSelector,
  clubs: readonly { readonly id: string; readonly kind: ClubKind }[],
): Pick<GroupComparison, 'of' | 'against'> {
  const named = against.label !== selectorLabel(against);
  const label = named || !mayShare(of, against, clubs) ? against.label : `other ${against.label}`;
  return { of, against: { ...against, label, except: of } };
}

/** Whether some club and set satisfy both. */
function mayShare(
  a: SwingSelector,
  b: SwingSelector,
  clubs: readonly { readonly id: string; readonly kind: ClubKind }[],
): boolean {
  if (a.trials !== undefined || b.trials !== undefined) return false;
  const has = (list: readonly string[] | undefined, value: string): boolean =>
    list === undefined || list.includes(value);
  const setsMeet = a.sets === undefined || b.sets === undefined || a.sets.some((set) => has(b.sets, set));
  return setsMeet && clubs.some(({ id, kind }) => [a, b].every((one) => has(one.kinds, kind) && has(one.clubs, id)));
}
