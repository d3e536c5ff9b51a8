/** The sheets of the report: a finished comparison becomes SVG and HTML; nothing is computed here but layout. */

import { add, finishSheet, rule, type Sheet, startSheet, write } from './drawing/draw.ts';
import { drawSignKey } from './drawing/signs.ts';
import { fitText, textWidth, wrapText } from './drawing/textMetrics.ts';
import { COLOUR, LEADING, PAGE, SIZE } from './drawing/theme.ts';
import { type Findings, findingsOf } from './findings.ts';
import { drawClubKey } from './parts/clubKey.ts';
import { drawCurves } from './parts/curves.ts';
import { drawFigures, noFiguresText, shownFigures } from './parts/figures.ts';
import { madeFromText } from './parts/footText.ts';
import { drawImpact, impactWords } from './parts/impact.ts';
import { drawNothingCompared } from './parts/nothingCompared.ts';
import { drawOrderBlock, orderBlockHeight } from './parts/order.ts';
import { drawFindings } from './parts/sheetFindings.ts';
import { noteText, positionNotes, practiceText } from './sentences/coachText.ts';
import { counted } from './sentences/numbers.ts';
import { orderDescription } from './sentences/orderWords.ts';
import { nameOf, zeroText } from './sentences/zero.ts';
import { spoken } from './spoken.ts';
import type { PlayerView } from './views.ts';
import { fill } from './words/fill.ts';
import type { Words } from './words/words.ts';

const WIDTH = PAGE.right - PAGE.left;
/** The column of the club, as high as figures and curves together, and what it leaves to them, points. */
const CLUB_WIDTH = 176;
/** Between the club and the order of motion, points. */
const COLUMN_GAP = 8;
const MAIN_WIDTH = WIDTH - CLUB_WIDTH - 22;

/**
 * The player's sheet, one A4 landscape: finding, figures, curves, impact, cautions. SVG text.
 * The same view gives the same bytes.
 */
export function renderPlayerSheet(given: PlayerView): string {
  const { words, view } = spoken(given);
  const { comparison } = view;
  const findings = findingsOf(words, comparison);
  const sheet = startSheet(words, sheetTitle(words, view), descriptionOf(words, view, findings));
  drawHeader(sheet, view);
  const top = drawFindings(sheet, view, findings, PAGE.top + 34);
  const footTop = drawFoot(sheet, view);
  if (comparison.curves.length + comparison.figures.length > 0) {
    const bottom = footTop - 10;
    const curvesTop = drawStrip(sheet, view, top, bottom);
    drawCurves(sheet, comparison, { x: PAGE.left, y: curvesTop, width: MAIN_WIDTH, height: bottom - curvesTop });
    drawClubColumn(sheet, view, top, bottom);
  }
  if (comparison.curves.length + comparison.figures.length === 0) {
    drawNothingCompared(sheet, view, top + 6, footTop - 6);
  }
  return finishSheet(sheet);
}

/** The club at impact above, the order of motion below it. */
function drawClubColumn(sheet: Sheet, view: PlayerView, top: number, bottom: number): void {
  const x = PAGE.right - CLUB_WIDTH;
  const order = orderBlockHeight(sheet.words, view.comparison, CLUB_WIDTH);
  const height = bottom - top - (order === 0 ? 0 : order + COLUMN_GAP);
  const end = drawImpact(sheet, view, { x, y: top, width: CLUB_WIDTH, height });
  drawOrderBlock(sheet, view.comparison, x, end + COLUMN_GAP, CLUB_WIDTH);
}

/** Points: four rows of impact figures with their names clear of each other. */
const LEAST_CURVES_HEIGHT = 158;

/** The figures between two heights, or the lines that say why there are none; returns where the curves may begin. */
function drawStrip(sheet: Sheet, view: PlayerView, top: number, bottom: number): number {
  const { comparison, records } = view;
  if (comparison.part.source === 'sensors') {
    const texts = [zeroText(sheet.words, comparison.part), sheet.words.zero.noPlaces];
    const lines = texts.flatMap((text) => wrapText(text, MAIN_WIDTH, 'middle', 'regular', 3));
    lines.forEach((text, i) => {
      const y = top + SIZE.middle + 1 + LEADING.middle * i;
      write(sheet, sheet.root, text, PAGE.left, y, { size: 'middle', fill: COLOUR.grey });
    });
    return top + LEADING.middle * lines.length + 14;
  }
  if (shownFigures(comparison).length === 0) {
    const lines = wrapText(noFiguresText(sheet.words, comparison, records), MAIN_WIDTH, 'middle', 'regular', 3);
    lines.forEach((text, i) => {
      const y = top + SIZE.middle + 1 + LEADING.middle * i;
      write(sheet, sheet.root, text, PAGE.left, y, { size: 'middle', fill: COLOUR.grey });
    });
    return top + LEADING.middle * lines.length + 14;
  }
  const height = Math.min(190, (bottom - top) * 0.44, bottom - top - 12 - LEAST_CURVES_HEIGHT);
  drawFigures(sheet, comparison, { x: PAGE.left, y: top, width: MAIN_WIDTH, height });
  return top + height + 12;
}

