/** The sheet of two days of one player: each gap then and now, how much of it has closed, what group and reference did. */

import { quantityById } from '../model/catalogue.ts';
import type { ReportSettings } from '../model/reportSettings.ts';
import type { Change, SessionComparison, SessionRow } from '../model/sessions.ts';
import { add, finishSheet, rule, type Sheet, startSheet, write } from './drawing/draw.ts';
import { drawSign, drawSignKey } from './drawing/signs.ts';
import { balanceText, sizeWithin, wrapText } from './drawing/textMetrics.ts';
import { COLOUR, LEADING, PAGE, SIZE } from './drawing/theme.ts';
import { counted, percent, signedWithUnit } from './sentences/numbers.ts';
import { capital } from './sentences/ranking.ts';
import { byPlace } from './sentences/sessionOrder.ts';
import { primaryRows, rowName, sessionHeadline, sessionSupport } from './sentences/sessionWords.ts';
import { spokenSession } from './spoken.ts';
import { fill } from './words/fill.ts';
import type { Words } from './words/words.ts';

export interface SessionView {
  /** Language; absent: English. */
  readonly settings?: ReportSettings;
  readonly comparison: SessionComparison;
  /** What is not alike between the days. */
  readonly notes: readonly string[];
  readonly programVersion: string;
}

const WIDTH = PAGE.right - PAGE.left;
const ROW = 17;
const X = {
  name: PAGE.left,
  gaps: PAGE.left + 190,
  picture: PAGE.left + 290,
  closed: PAGE.left + 500,
  group: PAGE.left + 610,
  reference: PAGE.left + 700,
};
const PICTURE = 196;
const NAME_WIDTH = 184;
const CLOSED_WIDTH = 104;

/** One A4 landscape page as SVG text. The same view gives the same bytes. */
export function renderSessionSheet(given: SessionView): string {
  const { words, view } = spokenSession(given);
  const { comparison } = view;
  const headline = sessionHeadline(words, comparison);
  const support = sessionSupport(words, comparison);
  const title = sessionTitle(words, comparison);
  const sheet = startSheet(words, title, [headline, ...support].join(' '));
  write(sheet, sheet.root, title, PAGE.left, PAGE.top + 7, { size: 'middle', weight: 'bold', width: WIDTH });
  let y = PAGE.top + 34;
  for (const line of balanceText(headline, WIDTH, 'large')) {
    write(sheet, sheet.root, line, PAGE.left, y, { size: 'large' });
    y += LEADING.large;
  }
  for (const line of support.flatMap((text) => wrapText(text, WIDTH, 'middle', 'regular', 2))) {
    write(sheet, sheet.root, line, PAGE.left, y, { size: 'middle', fill: COLOUR.grey });
    y += LEADING.middle;
  }
  const foot = drawFoot(sheet, view);
  const most = Math.max(0, Math.floor((foot - y - 40) / ROW));
  const { rows, more } = shownRows(comparison, most);
  if (rows.length > 0) drawRows(sheet, comparison, rows, more, y + 16);
  return finishSheet(sheet);
}

/** 'wren: driver against irons, 2026-05-16 and 2026-09-12' */
export function sessionTitle(words: Words, { player, group, reference, before, after }: SessionComparison): string {
  return fill(words.sessions.title, {
    player,
    group: group.after.label,
    reference: reference.after.label,
    before,
    after,
  });
}

/** The primary rows, then others whose gap departs on either day and has changed for certain, as far as there is room. */
function shownRows(comparison: SessionComparison, most: number): { rows: readonly SessionRow[]; more: number } {
  const primary = primaryRows(comparison);
  const others = comparison.rows
    .filter(
      ({ family, basis, gap, before, after }) =>
        family !== 'primary' &&
        family !== 'limbs' &&
        basis === 'value' &&
        gap.verdict === 'departs' &&
        [before.verdict, after.verdict].includes('departs'),
    )
    .sort(byPlace);
  const all = [...primary, ...others];
  return { rows: all.slice(0, most), more: Math.max(0, all.length - most) };
}

