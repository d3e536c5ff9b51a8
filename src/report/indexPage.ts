import { findingsOf } from './findings.ts';
import { CAUTIONS, dayText, descriptionOf, sheetTitle } from './playerSheet.ts';
import { PRINT_STYLE } from './printStyle.ts';
import { QUALITY_STYLE, qualitySection } from './qualitySection.ts';
import { groupWords } from './sentences/groupWords.ts';
import { counted } from './sentences/numbers.ts';
import { nameOf } from './sentences/zero.ts';
import type { DayView, PlayerView } from './views.ts';

/**
 * The page of a day: every player's finding, then every player's sheet, then the trials that were not used. One HTML file that
 * shows the SVG files beside it, opens from disk, runs no script, fetches nothing else, and prints one sheet a page.
 */

export const STYLE = `
:root { color: #1a1a1a; background: #fff; font: 16px/1.5 Helvetica, Arial, 'Liberation Sans', sans-serif; font-variant-numeric: tabular-nums; }
body { margin: 0 auto; padding: 1.5rem; max-width: 76rem; }
h1 { font-size: 1.5rem; line-height: 1.25; margin: 0; }
h2 { font-size: 1.15rem; margin: 2.5rem 0 .5rem; }
p { margin: .4rem 0; max-width: 48rem; }
a { color: #005a8e; }
.day, .foot { color: #555; }
dl { display: grid; grid-template-columns: fit-content(16rem) 1fr; gap: .5rem 1.5rem; margin: 1.2rem 0 0; }
dt { font-weight: bold; overflow-wrap: anywhere; }
dd { margin: 0; max-width: 52rem; }
img { display: block; width: 100%; height: auto; margin: .5rem 0; border: 1px solid #b8b8b8; box-sizing: border-box; }
ul { padding-left: 1.2rem; max-width: 48rem; }
table { border-collapse: collapse; }
th, td { text-align: left; vertical-align: top; padding: .25rem 1.5rem .25rem 0; border-bottom: 1px solid #e4e4e4; overflow-wrap: anywhere; }
th { white-space: nowrap; }
.foot { margin-top: 2.5rem; }
@media (max-width: 40rem) { body { padding: .8rem; } dl { grid-template-columns: 1fr; gap: 0; } dd { margin-bottom: .8rem; } }
${PRINT_STYLE}${QUALITY_STYLE}`;

type Child = Element | string;

/** Text without characters that XML and HTML forbid. */
export function clean(text: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are the ones to replace
  return text.replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]|\p{Surrogate}/gu, '\ufffd');
}

/** HTML text of the page. The same view gives the same bytes. */
export function renderIndex(document: Document, view: DayView): string {
  const words = groupWords(view.players.map(({ comparison }) => comparison));
  const page = document.implementation.createHTMLDocument(clean(`${dayText(view)}: ${words.title}`));
  const make = (name: string, attributes: Readonly<Record<string, string>>, ...children: readonly Child[]): Element => {
    const element = page.createElement(name);
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, clean(value));
    for (const child of children) element.append(typeof child === 'string' ? clean(child) : child);
    return element;
  };
  page.documentElement.setAttribute('lang', 'en');
  page.head.prepend(make('meta', { charset: 'utf-8' }));
  page.head.append(make('meta', { name: 'viewport', content: 'width=device-width, initial-scale=1' }));
  page.head.append(make('style', {}, STYLE));
  const unused = view.outcomes.filter((outcome) => outcome.status !== 'used');
  page.body.append(
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
  return `<!doctype html>\n${page.documentElement.outerHTML}\n`;
}

type Make = (name: string, attributes: Readonly<Record<string, string>>, ...children: readonly Child[]) => Element;

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
