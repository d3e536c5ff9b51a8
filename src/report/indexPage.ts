import type { PlayerComparison } from '../model/comparison.ts';
import { DEFAULT_REPORT } from '../model/reportSettings.ts';
import { type DayFilter, filterBlock, filterOf, marksOf, marksOfView } from './dayFilter.ts';
import { anchorOf, fileOf, overview, shownName, type TableLink, tablesBlock } from './dayOverview.ts';
import type { DrawnElement } from './drawing/element.ts';
import { findingsOf } from './findings.ts';
import { make, startPage } from './htmlPage.ts';
import {
  DAY_SCRIPT,
  DAY_SCRIPT_SHA256,
  WATCHED_DAY_SCRIPT,
  WATCHED_DAY_SCRIPT_SHA256,
} from './page/script.generated.ts';
import { dayText, descriptionOf, sheetTitle } from './playerSheet.ts';
import { qualitySection } from './qualitySection.ts';
import { groupWords } from './sentences/groupWords.ts';
import { counted } from './sentences/numbers.ts';
import { spoken } from './spoken.ts';
import type { DayView, PlayerView } from './views.ts';
import { fill } from './words/fill.ts';
import { wordsOf } from './words/languages.ts';
import type { Words } from './words/words.ts';

/**
 * The page of a day: every player's finding, then every player's sheet, then the trials that were not used. One HTML file that
 * shows the SVG files beside it, opens from disk, is whole without its script, fetches nothing else, and prints one sheet a page.
 */

const DAY = { text: DAY_SCRIPT, sha256: DAY_SCRIPT_SHA256 } as const;
const WATCHED = { text: WATCHED_DAY_SCRIPT, sha256: WATCHED_DAY_SCRIPT_SHA256 } as const;

/** What stands on the page of one comparison: made while its numbers are at hand, so that the page of a long day needs those of one player at a time. */
export interface IndexPart {
  readonly comparison: Pick<PlayerComparison, 'player' | 'name' | 'group' | 'reference'>;
  readonly overview: readonly DrawnElement[];
  readonly sections: readonly DrawnElement[];
}

/** The part of one comparison; `filter` is that of the whole day. */
export function indexPart(given: PlayerView, filter: DayFilter): IndexPart {
  const { words, view: player } = spoken(given);
  const { player: id, name, group, reference } = player.comparison;
  return {
    comparison: { player: id, ...(name === undefined ? {} : { name }), group, reference },
    overview: overview(words, player, filter),
    sections: [playerSection(words, player, filter), ...qualitySection(words, player, marksOfView(filter, player))],
  };
}

/**
 * HTML text of the page. `tables`: those in the same folder. `reload_s`: of a day that is being captured, after so many seconds the page loads
 * itself anew; null: it stays. The same view gives the same bytes.
 */
export function renderIndex(view: DayView, tables: readonly TableLink[] = [], reload_s: number | null = null): string {
  const filter = filterOf(view);
  const settings = view.settings ?? view.players[0]?.settings ?? DEFAULT_REPORT;
  const players = view.players.map((player) => indexPart(player, filter));
  return renderIndexOf({ ...view, settings, players }, tables, reload_s);
}

