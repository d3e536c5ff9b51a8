import { findingsOf } from './findings.ts';
import { type Make, startPage } from './htmlPage.ts';
import { CAUTIONS, dayText, descriptionOf, sheetTitle } from './playerSheet.ts';
import { qualitySection } from './qualitySection.ts';
import { groupWords } from './sentences/groupWords.ts';
import { counted } from './sentences/numbers.ts';
import { nameOf } from './sentences/zero.ts';
import type { DayView, PlayerView } from './views.ts';

/**
 * The page of a day: every player's finding, then every player's sheet, then the trials that were not used. One HTML file that
 * shows the SVG files beside it, opens from disk, runs no script, fetches nothing else, and prints one sheet a page.
 */

/** HTML text of the page. The same view gives the same bytes. */
export function renderIndex(document: Document, view: DayView): string {
  const words = groupWords(view.players.map(({ comparison }) => comparison));
  const { body, make, finish } = startPage(document, `${dayText(view)}: ${words.title}`);
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
      ...(view.players.length === 0
        ? [make('p', {}, 'No player has a used swing.')]
        : [make('dl', {}, ...view.players.flatMap((player) => overview(make, player)))]),
    ),
    make(
      'main',
      {},
      ...view.players.flatMap((player) => [playerSection(make, player), ...qualitySection(make, player)]),
    ),
    make(
      'footer',
      { class: unused.length > 0 ? 'text others' : 'text' },
      ...(unused.length > 0 ? [make('h2', {}, 'Trials not used'), unusedTable(make, unused)] : []),
      make('p', { class: 'foot' }, CAUTIONS),
      make('p', { class: 'foot' }, view.programVersion),
    ),
  );
  return finish();
}

function fileOf(view: PlayerView, ending: string): string {
  const { player, part } = view.comparison;
  return `players/${encodeURIComponent(player)}${part.suffix}${ending}`;
}

function anchorOf({ comparison }: PlayerView): string {
  return `player-${comparison.player}${comparison.part.suffix}`;
}

/** 'wren'; of a comparison beside the player's first what is compared too. */
function shownName(view: PlayerView): string {
  return (view.comparison.name ?? '') === '' ? nameOf(view.comparison) : sheetTitle(view);
}

function overview(make: Make, view: PlayerView): Element[] {
  return [
    make('dt', {}, make('a', { href: `#${encodeURIComponent(anchorOf(view))}` }, shownName(view))),
    make('dd', {}, findingsOf(view.comparison).headline),
  ];
}

function playerSection(make: Make, view: PlayerView): Element {
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
    { class: 'player sheet', id: anchorOf(view) },
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
    ),
    make(
      'details',
      { class: 'words' },
      make('summary', {}, 'In words'),
      make('ul', {}, ...words.map((text) => make('li', {}, text))),
    ),
  );
}

function unusedTable(make: Make, unused: DayView['outcomes']): Element {
  const head = make(
    'tr',
    {},
    ...['Trial', 'Player', 'Status', 'Reason'].map((text) => make('th', { scope: 'col' }, text)),
  );
  const rows = unused.map((outcome) =>
    make(
      'tr',
      {},
      ...[outcome.trial, outcome.player, outcome.status.replace('-', ' '), outcome.reason].map((text) =>
        make('td', {}, text),
      ),
    ),
  );
  return make('table', {}, make('thead', {}, head), make('tbody', {}, ...rows));
}
