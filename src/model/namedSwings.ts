/** Names of swings, on the command line and in the day file: clubs, kinds and sets become selectors. */
import { nearestOf } from '../base/text.ts';
import type { ClubKind } from './dayPlan.ts';
import { CLUB_KINDS, kindNamed, type SwingSelector, selectorLabel } from './swingSelector.ts';

/** What a name may stand for. */
export interface KnownSwings {
  readonly clubs: readonly { readonly id: string; readonly kind: ClubKind }[];
  readonly swings: readonly KnownSwing[];
}

export interface KnownSwing {
  readonly club: string | null;
  readonly set: string;
}

/** Two sides of a comparison that share no swing. */
export interface Sides {
  readonly of: SwingSelector;
  readonly against: SwingSelector;
}

const FORMS = ['club', 'kind', 'set'] as const;
type Form = (typeof FORMS)[number];

/** A name that stands for nothing, or two that stand for the same: `side` is the setting it was given to. */
export class NamedSwingsError extends RangeError {
  readonly side: 'of' | 'against';

  constructor(side: 'of' | 'against', message: string) {
    super(message);
    this.side = side;
  }
}

/**
 * Both sides of a comparison. Each is ids of clubs, kinds and sets, comma between them: of clubs any, of kinds any, of sets any, and all
 * of what is said; `set:before` says which is meant. A word that is a kind and the id of a club of that kind is the kind. What both sides name belongs to the narrower one: `iron5` against `irons` is against
 * the other irons. @throws NamedSwingsError with a sentence for the user
 */
export function namedSides(of: string, against: string, known: KnownSwings): Sides {
  const a = swingsNamed('of', of, known);
  const b = swingsNamed('against', against, known);
  const inA = known.swings.filter((swing) => names(a, swing, known));
  const inB = known.swings.filter((swing) => names(b, swing, known));
  const both = inA.filter((swing) => inB.includes(swing));
  if (both.length === 0) return { of: a, against: b };
  if (both.length === inA.length && both.length === inB.length) {
    throw new NamedSwingsError('against', `"${against}" names the same swings as "${of}"; name others`);
  }
  return both.length === inB.length ? { of: others(a, b), against: b } : { of: a, against: others(b, a) };
}

function others(all: SwingSelector, except: SwingSelector): SwingSelector {
  return { ...all, label: `other ${all.label}`, except };
}

function names(selector: SwingSelector, { club, set }: KnownSwing, { clubs }: KnownSwings): boolean {
  const kind = clubs.find(({ id }) => id === club)?.kind;
  return (
    (selector.clubs === undefined || (club !== null && selector.clubs.includes(club))) &&
    (selector.kinds === undefined || (kind !== undefined && selector.kinds.includes(kind))) &&
    (selector.sets === undefined || selector.sets.includes(set))
  );
}

function swingsNamed(side: 'of' | 'against', text: string, known: KnownSwings): SwingSelector {
  const found: Record<Form, string[]> = { club: [], kind: [], set: [] };
  const words = text.split(',').map((word) => word.trim());
  if (words.includes('')) {
    const message = text.trim() === '' ? 'it names no swings' : `"${text}" names nothing before or after a comma`;
    throw new NamedSwingsError(side, `${message}; ${listing(known)}`);
  }
  for (const word of words) {
    const [form, name] = formOf(side, word, known);
    found[form].push(name);
  }
  const lists = {
    ...(found.kind.length === 0 ? {} : { kinds: found.kind as ClubKind[] }),
    ...(found.club.length === 0 ? {} : { clubs: found.club }),
    ...(found.set.length === 0 ? {} : { sets: found.set }),
  };
  return { label: selectorLabel(lists), ...lists };
}

function formOf(side: 'of' | 'against', word: string, known: KnownSwings): readonly [Form, string] {
  const colon = word.indexOf(':');
  const said = colon < 0 ? undefined : FORMS.find((form) => form === word.slice(0, colon).trim().toLowerCase());
  const name = said === undefined ? word : word.slice(colon + 1).trim();
  const kind = kindNamed(name);
  const club = known.clubs.find(({ id }) => id === name);
  const isClub = club !== undefined;
  const isSet = setsOf(known).includes(name);
  if (said === undefined && isSet && (isClub || kind !== null)) {
    const other = isClub ? 'club' : 'kind';
    throw new NamedSwingsError(side, `"${name}" is a ${other} and a set; write ${other}:${name} or set:${name}`);
  }
  if (said === undefined && kind !== null && club?.kind === kind) return ['kind', kind];
  if (isClub && (said ?? 'club') === 'club') return ['club', name];
  if (kind !== null && (said ?? 'kind') === 'kind') return ['kind', kind];
  if (isSet && (said ?? 'set') === 'set') return ['set', name];
  const near = nearestOf(name, [
    ...((said ?? 'club') === 'club' ? known.clubs.map(({ id }) => id) : []),
    ...((said ?? 'kind') === 'kind' ? CLUB_KINDS : []),
    ...((said ?? 'set') === 'set' ? setsOf(known) : []),
  ]);
  const meant = near === null ? '' : `; did you mean ${near}?`;
  const what = said === undefined ? 'club, kind or set' : said;
  throw new NamedSwingsError(side, `"${name}" is no ${what} of these swings${meant}; ${listing(known)}`);
}

function setsOf({ swings }: KnownSwings): readonly string[] {
  return [...new Set(swings.map(({ set }) => set))].filter((set) => set !== '').sort();
}

/** 'there are clubs driver, iron7; sets after, before; kinds driver, wood …' */
function listing(known: KnownSwings): string {
  const sets = setsOf(known);
  const clubs = known.clubs.map(({ id }) => id).join(', ');
  return [
    `there are clubs ${clubs === '' ? '(none)' : clubs}`,
    ...(sets.length === 0 ? [] : [`sets ${sets.join(', ')}`]),
    `kinds ${CLUB_KINDS.join(', ')}`,
  ].join('; ');
}