/** The same from parts that are made already, in the order of the page. */
export function renderIndexOf(
  view: Omit<DayView, 'players'> & { readonly players: readonly IndexPart[] },
  tables: readonly TableLink[],
  reload_s: number | null,
): string {
  const words = wordsOf((view.settings ?? DEFAULT_REPORT).language);
  const { day } = words;
  const about = groupWords(
    words,
    view.players.map(({ comparison }) => comparison),
  );
  const script = reload_s === null ? DAY : { ...WATCHED, reload_s };
  const { body, finish } = startPage(words, fill(day.title, { day: dayText(view), title: about.title }), script);
  const filter = filterOf(view);
  const unused = view.outcomes.filter((outcome) => outcome.status !== 'used');
  body.append(
    make(
      'header',
      { class: 'text' },
      make('h1', {}, about.heading),
      make(
        'p',
        { class: 'day' },
        fill(day.counts, {
          day: dayText(view),
          players: counted(words, new Set(view.players.map(({ comparison }) => comparison.player)).size, 'player'),
          used: counted(words, view.outcomes.length - unused.length, 'trial'),
          unused: unused.length,
        }),
      ),
      ...(reload_s === null ? [] : [make('p', { class: 'day screen' }, watchedText(words, reload_s))]),
      ...filterBlock(words, filter),
      ...(view.players.length === 0
        ? [make('p', {}, day.noPlayer)]
        : [make('dl', {}, ...view.players.flatMap((player) => player.overview))]),
    ),
    make('main', {}, ...view.players.flatMap((player) => player.sections)),
    make(
      'footer',
      { class: unused.length > 0 ? 'text others' : 'text' },
      ...(unused.length > 0 ? [make('h2', {}, day.notUsed), unusedTable(words, unused, filter)] : []),
      ...tablesBlock(words, tables),
      make('p', { class: 'foot' }, words.cautions),
      make('p', { class: 'foot' }, view.programVersion),
    ),
  );
  return finish();
}

function watchedText(words: Words, reload_s: number): string {
  return fill(words.day.watched, { seconds: counted(words, reload_s, 'second') });
}

function playerSection(words: Words, view: PlayerView, filter: DayFilter): DrawnElement {
  const findings = findingsOf(words, view.comparison);
  const { told } = words.findings;
  const { links, inWords } = words.day;
  const name = shownName(words, view);
  const lines = [
    findings.headline,
    ...findings.support,
    ...findings.further.map((entry) => fill(told.at, entry)),
    findings.setUp === '' ? '' : fill(told.setUp, { text: findings.setUp }),
    findings.slightly === '' ? '' : fill(told.slightly, { text: findings.slightly }),
    findings.limbs,
    findings.matches === '' ? '' : fill(told.matches, { text: findings.matches }),
    findings.undecided,
  ].filter((text) => text !== '');
  return make(
    'section',
    { class: 'player sheet', id: anchorOf(view), ...marksOfView(filter, view) },
    make('h2', {}, sheetTitle(words, view)),
    make('img', { src: fileOf(view, '.svg'), alt: descriptionOf(words, view, findings), width: '1123', height: '794' }),
    make(
      'p',
      { class: 'links' },
      make('a', { href: fileOf(view, '.html') }, fill(links.pageOf, { name })),
      ' · ',
      make('a', { href: fileOf(view, '.svg') }, fill(links.sheetOf, { name })),
      ' · ',
      make('a', { href: fileOf(view, '-details.svg') }, fill(links.detailsOf, { name })),
      ...ordersLink(words, view),
    ),
    make(
      'details',
      { class: 'words' },
      make('summary', {}, inWords),
      make('ul', {}, ...lines.map((text) => make('li', {}, text))),
    ),
  );
}

/** Where segments or joints were looked at in all orders of axes. */
function ordersLink(words: Words, view: PlayerView): (DrawnElement | string)[] {
  if (view.comparison.orderChecks === undefined) return [];
  const { player, part } = view.comparison;
  const href = `figures/${encodeURIComponent(player)}${part.suffix}-orders.svg`;
  return [' · ', make('a', { href }, fill(words.day.links.ordersOf, { name: shownName(words, view) }))];
}

function unusedTable(words: Words, unused: DayView['outcomes'], filter: DayFilter): DrawnElement {
  const { heads } = words.day;
  const head = make(
    'tr',
    {},
    ...[heads.trial, heads.player, heads.status, heads.reason].map((text) => make('th', { scope: 'col' }, text)),
  );
  const rows = unused.map((outcome) =>
    make(
      'tr',
      marksOf(filter, outcome.player, [outcome.club]),
      ...[outcome.trial, outcome.player, words.status[outcome.status], outcome.reason].map((text) =>
        make('td', {}, text),
      ),
    ),
  );
  return make('table', {}, make('thead', {}, head), make('tbody', {}, ...rows));
}
