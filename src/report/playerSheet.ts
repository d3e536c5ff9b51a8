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
import { NO_PLACES, nameOf, zeroText } from './sentences/zero.ts';
import type { PlayerView } from './views.ts';

/** Words that stand on every player's sheet. */
export const CAUTIONS =
  'These are measurements, not medical advice. Stop when something hurts. Change a movement together with a qualified coach; complaints of the back or a joint belong to a licensed practitioner. Swing only with clear space around you.';

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
export function renderPlayerSheet(view: PlayerView): string {
  const { comparison } = view;
  const findings = findingsOf(comparison);
  const sheet = startSheet(sheetTitle(view), descriptionOf(view, findings));
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
  const order = orderBlockHeight(view.comparison, CLUB_WIDTH);
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
    const texts = [zeroText(comparison.part), NO_PLACES];
    const lines = texts.flatMap((text) => wrapText(text, MAIN_WIDTH, 'middle', 'regular', 3));
    lines.forEach((text, i) => {
      const y = top + SIZE.middle + 1 + LEADING.middle * i;
      write(sheet, sheet.root, text, PAGE.left, y, { size: 'middle', fill: COLOUR.grey });
    });
    return top + LEADING.middle * lines.length + 14;
  }
  if (shownFigures(comparison).length === 0) {
    const lines = wrapText(noFiguresText(comparison, records), MAIN_WIDTH, 'middle', 'regular', 3);
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
export function sheetTitle(view: PlayerView): string {
  const { comparison } = view;
  return `${nameOf(comparison)}: ${comparison.group.label} against ${comparison.reference.label}`;
}

/** 'Spring capture, 2024-04-12' */
export function dayText(view: { readonly day: string; readonly date: string | null }): string {
  return view.date === null ? view.day : `${view.day}, ${view.date}`;
}

/** The sheet in words, for those who do not see it. */
export function descriptionOf(view: PlayerView, findings: Findings): string {
  const { comparison } = view;
  return [
    findings.headline,
    ...findings.support,
    ...findings.further.map((entry) => `${entry.position}: ${entry.text}`),
    findings.setUp === '' ? '' : `Set-up: ${findings.setUp}`,
    findings.slightly === '' ? '' : `Differs slightly: ${findings.slightly}`,
    findings.limbs,
    findings.matches === '' ? '' : `What matches: ${findings.matches}`,
    findings.undecided,
    noteText(view.note),
    ...positionNotes(view).map(({ position, text }) => `${position}: ${text}.`),
    practiceText(view),
    impactWords(view),
    orderDescription(comparison),
    zeroText(comparison.part),
    comparison.part.source === 'sensors' ? NO_PLACES : '',
  ]
    .filter((text) => text !== '')
    .join(' ');
}

/** Who, what and when on the left; on the right the key to the two clubs. */
export function drawHeader(sheet: Sheet, view: PlayerView): void {
  const { comparison } = view;
  const y = PAGE.top + 7;
  const labels = { group: clubText(comparison.group), reference: clubText(comparison.reference) };
  const right = drawClubKey(sheet, labels, PAGE.right, y, 'middle', 190);
  const space = right - PAGE.left;
  const name = fitText(nameOf(comparison), space * 0.55, 'middle', 'bold');
  write(sheet, sheet.root, name, PAGE.left, y, { size: 'middle', weight: 'bold' });
  const after = PAGE.left + textWidth(name, 'middle', 'bold') + 8;
  write(sheet, sheet.root, dayText(view), after, y, { size: 'middle', fill: COLOUR.grey, width: right - after });
}

/** 'irons, 8 swings (iron7, iron9)' */
function clubText(info: {
  readonly label: string;
  readonly clubs: readonly string[];
  readonly trials: readonly string[];
}): string {
  const others = info.clubs.filter((club) => club !== info.label);
  return `${info.label}, ${counted(info.trials.length, 'swing')}${others.length === 0 ? '' : ` (${others.join(', ')})`}`;
}

/** Key, cautions and what the sheet was made from, from the bottom up; returns its top. */
function drawFoot(sheet: Sheet, view: PlayerView): number {
  const lines = [...wrapText(CAUTIONS, WIDTH, 'small'), ...wrapText(madeFromText(view), WIDTH, 'small', 'regular', 3)];
  const top = PAGE.bottom - LEADING.small * lines.length;
  const foot = add(sheet, sheet.root, 'g');
  lines.forEach((text, i) => {
    write(sheet, foot, text, PAGE.left, top + SIZE.small + LEADING.small * i, { size: 'small', fill: COLOUR.grey });
  });
  rule(sheet, foot, PAGE.left, top - 3, PAGE.right, top - 3, { stroke: COLOUR.hairline, 'stroke-width': 0.5 });
  if (view.comparison.rows.length === 0) return top - 3;
  const keyEnd = drawSignKey(sheet, foot, PAGE.left, top - 7);
  const differ = view.comparison.curves.some(({ stretches }) => stretches.length > 0)
    ? ' · bars under the axis: the curves differ there'
    : '';
  const bands = `whiskers and intervals: 95 % · bands: mean ± 1 and ± 2 SD of the ${view.comparison.reference.label}${differ}`;
  const hasFigures = view.comparison.part.source === 'markers';
  const key = hasFigures ? `${bands} · figures: heavier lines are the lead side` : bands;
  write(sheet, foot, key, keyEnd, top - 7, { size: 'small', fill: COLOUR.grey, width: PAGE.right - keyEnd });
  return top - 16;
}
