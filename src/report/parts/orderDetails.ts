import type { PlayerComparison } from '../../model/comparison.ts';
import { ORDER_METHODS } from '../../model/orderOfMotion.ts';
import { type Sheet, write } from '../drawing/draw.ts';
import { type Flow, makeRoom } from '../drawing/flow.ts';
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

const METHODS =
  'Mark and line: when the link turns fastest between the top and impact, the mean of the swings with its 95 % interval; beside them the mean peak speed ± its standard deviation over the swings. Whole turning speed is the size of the angular velocity, of the club that of its shaft without the twist about itself; the other two are its parts about the long axis of the link and about the normal of the swing plane. The choice can change the order (Marsan and others 2019), so all are shown. Described, not judged: no order is called right.';

/** Draws the block, or the line that says why there is none. */
export function drawOrderDetails(sheet: Sheet, flow: Flow, comparison: PlayerComparison): void {
  const summary = comparison.orderOfMotion;
  if (summary === null) {
    drawParagraph(sheet, flow, '', noOrderText(comparison));
    return;
  }
  const methods = ORDER_METHODS.filter((method) => linksOf(summary, method).length > 0);
  const height = Math.max(...methods.map((method) => orderHeight(linksOf(summary, method).length)));
  drawHeading(sheet, flow, 'Order of motion', height + 20);
  write(sheet, sheet.root, 'fastest turning before impact', PAGE.left + 78, flow.y - 6, {
    size: 'small',
    fill: COLOUR.grey,
  });
  flow.y += 2;
  makeRoom(flow, height);
  const width = (PAGE.right - PAGE.left - GAP * (ORDER_METHODS.length - 1)) / ORDER_METHODS.length;
  methods.forEach((method, i) => {
    const box = { x: PAGE.left + i * (width + GAP), y: flow.y, width };
    drawOrderPanel(sheet, comparison, summary, method, capital(methodName(method)), 'mean and sd', box);
  });
  flow.y += height + 6;
  for (const text of [...orderSentences(comparison), ...absentLinks(summary)]) drawParagraph(sheet, flow, '', text);
  drawParagraph(sheet, flow, 'gain', gainText(comparison));
  drawParagraph(sheet, flow, 'at impact', atImpactText(comparison));
  drawParagraph(sheet, flow, 'how', METHODS);
  flow.y += 6;
}
