import { nearestOf } from '../base/text.ts';
import type { ClubKind } from '../model/dayPlan.ts';
import { CLUB_KINDS, kindNamed, type SwingSelector, selectorLabel } from '../model/swingSelector.ts';

/** What a name on the command line may stand for. */
export interface KnownSwings {
  readonly clubs: readonly { readonly id: string; readonly kind: ClubKind }[];
  readonly sets: readonly string[];
}

const FORMS = ['club', 'kind', 'set', 'trial'] as const;
type Form = (typeof FORMS)[number];

/**
 * The value of --of or --against: ids of clubs, kinds and sets, comma between them; of clubs any, of kinds any, of sets any, and all of
 * what is said. `set:before` says which is meant. @throws RangeError with a sentence for the user
 */
export function swingsNamed(text: string, known: KnownSwings): SwingSelector {
  const found: Record<Form, string[]> = { club: [], kind: [], set: [], trial: [] };
  const words = text.split(',').map((word) => word.trim());
  if (words.includes('')) throw new RangeError(`"${text}" names nothing between two commas`);
  for (const word of words) {
    const [form, name] = formOf(word, known);
    found[form].push(name);
  }
  const lists = {
    ...(found.kind.length === 0 ? {} : { kinds: found.kind as ClubKind[] }),
    ...(found.club.length === 0 ? {} : { clubs: found.club }),
    ...(found.set.length === 0 ? {} : { sets: found.set }),
    ...(found.trial.length === 0 ? {} : { trials: found.trial }),
  };
  return { label: selectorLabel(lists), ...lists };
}

function formOf(word: string, { clubs, sets }: KnownSwings): readonly [Form, string] {
  const colon = word.indexOf(':');
  const said = colon < 0 ? undefined : FORMS.find((form) => form === word.slice(0, colon).toLowerCase());
  const name = said === undefined ? word : word.slice(colon + 1).trim();
  if (said === 'trial') return [said, name];
  const kind = kindNamed(name);
  const isClub = clubs.some(({ id }) => id === name);
  const isSet = sets.includes(name);
  if (said === undefined && isSet && (isClub || kind !== null)) {
    const other = isClub ? 'club' : 'kind';
    throw new RangeError(`"${name}" is a ${other} and a set; write ${other}:${name} or set:${name}`);
  }
  if (isClub && (said ?? 'club') === 'club') return ['club', name];
  if (kind !== null && (said ?? 'kind') === 'kind') return ['kind', kind];
  if (isSet && (said ?? 'set') === 'set') return ['set', name];
  const near = nearestOf(name, [
    ...((said ?? 'club') === 'club' ? clubs.map(({ id }) => id) : []),
    ...((said ?? 'kind') === 'kind' ? CLUB_KINDS : []),
    ...((said ?? 'set') === 'set' ? sets : []),
  ]);
  const listed = [
    `clubs ${clubs.map(({ id }) => id).join(', ')}`,
    ...(sets.some((set) => set !== '') ? [`sets ${sets.filter((set) => set !== '').join(', ')}`] : []),
  ];
  const hint =
    near === null ? `there are ${listed.join('; ')}; kinds ${CLUB_KINDS.join(', ')}` : `did you mean ${near}?`;
  throw new RangeError(`"${name}" is no ${said ?? 'club, kind or set'} of these swings; ${hint}`);
}
