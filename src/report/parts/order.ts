import type { PlayerComparison } from '../../model/comparison.ts';
import { type Sheet, write } from '../drawing/draw.ts';
import { textWidth, wrapText } from '../drawing/textMetrics.ts';
import { COLOUR, LEADING } from '../drawing/theme.ts';
import { absentLinks, noOrderText, orderSentences } from '../sentences/orderWords.ts';
import { drawOrderPanel, linksOf, orderHeight } from './orderPanel.ts';

/** The order of motion on the sheet: the whole turning speed, and in words whether clubs and ways of measuring agree. */

/** Between the scale and the words, points. */
const UNDER = 2;

function linesOf(comparison: PlayerComparison, width: number): string[] {
  const summary = comparison.orderOfMotion;
  const texts = summary === null ? [noOrderText(comparison)] : [...orderSentences(comparison), ...absentLinks(summary)];
  return texts.flatMap((text) => wrapText(text, width, 'small', 'regular', 6));
}

/** Height of the block in a column of `width`, points; 0 where there is nothing to say. */
export function orderBlockHeight(comparison: PlayerComparison, width: number): number {
  const summary = comparison.orderOfMotion;
  const links = summary === null ? 0 : linksOf(summary, 'magnitude').length;
  return (links === 0 ? 0 : orderHeight(links) + UNDER) + LEADING.small * linesOf(comparison, width).length;
}

/** Draws the block with its upper left corner at (x, y): picture and words, or the words alone where no link has a peak. */
export function drawOrderBlock(sheet: Sheet, comparison: PlayerComparison, x: number, y: number, width: number): void {
  const summary = comparison.orderOfMotion;
  let bottom = y;
  if (summary !== null && linksOf(summary, 'magnitude').length > 0) {
    bottom =
      UNDER + drawOrderPanel(sheet, comparison, summary, 'magnitude', 'Order of motion', 'mean', { x, y, width });
    write(sheet, sheet.root, 'fastest turning', x + textWidth('Order of motion', 'middle', 'bold') + 5, y + 7, {
      size: 'small',
      fill: COLOUR.grey,
    });
  }
  const fill = summary === null ? COLOUR.grey : COLOUR.ink;
  linesOf(comparison, width).forEach((text, i) => {
    write(sheet, sheet.root, text, x, bottom + 7 + LEADING.small * i, { size: 'small', fill });
  });
}
