/** The choice of a player and of a club on the page of a day. What it hides is marked by places in two lists, never by names. */

import { compareCounted } from '../base/text.ts';
import type { DrawnElement } from './drawing/element.ts';
import { make } from './htmlPage.ts';
import type { DayView, PlayerView } from './views.ts';
import type { Words } from './words/words.ts';

export interface DayFilter {
  readonly players: readonly string[];
  readonly clubs: readonly string[];
}

type Marks = Readonly<Record<string, string>>;

/** Every player and every club of a day, in the order of their names. */
export function filterOf({
  players,
  outcomes,
}: {
  readonly players: readonly { readonly comparison: { readonly player: string } }[];
  readonly outcomes: DayView['outcomes'];
}): DayFilter {
  const sorted = (names: readonly string[]): readonly string[] => [...new Set(names)].sort(compareCounted);
  return {
    players: sorted([
      ...players.map(({ comparison }) => comparison.player),
      ...outcomes.flatMap(({ player }) => player ?? []),
    ]),
    clubs: sorted(outcomes.flatMap(({ club }) => club ?? [])),
  };
}

/** Attributes of an element that is about a player and some clubs; one about no club stays whatever club is chosen. */
export function marksOf(filter: DayFilter, player: string | null, clubs: readonly (string | null)[]): Marks {
  const places = [...new Set(clubs)].flatMap((club) => (club === null ? [] : [String(filter.clubs.indexOf(club))]));
  return {
    ...(player === null ? {} : { 'data-player': String(filter.players.indexOf(player)) }),
    ...(places.length === 0 ? {} : { 'data-club': places.join(' ') }),
  };
}

/** As `marksOf`, of all that a player swung. */
export function marksOfView(filter: DayFilter, { comparison, outcomes }: PlayerView): Marks {
  return marksOf(
    filter,
    comparison.player,
    outcomes.map(({ club }) => club),
  );
}

/** The lists to choose from, shown by the script; none where there is nothing to choose between. */
export function filterBlock(words: Words, filter: DayFilter): DrawnElement[] {
  const list = (label: string, name: string, all: string, names: readonly string[]): DrawnElement[] =>
    names.length < 2
      ? []
      : [
          make(
            'label',
            {},
            `${label} `,
            make(
              'select',
              { name },
              make('option', { value: '' }, all),
              ...names.map((text, place) => make('option', { value: String(place) }, text)),
            ),
          ),
        ];
  const { filter: said } = words.day;
  const lists = [
    ...list(said.player, 'player', said.allPlayers, filter.players),
    ...list(said.club, 'club', said.allClubs, filter.clubs),
  ];
  if (lists.length === 0) return [];
  return [
    make(
      'div',
      { class: 'filter screen', role: 'group', 'aria-label': said.show, 'data-shown': said.shown, hidden: '' },
      ...lists,
      make('output', {}),
    ),
  ];
}
