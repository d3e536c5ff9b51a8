/** The sheet of two days of one player: each gap then and now, how much of it has closed, what group and reference did. */
import { quantityById } from '../model/catalogue.ts';
import type { Change, SessionComparison, SessionRow } from '../model/sessions.ts';
import { add, finishSheet, rule, type Sheet, startSheet, write } from './drawing/draw.ts';
import { drawSign, drawSignKey } from './drawing/signs.ts';
import { balanceText, wrapText } from './drawing/textMetrics.ts';
import { COLOUR, LEADING, PAGE, SIZE } from './drawing/theme.ts';
import { CAUTIONS } from './playerSheet.ts';
import { counted, percent, signedWithUnit } from './sentences/numbers.ts';
import { byPlace } from './sentences/sessionOrder.ts';
import { primaryRows, rowName, sessionHeadline, sessionSupport } from './sentences/sessionWords.ts';

export interface SessionView {
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

/** One A4 landscape page as SVG text. The same view gives the same bytes. */
export function renderSessionSheet(view: SessionView): string {
  const { comparison } = view;
  const headline = sessionHeadline(comparison);
  const support = sessionSupport(comparison);
  const title = sessionTitle(comparison);
  const sheet = startSheet(title, [headline, ...support].join(' '));
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
export function sessionTitle({ player, group, reference, before, after }: SessionComparison): string {
  return `${player}: ${group.after.label} against ${reference.after.label}, ${before} and ${after}`;
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
  const heads: readonly (readonly [number, string])[] = [
    [X.gaps, 'gap before, after'],
    [X.closed, 'closed (95 %)'],
    [X.group, `change: ${comparison.group.after.label}`],
    [X.reference, `change: ${comparison.reference.after.label}`],
  ];
  for (const [x, text] of heads)
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
    const shown = (value: number | null): string => (value === null ? '–' : signedWithUnit(value, decimals, row.unit));
    const name = rowName(row);
    write(sheet, sheet.root, name.slice(0, 1).toUpperCase() + name.slice(1), X.name, y, { size: 'middle', width: 184 });
    write(sheet, sheet.root, `${shown(row.before.gap.value)}, ${shown(row.after.gap.value)}`, X.gaps, y, {
      size: 'middle',
      width: 96,
    });
    drawGap(sheet, row, scales.get(row.unit)!, y - 3);
    const { value, low95, high95 } = row.closed;
    if (value !== null && low95 !== null && high95 !== null) {
      const text = `${percent(value)} (${percent(low95)} to ${percent(high95)})`;
      write(sheet, sheet.root, text, X.closed, y, { size: 'middle', width: 104 });
    }
    for (const side of ['group', 'reference'] as const)
      drawChange(sheet, row[side], shown(row[side].value), X[side], y);
  });
  if (more > 0) {
    const text = `and ${counted(more, 'more row')} (tables/sessions.csv)`;
    write(sheet, sheet.root, text, X.name, from + ROW * (rows.length + 1), { size: 'middle', fill: COLOUR.grey });
  }
}

function drawChange(sheet: Sheet, change: Change, text: string, x: number, y: number): void {
  drawSign(sheet, sheet.root, change.verdict, x + 3, y - 3);
  write(sheet, sheet.root, text, x + 10, y, { size: 'middle', width: 74 });
}

/** Zero as a line, the margin as a band; the gap before as a ring, after as a disc, each on its interval. */
function drawGap(sheet: Sheet, row: SessionRow, scale: number, y: number): void {
  const half = scale > 0 ? scale * 1.06 : 1;
  const at = (value: number): number => X.picture + PICTURE / 2 + (PICTURE / 2) * (value / half);
  const margin = row.gap.margin ?? 0;
  add(sheet, sheet.root, 'rect', {
    x: at(-margin),
    y: y - 7,
    width: at(margin) - at(-margin),
    height: 14,
    fill: COLOUR.faint,
  });
  rule(sheet, sheet.root, at(0), y - 8, at(0), y + 8, { stroke: COLOUR.hairline, 'stroke-width': 0.6 });
  for (const [day, dy] of [
    ['before', -2.6],
    ['after', 2.6],
  ] as const) {
    const { value, low95, high95 } = row[day].gap;
    if (value === null) continue;
    const stroke = day === 'before' ? COLOUR.grey : COLOUR.driver;
    if (low95 !== null && high95 !== null)
      rule(sheet, sheet.root, at(low95), y + dy, at(high95), y + dy, { stroke, 'stroke-width': 1 });
    const fill = day === 'before' ? COLOUR.paper : COLOUR.driver;
    add(sheet, sheet.root, 'circle', { cx: at(value), cy: y + dy, r: 2.1, fill, stroke, 'stroke-width': 0.9 });
  }
}

/** Key, notes and cautions from the bottom up; returns the top. */
function drawFoot(sheet: Sheet, { comparison, notes, programVersion }: SessionView): number {
  const swings = (['group', 'reference'] as const).map((side) => {
    const { before, after } = comparison[side];
    return `${after.label} ${before.trials.length} and ${after.trials.length} swings`;
  });
  const texts = [
    'Gap: mean of the first group less mean of the reference within a day; ring before, disc after, lines 95 % intervals, grey the margin. Markers put on again leave a gap as it is; the changes of each group are of angles zeroed on both static trials, or have the margin enlarged by what putting markers on again may move (3°, forward bend of the pelvis 5°, unless set). Share closed: 95 % interval by Fieller, given where the first gap departs.',
    [...swings, ...comparison.notes, ...notes, programVersion].join(' · '),
    CAUTIONS,
  ];
  const lines = texts.flatMap((text) => wrapText(text, WIDTH, 'small', 'regular', 4));
  const top = PAGE.bottom - LEADING.small * lines.length;
  lines.forEach((text, i) => {
    write(sheet, sheet.root, text, PAGE.left, top + SIZE.small + LEADING.small * i, {
      size: 'small',
      fill: COLOUR.grey,
    });
  });
  rule(sheet, sheet.root, PAGE.left, top - 3, PAGE.right, top - 3, { stroke: COLOUR.hairline, 'stroke-width': 0.5 });
  drawSignKey(sheet, sheet.root, PAGE.left, top - 7);
  return top - 16;
}
