/** The page of a player: one HTML file that opens from disk, asks nothing of the network, and is whole without its script. */

import { finishFigure, startFigure } from '../drawing/draw.ts';
import { findingsOf } from '../findings.ts';
import { drawFigures, noFiguresText, shownFigures } from '../parts/figures.ts';
import { dayText, sheetTitle } from '../playerSheet.ts';
import { counted } from '../sentences/numbers.ts';
import { nameOf } from '../sentences/zero.ts';
import { spoken } from '../spoken.ts';
import type { PlayerView } from '../views.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { listedQuantities, pageData, pagePositions } from './collectData.ts';
import { curveFigure, curvePanels } from './curvePanel.ts';
import { findingsBlock } from './findingsBlock.ts';
import { choicesBlock, scrubberBlock, stageBlock, tableChoices } from './liveBlock.ts';
import { checkpointsBlock, madeBlock } from './madeBlock.ts';
import { join, jsonIsland, type Markup, raw, tag } from './markup.ts';
import { PAGE_SCRIPT, PAGE_SCRIPT_SHA256, PAGE_STYLE, PAGE_STYLE_SHA256 } from './script.generated.ts';
import { instantTable, onceTable, positionsTable, tableKey } from './tables.ts';
import { signShapes } from './verdicts.ts';

/** Nothing from anywhere; of scripts and styles those in the page alone, by their hashes. */
const POLICY = [
  "default-src 'none'",
  `script-src 'sha256-${PAGE_SCRIPT_SHA256}'`,
  `style-src 'sha256-${PAGE_STYLE_SHA256}'`,
  "base-uri 'none'",
  "form-action 'none'",
].join('; ');

/** Width and height of the still figures, points. */
const STRIP = { width: 600, height: 150 } as const;

/** What the moving block is made of. */
interface Parts {
  readonly view: PlayerView;
  readonly panels: ReturnType<typeof curvePanels>;
  readonly hasFilm: boolean;
  readonly listed: ReturnType<typeof listedQuantities>;
  readonly positions: ReturnType<typeof pagePositions>;
}

/** HTML text of the page. The same view gives the same bytes. */
export function renderPlayerPage(given: PlayerView): string {
  const { words, view } = spoken(given);
  const { comparison } = view;
  const { page } = words;
  const findings = findingsOf(words, comparison);
  const listed = listedQuantities(view);
  const positions = pagePositions(words, view);
  const panels = curvePanels(comparison, words);
  const hasFilm = view.records.some(({ film }) => film !== undefined);
  const data = pageData(view, findings, listed, panels, words);
  const head = tag(
    'head',
    {},
    tag('meta', { charset: 'utf-8' }),
    tag('meta', { 'http-equiv': 'Content-Security-Policy', content: POLICY }),
    tag('meta', { name: 'viewport', content: 'width=device-width, initial-scale=1' }),
    tag('title', {}, `${sheetTitle(words, view)}, ${dayText(view)}`),
    raw(`<style>${PAGE_STYLE}</style>`),
  );
  const body = tag(
    'body',
    { 'data-view': 'all' },
    tag('a', { class: 'skip', href: '#swing' }, page.skip),
    signShapes(),
    headerBlock(view, words),
    tag(
      'main',
      {},
      findingsBlock(view, findings, positions, words),
      movingBlock({ view, panels, hasFilm, listed, positions }, words),
      checkpointsBlock(view, words),
      madeBlock(view, words),
    ),
    footerBlock(view, words),
    jsonIsland('page-data', data),
    raw(`<script>${PAGE_SCRIPT}</script>`),
  );
  return `<!doctype html>\n${tag('html', { lang: words.language }, head, body).html}\n`;
}