function drawRows(
  sheet: Sheet,
  comparison: SessionComparison,
  rows: readonly SessionRow[],
  more: number,
  from: number,
): void {
  const { words } = sheet;
  const { heads, closedShort, moreRows } = words.sessions;
  const columns: readonly (readonly [number, string])[] = [
    [X.gaps, heads.gaps],
    [X.closed, heads.closed],
    [X.group, fill(heads.change, { label: comparison.group.after.label })],
    [X.reference, fill(heads.change, { label: comparison.reference.after.label })],
  ];
  for (const [x, text] of columns)
    write(sheet, sheet.root, text, x, from, { size: 'small', fill: COLOUR.grey, width: 86 });
  const scales = new Map<string, number>();
  for (const row of rows) {
    const ends = [row.before.gap, row.after.gap]
      .flatMap(({ value, low95, high95 }) => [value, low95, high95])
      .map((end) => Math.abs(end ?? 0));
    scales.set(row.unit, Math.max(scales.get(row.unit) ?? 0, row.gap.margin ?? 0, ...ends));
  }
  rows.forEach((row, i) => {
    const y = from + ROW * (i + 1);
    const { decimals } = quantityById(row.quantity);
    const shown = (value: number | null): string =>
      value === null ? '–' : signedWithUnit(sheet.words, value, decimals, row.unit);
    const name = capital(rowName(sheet.words, row));
    write(sheet, sheet.root, name, X.name, y, { size: sizeWithin(name, NAME_WIDTH), width: NAME_WIDTH });
    write(sheet, sheet.root, `${shown(row.before.gap.value)}, ${shown(row.after.gap.value)}`, X.gaps, y, {
      size: 'middle',
      width: 96,
    });
    drawGap(sheet, row, scales.get(row.unit)!, y - 3);
    const { value, low95, high95 } = row.closed;
    if (value !== null && low95 !== null && high95 !== null) {
      const text = fill(closedShort, {
        share: percent(words, value),
        low: percent(words, low95),
        high: percent(words, high95),
      });
      write(sheet, sheet.root, text, X.closed, y, { size: sizeWithin(text, CLOSED_WIDTH), width: CLOSED_WIDTH });
    }
    for (const side of ['group', 'reference'] as const)
      drawChange(sheet, row[side], shown(row[side].value), X[side], y);
  });
  if (more > 0) {
    const text = fill(moreRows, { rows: counted(words, more, 'more row') });
    write(sheet, sheet.root, text, X.name, from + ROW * (rows.length + 1), { size: 'middle', fill: COLOUR.grey });
  }
}

function drawChange(sheet: Sheet, change: Change, text: string, x: number, y: number): void {
  drawSign(sheet.root, change.verdict, x + 3, y - 3);
  write(sheet, sheet.root, text, x + 10, y, { size: 'middle', width: 74 });
}

/** Zero as a line, the margin as a band; the gap before as a ring, after as a disc, each on its interval. */
function drawGap(sheet: Sheet, row: SessionRow, scale: number, y: number): void {
  const half = scale > 0 ? scale * 1.06 : 1;
  const at = (value: number): number => X.picture + PICTURE / 2 + (PICTURE / 2) * (value / half);
  const margin = row.gap.margin ?? 0;
  add(sheet.root, 'rect', {
    x: at(-margin),
    y: y - 7,
    width: at(margin) - at(-margin),
    height: 14,
    fill: COLOUR.faint,
  });
  rule(sheet.root, at(0), y - 8, at(0), y + 8, { stroke: COLOUR.hairline, 'stroke-width': 0.6 });
  for (const [day, dy] of [
    ['before', -2.6],
    ['after', 2.6],
  ] as const) {
    const { value, low95, high95 } = row[day].gap;
    if (value === null) continue;
    const stroke = day === 'before' ? COLOUR.grey : COLOUR.driver;
    if (low95 !== null && high95 !== null)
      rule(sheet.root, at(low95), y + dy, at(high95), y + dy, { stroke, 'stroke-width': 1 });
    const fill = day === 'before' ? COLOUR.paper : COLOUR.driver;
    add(sheet.root, 'circle', { cx: at(value), cy: y + dy, r: 2.1, fill, stroke, 'stroke-width': 0.9 });
  }
}

/** Key, notes and cautions from the bottom up; returns the top. */
function drawFoot(sheet: Sheet, { comparison, notes, programVersion }: SessionView): number {
  const { words } = sheet;
  const swings = (['group', 'reference'] as const).map((side) => {
    const { before, after } = comparison[side];
    return fill(words.sessions.swings, {
      label: after.label,
      before: before.trials.length,
      after: after.trials.length,
    });
  });
  const texts = [
    words.sessions.key,
    [...swings, ...comparison.notes, ...notes, programVersion].join(' · '),
    words.cautions,
  ];
  const lines = texts.flatMap((text) => wrapText(text, WIDTH, 'small', 'regular', 4));
  const top = PAGE.bottom - LEADING.small * lines.length;
  lines.forEach((text, i) => {
    write(sheet, sheet.root, text, PAGE.left, top + SIZE.small + LEADING.small * i, {
      size: 'small',
      fill: COLOUR.grey,
    });
  });
  rule(sheet.root, PAGE.left, top - 3, PAGE.right, top - 3, { stroke: COLOUR.hairline, 'stroke-width': 0.5 });
  drawSignKey(sheet, sheet.root, PAGE.left, top - 7);
  return top - 16;
}
