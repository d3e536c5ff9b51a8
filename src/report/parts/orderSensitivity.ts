/** Segments and joints in all twelve orders of axes: differences and verdicts at the positions, what changes, what is near singular. */

import { quantityById } from '../../model/catalogue.ts';
import { mainAnglesOf, type OrderSensitivity, type OrderVerdict, signOf } from '../../model/orderSensitivity.ts';
import { POSITIONS, type PositionId } from '../../model/positions.ts';
import { ANGLE_ORDERS, type AngleOrder } from '../../model/quantity.ts';
import { add, finishSheet, group, rule, type Sheet, startFigure, write } from '../drawing/draw.ts';
import type { DrawnElement } from '../drawing/element.ts';
import { drawSign, drawSignKey } from '../drawing/signs.ts';
import { wrapText } from '../drawing/textMetrics.ts';
import { COLOUR, LEADING } from '../drawing/theme.ts';
import { signed } from '../sentences/numbers.ts';
import { capital } from '../sentences/ranking.ts';
import { labelOf } from '../sentences/words.ts';
import { nameOf } from '../sentences/zero.ts';
import { type InLanguage, spoken } from '../spoken.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { changesDeparture, changeTexts, orderSentence, orderText, rotationText } from './orderSensitivityText.ts';

/** Points. */
const NAME_WIDTH = 84;
const COLUMN = 44;
const ROW = 12;
const BLOCK_HEAD = 26;
const GAP = 8;
const HEAD = 34;
const KEY = 30;

/** Orders that are drawn together: one angle in the orders that have it, or whole orders that have none of the main angles. */
interface Block {
  readonly title: string;
  readonly orders: readonly AngleOrder[];
  /** Id of the main quantity; null: all three angles of each order. */
  readonly quantity: string | null;
}

/** A file of its own; the same comparison gives the same bytes. */
export function renderOrderChecks(given: InLanguage): string {
  const { words, view } = spoken(given);
  const comparison = view.inTableUnits ?? view.comparison;
  const checks = comparison.orderChecks ?? [];
  const positions = POSITIONS.filter((position) =>
    checks.some(({ rows }) => rows.some((row) => row.position === position)),
  );
  const width = widthOf(positions);
  const key = linesOf(words.orders.key, width);
  const height = checks.reduce((sum, check) => sum + heightOf(words, check, width), KEY + furtherLines(key));
  const title = fill(words.orders.title, {
    name: nameOf(comparison),
    group: comparison.group.label,
    reference: comparison.reference.label,
  });
  const sheet = startFigure(words, title, checks.map((check) => describe(words, check)).join(' '), width, height);
  let y = 0;
  for (const check of checks) {
    drawCheck(sheet, check, title, positions, y);
    y += heightOf(words, check, width);
  }
  drawKey(sheet, key, y);
  return finishSheet(sheet);
}

function describe(words: Words, check: OrderSensitivity): string {
  return `${[orderSentence(words, check), ...changeTexts(words, check)].join('. ')}.`;
}

function blocksOf(words: Words, { rotation, rows, mainOrder }: OrderSensitivity): readonly Block[] {
  const there = new Set(rows.map(({ inPlaceOf }) => inPlaceOf));
  const quantities = mainAnglesOf(rotation).quantities.flatMap((one) =>
    one !== null && there.has(one.id) ? [one.id] : [],
  );
  const mainFirst = [mainOrder, ...ANGLE_ORDERS.filter((order) => order !== mainOrder)];
  const having = (order: AngleOrder, quantity: string): boolean =>
    rows.some((row) => row.order === order && row.inPlaceOf === quantity && row.isCounterpart);
  const angles = quantities.map((quantity) => {
    const orders = mainFirst.filter((order) => having(order, quantity));
    return { title: fill(words.orders.block, { quantity: capital(labelOf(words, quantity)) }), orders, quantity };
  });
  const shown = new Set(angles.flatMap(({ orders }) => orders));
  const others = ANGLE_ORDERS.filter((order) => !shown.has(order));
  const title = words.orders.others;
  return [...angles, ...(others.length === 0 ? [] : [{ title, orders: others, quantity: null }])];
}

function heightOf(words: Words, check: OrderSensitivity, width: number): number {
  const head = HEAD + furtherLines(sentenceLines(words, check, width));
  return blocksOf(words, check).reduce((sum, { orders }) => sum + BLOCK_HEAD + ROW * orders.length + GAP, head);
}

function sentenceLines(words: Words, check: OrderSensitivity, width: number): readonly string[] {
  return linesOf(`${capital(orderSentence(words, check))}.`, width);
}

function linesOf(text: string, width: number): readonly string[] {
  return wrapText(text, width, 'small', 'regular', 4);
}

