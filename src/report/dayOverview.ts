/** The top of the page of a day: a finding for each comparison with the swings behind it and the ways to its sheets, then the tables. */
import type { TrialStatus } from '../model/swingRecord.ts';
import { type DayFilter, marksOfView } from './dayFilter.ts';
import type { DrawnElement } from './drawing/element.ts';
import { findingsOf } from './findings.ts';
import type { Make } from './htmlPage.ts';
import { sheetTitle } from './playerSheet.ts';
import { counted } from './sentences/numbers.ts';
import { nameOf } from './sentences/zero.ts';
import type { PlayerView } from './views.ts';

/** A table beside the page, and what a row of it is. */
export interface TableLink {
  readonly name: string;
  readonly about: string;
}

/** File of a comparison below the output folder. */
export function fileOf({ comparison }: PlayerView, ending: string): string {
  return `players/${encodeURIComponent(comparison.player)}${comparison.part.suffix}${ending}`;
}

export function anchorOf({ comparison }: PlayerView): string {
  return `player-${comparison.player}${comparison.part.suffix}`;
}

/** 'wren'; of a comparison beside the player's first what is compared too. */
export function shownName(view: PlayerView): string {
  return (view.comparison.name ?? '') === '' ? nameOf(view.comparison) : sheetTitle(view);
}

const STATUS_WORDS: Readonly<Record<Exclude<TrialStatus, 'used'>, string>> = {
  rejected: 'rejected',
  failed: 'failed',
  'left-out': 'left out',
};

/** '14 swings used, 2 of them for review, 1 rejected': what is none is not said. */
export function swingsText({ outcomes }: PlayerView): string {
  const swings = outcomes.filter(({ role }) => role === 'swing');
  const used = swings.filter(({ status }) => status === 'used');
  const review = used.filter(({ gate }) => gate?.verdict === 'review').length;
  const others = Object.entries(STATUS_WORDS).flatMap(([status, words]) => {
    const count = swings.filter((swing) => swing.status === status).length;
    return count === 0 ? [] : [`${count} ${words}`];
  });
  return [
    `${counted(used.length, 'swing')} used`,
    ...(review === 0 ? [] : [`${review} of them for review`]),
    ...others,
  ].join(', ');
}

/** Name and finding of a comparison, below it its swings and its pages. */
export function overview(make: Make, view: PlayerView, filter: DayFilter): DrawnElement[] {
  const marks = marksOfView(filter, view);
  const link = (ending: string, text: string): DrawnElement =>
    make('a', { href: fileOf(view, ending), 'aria-label': `${text} of ${shownName(view)}` }, text);
  return [
    make('dt', marks, make('a', { href: `#${encodeURIComponent(anchorOf(view))}` }, shownName(view))),
    make(
      'dd',
      marks,
      findingsOf(view.comparison).headline,
      make(
        'p',
        { class: 'day' },
        swingsText(view),
        make(
          'span',
          { class: 'screen' },
          ' · ',
          link('.html', 'moving page'),
          ' · ',
          link('.svg', 'sheet'),
          ' · ',
          link('-details.svg', 'details'),
        ),
      ),
    ),
  ];
}

/** The tables of the folder, each with what a row is; nothing where none is named. */
export function tablesBlock(make: Make, tables: readonly TableLink[]): DrawnElement[] {
  if (tables.length === 0) return [];
  return [
    make('h2', {}, 'Tables'),
    make(
      'ul',
      {},
      ...tables.map(({ name, about }) =>
        make('li', {}, make('a', { href: `tables/${name}.csv` }, `${name}.csv`), `: ${about}`),
      ),
    ),
  ];
}
