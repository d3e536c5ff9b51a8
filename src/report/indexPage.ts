import { type DayFilter, filterBlock, filterOf, marksOf, marksOfView } from './dayFilter.ts';
import { anchorOf, fileOf, overview, shownName, type TableLink, tablesBlock } from './dayOverview.ts';
import type { DrawnElement } from './drawing/element.ts';
import { findingsOf } from './findings.ts';
import { type Make, startPage } from './htmlPage.ts';
import {
  DAY_SCRIPT,
  DAY_SCRIPT_SHA256,
  WATCHED_DAY_SCRIPT,
  WATCHED_DAY_SCRIPT_SHA256,
} from './page/script.generated.ts';
import { CAUTIONS, dayText, descriptionOf, sheetTitle } from './playerSheet.ts';
import { qualitySection } from './qualitySection.ts';
import { groupWords } from './sentences/groupWords.ts';
import { counted } from './sentences/numbers.ts';
import type { DayView, PlayerView } from './views.ts';

/**
 * The page of a day: every player's finding, then every player's sheet, then the trials that were not used. One HTML file that
 * shows the SVG files beside it, opens from disk, is whole without its script, fetches nothing else, and prints one sheet a page.
 */

const DAY = { text: DAY_SCRIPT, sha256: DAY_SCRIPT_SHA256 } as const;
const WATCHED = { text: WATCHED_DAY_SCRIPT, sha256: WATCHED_DAY_SCRIPT_SHA256 } as const;

/**
 * HTML text of the page. `tables`: those in the same folder. `reload_s`: of a day that is being captured, after so many seconds the page loads
 * itself anew; null: it stays. The same view gives the same bytes.
 */
export function renderIndex(view: DayView, tables: readonly TableLink[] = [], reload_s: number | null = null): string {
  const words = groupWords(view.players.map(({ comparison }) => comparison));
  const script = reload_s === null ? DAY : { ...WATCHED, reload_s };
  const { body, make, finish } = startPage(`${dayText(view)}: ${words.title}`, script);
  const filter = filterOf(view);
  const unused = view.outcomes.filter((outcome) => outcome.status !== 'used');
  body.append(
    make(
      'header',
      { class: 'text' },
      make('h1', {}, words.heading),
      make(
        'p',
        { class: 'day' },
        `${dayText(view)} · ${counted(new Set(view.players.map(({ comparison }) => comparison.player)).size, 'player')} · ${counted(view.outcomes.length - unused.length, 'trial')} used, ${unused.length} not`,
      ),
      ...(reload_s === null ? [] : [make('p', { class: 'day screen' }, watchedText(reload_s))]),
      ...filterBlock(make, filter),
      ...(view.players.length === 0
        ? [make('p', {}, 'No player has a used swing.')]
        : [make('dl', {}, ...view.players.flatMap((player) => overview(make, player, filter)))]),
    ),
    make(
      'main',
      {},
      ...view.players.flatMap((player) => [
        playerSection(make, player, filter),
        ...qualitySection(make, player, marksOfView(filter, player)),
      ]),
    ),
    make(
      'footer',
      { class: unused.length > 0 ? 'text others' : 'text' },
      ...(unused.length > 0 ? [make('h2', {}, 'Trials not used'), unusedTable(make, unused, filter)] : []),
      ...tablesBlock(make, tables),
      make('p', { class: 'foot' }, CAUTIONS),
      make('p', { class: 'foot' }, view.programVersion),
    ),
  );
  return finish();
}

function watchedText(reload_s: number): string {
  return `The day is being captured: this page loads itself anew every ${counted(reload_s, 'second')}. Pages of players stay as they are until you load them again.`;
}

function playerSection(make: Make, view: PlayerView, filter: DayFilter): DrawnElement {
  const findings = findingsOf(view.comparison);
  const words = [
    findings.headline,
    ...findings.support,
    ...findings.further.map((entry) => `${entry.position}: ${entry.text}`),
    findings.setUp === '' ? '' : `Set-up: ${findings.setUp}`,
    findings.slightly === '' ? '' : `Differs slightly: ${findings.slightly}`,
    findings.limbs,
    findings.matches === '' ? '' : `Matches: ${findings.matches}`,
    findings.undecided,
  ].filter((text) => text !== '');
  return make(
    'section',
    { class: 'player sheet', id: anchorOf(view), ...marksOfView(filter, view) },
    make('h2', {}, sheetTitle(view)),
    make('img', { src: fileOf(view, '.svg'), alt: descriptionOf(view, findings), width: '1123', height: '794' }),
    make(
      'p',
      { class: 'links' },
      make('a', { href: fileOf(view, '.html') }, `Moving page of ${shownName(view)}`),
      ' · ',
      make('a', { href: fileOf(view, '.svg') }, `Sheet of ${shownName(view)}`),
      ' · ',
      make('a', { href: fileOf(view, '-details.svg') }, `Tables, trials and method of ${shownName(view)}`),
      ...ordersLink(make, view),
    ),
    make(
      'details',
      { class: 'words' },
      make('summary', {}, 'In words'),
      make('ul', {}, ...words.map((text) => make('li', {}, text))),
    ),
  );
}

/** Where segments or joints were looked at in all orders of axes. */
function ordersLink(make: Make, view: PlayerView): (DrawnElement | string)[] {
  if (view.comparison.orderChecks === undefined) return [];
  const { player, part } = view.comparison;
  const href = `figures/${encodeURIComponent(player)}${part.suffix}-orders.svg`;
  return [' · ', make('a', { href }, `All orders of axes of ${shownName(view)}`)];
}

function unusedTable(make: Make, unused: DayView['outcomes'], filter: DayFilter): DrawnElement {
  const head = make(
    'tr',
    {},
    ...['Trial', 'Player', 'Status', 'Reason'].map((text) => make('th', { scope: 'col' }, text)),
  );
  const rows = unused.map((outcome) =>
    make(
      'tr',
      marksOf(filter, outcome.player, [outcome.club]),
      ...[outcome.trial, outcome.player, outcome.status.replace('-', ' '), outcome.reason].map((text) =>
        make('td', {}, text),
      ),
    ),
  );
  return make('table', {}, make('thead', {}, head), make('tbody', {}, ...rows));
}
