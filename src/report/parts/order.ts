import type { PlayerComparison } from '../../model/comparison.ts';
import { type Sheet, write } from '../drawing/draw.ts';
import { textWidth, wrapText } from '../drawing/textMetrics.ts';
import { COLOUR, LEADING } from '../drawing/theme.ts';
import { absentLinks, orderSentences } from '../sentences/orderWords.ts';
import { drawOrderPanel, linksOf, orderHeight } from './orderPanel.ts';

/** The order of motion on the sheet: the whole turning speed, and in words whether clubs and ways of measuring agree. */

/** Between the scale and the words, points. */
const UNDER = 2;

function linesOf(comparison: PlayerComparison, width: number): string[] {
  const summary = comparison.orderOfMotion;
  if (summary === null) return [];
  const texts = [...orderSentences(comparison), ...absentLinks(summary)];
  return texts.flatMap((text) => wrapText(text, width, 'small', 'regular', 6));
}

/** Height of the block in a column of `width`, points; 0 where there is no order. */
export function orderBlockHeight(comparison: PlayerComparison, width: number): number {
  const summary = comparison.orderOfMotion;
  if (summary === null || linksOf(summary, 'magnitude').length === 0) return 0;
  return orderHeight(linksOf(summary, 'magnitude').length) + UNDER + LEADING.small * linesOf(comparison, width).length;
}

/** Draws the block with its upper left corner at (x, y); nothing where there is no order. */
export function drawOrderBlock(sheet: Sheet, comparison: PlayerComparison, x: number, y: number, width: number): void {
  const summary = comparison.orderOfMotion;
  if (summary === null || orderBlockHeight(comparison, width) === 0) return;
  const bottom = drawOrderPanel(sheet, comparison, summary, 'magnitude', 'Order of motion', 'mean', { x, y, width });
  write(sheet, sheet.root, 'fastest turning', x + textWidth('Order of motion', 'middle', 'bold') + 5, y + 7, {
    size: 'small',
    fill: COLOUR.grey,
  });
  linesOf(comparison, width).forEach((text, i) => {
    write(sheet, sheet.root, text, x, bottom + UNDER + 7 + LEADING.small * i, { size: 'small' });
  });
}