/** Height of what does not stand in the first line. */
function furtherLines(lines: readonly string[]): number {
  return LEADING.small * (lines.length - 1);
}

function widthOf(positions: readonly PositionId[]): number {
  return Math.max(480, NAME_WIDTH + COLUMN * positions.length);
}

function drawCheck(
  sheet: Sheet,
  check: OrderSensitivity,
  title: string,
  positions: readonly PositionId[],
  top: number,
): void {
  const name = rotationText(sheet.words, check);
  const named = write(sheet, sheet.root, capital(name), 0, top + 10, { size: 'middle', weight: 'bold' });
  const width = widthOf(positions);
  const x = Math.max(NAME_WIDTH, named.width + GAP);
  write(sheet, sheet.root, title, x, top + 10, { size: 'small', fill: COLOUR.grey, width: width - x });
  const lines = sentenceLines(sheet.words, check, width);
  lines.forEach((text, i) => {
    write(sheet, sheet.root, text, 0, top + 22 + LEADING.small * i, { size: 'small' });
  });
  let y = top + HEAD + furtherLines(lines);
  for (const block of blocksOf(sheet.words, check)) {
    drawBlock(sheet, check, block, positions, y);
    y += BLOCK_HEAD + ROW * block.orders.length + GAP;
  }
}

function drawBlock(
  sheet: Sheet,
  { rows, mainOrder }: OrderSensitivity,
  { title, orders, quantity }: Block,
  positions: readonly PositionId[],
  top: number,
): void {
  const right = NAME_WIDTH + COLUMN * positions.length;
  write(sheet, sheet.root, title, 0, top + 8, { size: 'small', weight: 'bold' });
  positions.forEach((position, i) => {
    const x = NAME_WIDTH + COLUMN * (i + 1) - 10;
    write(sheet, sheet.root, position, x, top + 19, { size: 'small', fill: COLOUR.grey, anchor: 'end' });
  });
  rule(sheet.root, 0, top + 22, right, top + 22, { stroke: COLOUR.hairline, 'stroke-width': 0.5 });
  orders.forEach((order, i) => {
    const y = top + BLOCK_HEAD + ROW * i;
    const line = group(sheet.root, orderText(order));
    const isMain = order === mainOrder;
    const name = isMain ? fill(sheet.words.orders.main, { order: orderText(order) }) : orderText(order);
    write(sheet, line, name, 0, y + 8, { size: 'small', weight: isMain ? 'bold' : 'regular' });
    positions.forEach((position, k) => {
      const own = rows.filter(
        (row) =>
          row.order === order &&
          row.position === position &&
          row.basis === 'value' &&
          (quantity === null || row.inPlaceOf === quantity),
      );
      const x = NAME_WIDTH + COLUMN * k;
      if (own.some(({ nSingular }) => nSingular > 0)) {
        add(line, 'rect', { x: x + 6, y, width: COLUMN - 6, height: ROW - 1, fill: COLOUR.faint });
      }
      if (quantity === null) drawSigns(line, own, x, y);
      else for (const row of own) drawDifference(sheet, line, row, x, y);
    });
  });
}

/** The three signs of an order, one after the other. */
function drawSigns(line: DrawnElement, rows: readonly OrderVerdict[], x: number, y: number): void {
  rows.forEach(({ verdict }, i) => {
    drawSign(line, verdict, x + 16 + 9 * i, y + 5.6, 2.1);
  });
}

function drawDifference(sheet: Sheet, line: DrawnElement, row: OrderVerdict, x: number, y: number): void {
  if (row.difference === null) return;
  const quantity = quantityById(row.inPlaceOf!);
  const text = signed(sheet.words, signOf(quantity) * row.difference, quantity.decimals);
  const weight = row.verdict === 'departs' ? 'bold' : 'regular';
  write(sheet, line, text, x + COLUMN - 10, y + 8, { size: 'small', anchor: 'end', weight });
  drawSign(line, row.verdict, x + COLUMN - 4.6, y + 5.6, 2.1);
  if (row.changes !== true) return;
  const box = { x: x + 6.4, y: y + 0.2, width: COLUMN - 6.8, height: ROW - 1.4 };
  add(line, 'rect', {
    ...box,
    fill: 'none',
    stroke: COLOUR.ink,
    'stroke-width': changesDeparture(row) ? 1.3 : 0.4,
  });
}

function drawKey(sheet: Sheet, lines: readonly string[], top: number): void {
  drawSignKey(sheet, sheet.root, 0, top + 8);
  lines.forEach((text, i) => {
    const y = top + 8 + LEADING.small * (1.2 + i);
    write(sheet, sheet.root, text, 0, y, { size: 'small', fill: COLOUR.grey });
  });
}
