import type { ClubKind } from './dayPlan.ts';

/** Swings by kind of club, club and set: any of a list, all of the lists; what is not named is not restricted. */
export interface SwingSelector {
  /** 'driver', 'irons': used in the rows and sentences. */
  readonly label: string;
  readonly kinds?: readonly ClubKind[];
  readonly clubs?: readonly string[];
  readonly sets?: readonly string[];
  /** Swings that this one has are left out: one iron against the other irons. */
  readonly except?: SwingSelector;
}

/** A named comparison of a day: some swings against others of the same player. */
export interface GroupComparison {
  /** MAIN takes the place of driver against irons; any other name ends the name of a sheet of its own. */
  readonly name: string;
  readonly of: SwingSelector;
  readonly against: SwingSelector;
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
  const { kinds, clubs, sets } = selector;
  const parts: string[] = [];
  if (kinds !== undefined) parts.push(kinds.map((kind) => KIND_WORDS[kind]).join(', '));
  if (clubs !== undefined) parts.push(clubs.join(', '));
  if (sets !== undefined) {
    parts.push(`set${sets.length === 1 ? '' : 's'} ${sets.join(', ')}`);
  }
  return parts.join(', ');
}