/** 'Wren: driver against irons' */
export function sheetTitle(words: Words, view: PlayerView): string {
  const { comparison } = view;
  return fill(words.sheetTitle, {
    name: nameOf(comparison),
    group: comparison.group.label,
    reference: comparison.reference.label,
  });
}

/** 'Spring capture, 2024-04-12' */
export function dayText(view: { readonly day: string; readonly date: string | null }): string {
  return view.date === null ? view.day : `${view.day}, ${view.date}`;
}

/** The sheet in words, for those who do not see it. */
export function descriptionOf(words: Words, view: PlayerView, findings: Findings): string {
  const { comparison } = view;
  const { told } = words.findings;
  return [
    findings.headline,
    ...findings.support,
    ...findings.further.map((entry) => fill(told.at, entry)),
    findings.setUp === '' ? '' : fill(told.setUp, { text: findings.setUp }),
    findings.slightly === '' ? '' : fill(told.slightly, { text: findings.slightly }),
    findings.limbs,
    findings.matches === '' ? '' : fill(told.whatMatches, { text: findings.matches }),
    findings.undecided,
    noteText(words, view.note),
    ...positionNotes(words, view).map(({ position, text }) => `${fill(told.at, { position, text })}.`),
    practiceText(words, view),
    impactWords(words, view),
    orderDescription(words, comparison),
    zeroText(words, comparison.part),
    comparison.part.source === 'sensors' ? words.zero.noPlaces : '',
  ]
    .filter((text) => text !== '')
    .join(' ');
}

/** Who, what and when on the left; on the right the key to the two clubs. */
export function drawHeader(sheet: Sheet, view: PlayerView): void {
  const { comparison } = view;
  const y = PAGE.top + 7;
  const labels = {
    group: clubText(sheet.words, comparison.group),
    reference: clubText(sheet.words, comparison.reference),
  };
  const right = drawClubKey(sheet, labels, PAGE.right, y, 'middle', 190);
  const space = right - PAGE.left;
  const name = fitText(nameOf(comparison), space * 0.55, 'middle', 'bold');
  write(sheet, sheet.root, name, PAGE.left, y, { size: 'middle', weight: 'bold' });
  const after = PAGE.left + textWidth(name, 'middle', 'bold') + 8;
  write(sheet, sheet.root, dayText(view), after, y, { size: 'middle', fill: COLOUR.grey, width: right - after });
}

/** 'irons, 8 swings (iron7, iron9)' */
function clubText(
  words: Words,
  info: {
    readonly label: string;
    readonly clubs: readonly string[];
    readonly trials: readonly string[];
  },
): string {
  const others = info.clubs.filter((club) => words.side(club) !== info.label);
  const { side, sideClubs } = words.sheet;
  return fill(side, {
    label: info.label,
    swings: counted(words, info.trials.length, 'swing'),
    clubs: others.length === 0 ? '' : fill(sideClubs, { clubs: others.join(', ') }),
  });
}

/** Key, cautions and what the sheet was made from, from the bottom up; returns its top. */
function drawFoot(sheet: Sheet, view: PlayerView): number {
  const { words } = sheet;
  const lines = [
    ...wrapText(words.cautions, WIDTH, 'small'),
    ...wrapText(madeFromText(sheet.words, view), WIDTH, 'small', 'regular', 3),
  ];
  const top = PAGE.bottom - LEADING.small * lines.length;
  const foot = add(sheet.root, 'g');
  lines.forEach((text, i) => {
    write(sheet, foot, text, PAGE.left, top + SIZE.small + LEADING.small * i, { size: 'small', fill: COLOUR.grey });
  });
  rule(foot, PAGE.left, top - 3, PAGE.right, top - 3, { stroke: COLOUR.hairline, 'stroke-width': 0.5 });
  if (view.comparison.rows.length === 0) return top - 3;
  const keyEnd = drawSignKey(sheet, foot, PAGE.left, top - 7);
  const { intervals, differ, figures } = words.sheet.foot;
  const differing = view.comparison.curves.some(({ stretches }) => stretches.length > 0) ? differ : '';
  const bands = `${fill(intervals, { reference: view.comparison.reference.label })}${differing}`;
  const hasFigures = view.comparison.part.source === 'markers';
  const key = hasFigures ? `${bands}${figures}` : bands;
  write(sheet, foot, key, keyEnd, top - 7, { size: 'small', fill: COLOUR.grey, width: PAGE.right - keyEnd });
  return top - 16;
}