function headerBlock(view: PlayerView, words: Words): Markup {
  const { page } = words;
  const { group, reference } = view.comparison;
  const clubs = (side: typeof group): string => {
    const isAlone = side.clubs.every((club) => words.side(club) === side.label);
    return fill(words.sheet.side, {
      label: side.label,
      swings: counted(words, side.trials.length, 'swing'),
      clubs: isAlone ? '' : fill(words.sheet.sideClubs, { clubs: side.clubs.join(', ') }),
    });
  };
  const line = (dashed: boolean): Markup =>
    raw(
      `<svg class="line" viewBox="0 0 34 8" aria-hidden="true"><path d="M1 4H33"${dashed ? ' stroke-dasharray="5 3"' : ''}/></svg>`,
    );
  return tag(
    'header',
    {},
    tag('div', { class: 'who' }, tag('h1', {}, sheetTitle(words, view)), tag('p', {}, dayText(view))),
    tag(
      'div',
      { class: 'buttons live', hidden: true, role: 'group', 'aria-label': page.viewGroup, 'data-buttons': 'reader' },
      tag('span', { class: 'term', 'aria-hidden': 'true' }, page.viewGroup),
      tag('button', { type: 'button', value: 'player', 'aria-pressed': 'true' }, page.viewPlayer),
      tag('button', { type: 'button', value: 'coach', 'aria-pressed': 'false' }, page.viewCoach),
    ),
    tag(
      'ul',
      { class: 'clubs' },
      tag('li', { class: 'solid' }, line(false), clubs(group)),
      tag('li', { class: 'dashed' }, line(true), clubs(reference)),
    ),
  );
}

/** What moves together: figure and curve, the slider, all curves, the tables. */
function movingBlock(parts: Parts, words: Words): Markup {
  const { view, panels, hasFilm, listed } = parts;
  const { page } = words;
  const { comparison } = view;
  const isLive = hasFilm || panels.length > 0;
  const why = comparison.part.source === 'sensors' ? words.zero.noPlaces : page.noFilm;
  return tag(
    'div',
    { class: 'moving' },
    tag(
      'section',
      { id: 'swing' },
      tag('h2', {}, page.swing),
      isLive ? tag('p', { class: 'hint live', hidden: true }, page.swingHint) : null,
      hasFilm || view.records.length === 0 ? null : tag('p', { class: 'hint' }, why),
      isLive ? choicesBlock(words) : null,
      tag('div', { class: 'still' }, stillFigures(words, view)),
      isLive ? stageBlock(words, hasFilm) : null,
    ),
    isLive ? scrubberBlock(words) : null,
    panels.length === 0
      ? null
      : tag(
          'section',
          { class: 'coach' },
          tag('h2', {}, page.curves),
          tag('p', { class: 'hint' }, fill(page.curvesHint, { reference: comparison.reference.label })),
          tag('div', { class: 'panels' }, join(panels.map(curveFigure))),
        ),
    listed.length === 0 ? null : numbersSection(parts, words),
  );
}

/** The figures of the sheet, for those without a script and for print. */
function stillFigures(words: Words, view: PlayerView): Markup {
  const { comparison, records } = view;
  if (comparison.part.source === 'sensors') return join([]);
  if (shownFigures(comparison).length === 0) return tag('p', {}, noFiguresText(words, comparison, records));
  const sheet = startFigure(
    words,
    sheetTitle(words, view),
    findingsOf(words, comparison).headline,
    STRIP.width,
    STRIP.height,
  );
  drawFigures(sheet, comparison, { x: 0, y: 0, ...STRIP });
  return raw(finishFigure(sheet));
}

function numbersSection({ view, listed, positions }: Parts, words: Words): Markup {
  const { comparison } = view;
  return tag(
    'section',
    { id: 'numbers' },
    tag('h2', {}, words.page.numbers),
    tableChoices(words),
    instantTable(comparison, words),
    tableKey(comparison, words),
    positionsTable(comparison, listed, positions, words),
    onceTable(comparison, listed, words),
  );
}

function footerBlock(view: PlayerView, words: Words): Markup {
  const { page } = words;
  const { player, part } = view.comparison;
  const file = `${encodeURIComponent(player)}${part.suffix}`;
  return tag(
    'footer',
    {},
    tag('p', { class: 'cautions' }, words.cautions),
    tag(
      'p',
      { class: 'links' },
      tag('a', { href: `${file}.svg` }, page.sheet),
      ' · ',
      tag('a', { href: `${file}-details.svg` }, page.details),
      ' · ',
      tag('a', { href: '../index.html' }, page.day),
    ),
    tag('p', {}, `${nameOf(view.comparison)} · ${view.programVersion}`),
  );
}
