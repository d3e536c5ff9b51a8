/** The top of the page of a day: a finding for each comparison with the swings behind it and the ways to its sheets, then the tables. */

import { type DayFilter, marksOfView } from './dayFilter.ts';
import type { DrawnElement } from './drawing/element.ts';
import { findingsOf } from './findings.ts';
import { make } from './htmlPage.ts';
import { sheetTitle } from './playerSheet.ts';
import { counted } from './sentences/numbers.ts';
import { nameOf } from './sentences/zero.ts';
import type { PlayerView } from './views.ts';
import { fill } from './words/fill.ts';
import type { Words } from './words/words.ts';

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
export function shownName(words: Words, view: PlayerView): string {
  return (view.comparison.name ?? '') === '' ? nameOf(view.comparison) : sheetTitle(words, view);
}

/** '14 swings used, 2 of them for review, 1 rejected': what is none is not said. */
export function swingsText(words: Words, { outcomes }: PlayerView): string {
  const swings = outcomes.filter(({ role }) => role === 'swing');
  const used = swings.filter(({ status }) => status === 'used');
  const review = used.filter(({ gate }) => gate?.verdict === 'review').length;
  const { day } = words;
  const others = (['rejected', 'failed', 'left-out'] as const).flatMap((status) => {
    const n = swings.filter((swing) => swing.status === status).length;
    return n === 0 ? [] : [fill(day.status, { n, status: words.status[status] })];
  });
  return [
    fill(day.swingsUsed, { swings: counted(words, used.length, 'swing') }),
    ...(review === 0 ? [] : [fill(day.review, { n: review })]),
    ...others,
  ].join(', ');
}

/** Name and finding of a comparison, below it its swings and its pages. */
export function overview(words: Words, view: PlayerView, filter: DayFilter): DrawnElement[] {
  const marks = marksOfView(filter, view);
  const link = (ending: string, text: string): DrawnElement =>
    make(
      'a',
      { href: fileOf(view, ending), 'aria-label': fill(words.ofPlayer, { what: text, name: shownName(words, view) }) },
      text,
    );
  return [
    make('dt', marks, make('a', { href: `#${encodeURIComponent(anchorOf(view))}` }, shownName(words, view))),
    make(
      'dd',
      marks,
      findingsOf(words, view.comparison).headline,
      make(
        'p',
        { class: 'day' },
        swingsText(words, view),
        make(
          'span',
          { class: 'screen' },
          ' · ',
          link('.html', words.day.links.page),
          ' · ',
          link('.svg', words.day.links.sheet),
          ' · ',
          link('-details.svg', words.day.links.details),
        ),
      ),
    ),
  ];
}

/** The tables of the folder, each with what a row is; nothing where none is named. */
export function tablesBlock(words: Words, tables: readonly TableLink[]): DrawnElement[] {
  if (tables.length === 0) return [];
  return [
    make('h2', {}, words.day.tables),
    make(
      'ul',
      {},
      ...tables.map(({ name, about }) =>
        make('li', {}, make('a', { href: `tables/${name}.csv` }, `${name}.csv`), `: ${about}`),
      ),
    ),
  ];
}
