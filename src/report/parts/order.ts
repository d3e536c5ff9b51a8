import type { PlayerComparison } from '../../model/comparison.ts';
import { type Sheet, write } from '../drawing/draw.ts';
import { textWidth, wrapText } from '../drawing/textMetrics.ts';
import { COLOUR, LEADING } from '../drawing/theme.ts';
import { absentLinks, noOrderText, orderSentences } from '../sentences/orderWords.ts';
import type { Words } from '../words/words.ts';
import { drawOrderPanel, linksOf, orderHeight, speedsWidth } from './orderPanel.ts';

/** The order of motion on the sheet: the whole turning speed, and in words whether clubs and ways of measuring agree. */

/** Between the scale and the words, points. */
const UNDER = 2;

function linesOf(words: Words, comparison: PlayerComparison, width: number): string[] {
  const summary = comparison.orderOfMotion;
  const texts =
    summary === null
      ? [noOrderText(words, comparison)]
      : [...orderSentences(words, comparison), ...absentLinks(words, summary)];
  return texts.flatMap((text) => wrapText(text, width, 'small', 'regular', 6));
}

/** Height of the block in a column of `width`, points; 0 where there is nothing to say. */
export function orderBlockHeight(words: Words, comparison: PlayerComparison, width: number): number {
  const summary = comparison.orderOfMotion;
  const links = summary === null ? 0 : linksOf(summary, 'magnitude').length;
  return (links === 0 ? 0 : orderHeight(links) + UNDER) + LEADING.small * linesOf(words, comparison, width).length;
}

/** Draws the block with its upper left corner at (x, y): picture and words, or the words alone where no link has a peak. */
export function drawOrderBlock(sheet: Sheet, comparison: PlayerComparison, x: number, y: number, width: number): void {
  const summary = comparison.orderOfMotion;
  let bottom = y;
  if (summary !== null && linksOf(summary, 'magnitude').length > 0) {
    bottom =
      UNDER + drawOrderPanel(sheet, comparison, summary, 'magnitude', sheet.words.order.title, 'mean', { x, y, width });
    const { title, fastest } = sheet.words.order;
    const left = x + textWidth(title, 'middle', 'bold') + 5;
    // a hint that would reach the heads of the columns is left out
    if (left + textWidth(fastest, 'small') <= x + width - speedsWidth('mean'))
      write(sheet, sheet.root, fastest, left, y + 7, { size: 'small', fill: COLOUR.grey });
  }
  const fill = summary === null ? COLOUR.grey : COLOUR.ink;
  linesOf(sheet.words, comparison, width).forEach((text, i) => {
    write(sheet, sheet.root, text, x, bottom + 7 + LEADING.small * i, { size: 'small', fill });
  });
}
