import type { PlayerComparison } from '../../model/comparison.ts';
import { ORDER_METHODS } from '../../model/orderOfMotion.ts';
import { type Sheet, write } from '../drawing/draw.ts';
import { type Flow, makeRoom } from '../drawing/flow.ts';
import { textWidth } from '../drawing/textMetrics.ts';
import { COLOUR, PAGE } from '../drawing/theme.ts';
import {
  absentLinks,
  atImpactText,
  gainText,
  methodName,
  noOrderText,
  orderSentences,
} from '../sentences/orderWords.ts';
import { capital } from '../sentences/ranking.ts';
import { drawHeading, drawParagraph } from './detailsText.ts';
import { drawOrderPanel, linksOf, orderHeight } from './orderPanel.ts';

/** The order of motion by each way of measuring, with standard deviations of the peak speeds, gains and what is missing. */

const GAP = 26;

/** Draws the block, or the line that says why there is none. */
export function drawOrderDetails(sheet: Sheet, flow: Flow, comparison: PlayerComparison): void {
  const summary = comparison.orderOfMotion;
  if (summary === null) {
    drawParagraph(sheet, flow, '', noOrderText(sheet.words, comparison));
    return;
  }
  const methods = ORDER_METHODS.filter((method) => linksOf(summary, method).length > 0);
  const height = Math.max(...methods.map((method) => orderHeight(linksOf(summary, method).length)));
  drawHeading(sheet, flow, sheet.words.order.title, height + 20);
  const { title, fastestBefore } = sheet.words.order;
  const left = PAGE.left + Math.max(78, textWidth(title, 'middle', 'bold') + 8);
  write(sheet, sheet.root, fastestBefore, left, flow.y - 6, {
    size: 'small',
    fill: COLOUR.grey,
  });
  flow.y += 2;
  makeRoom(flow, height);
  const width = (PAGE.right - PAGE.left - GAP * (ORDER_METHODS.length - 1)) / ORDER_METHODS.length;
  methods.forEach((method, i) => {
    const box = { x: PAGE.left + i * (width + GAP), y: flow.y, width };
    drawOrderPanel(sheet, comparison, summary, method, capital(methodName(sheet.words, method)), 'mean and sd', box);
  });
  flow.y += height + 6;
  for (const text of [...orderSentences(sheet.words, comparison), ...absentLinks(sheet.words, summary)])
    drawParagraph(sheet, flow, '', text);
  const { terms, how } = sheet.words.order;
  drawParagraph(sheet, flow, terms.gain, gainText(sheet.words, comparison));
  drawParagraph(sheet, flow, terms.atImpact, atImpactText(sheet.words, comparison));
  drawParagraph(sheet, flow, terms.how, how);
  flow.y += 6;
}
