import { add, coordinate, finishSheet, type Sheet, startSheet, write } from './drawing/draw.ts';
import { firstOf } from './drawing/element.ts';
import { makeRoom, startFlow } from './drawing/flow.ts';
import { drawSignKey } from './drawing/signs.ts';
import { COLOUR, PAGE } from './drawing/theme.ts';
import { drawChains } from './parts/chain.ts';
import { drawCheckpoints } from './parts/checkpoints.ts';
import { drawClubLength } from './parts/clubLength.ts';
import { drawCoachWords } from './parts/coachWords.ts';
import { drawOnce, drawTable } from './parts/detailsTable.ts';
import {
  drawFirstDepartures,
  drawMethod,
  drawNotes,
  drawParagraph,
  drawSettings,
  drawTrials,
} from './parts/detailsText.ts';
import { drawFacts } from './parts/facts.ts';
import { drawClubMarks } from './parts/impactDetails.ts';
import { drawOrderDetails } from './parts/orderDetails.ts';
import { drawSensors } from './parts/sensors.ts';
import { drawSingleValues } from './parts/singleValue.ts';
import { drawHeader, sheetTitle } from './playerSheet.ts';
import { nameOf } from './sentences/zero.ts';
import { spoken } from './spoken.ts';
import type { PlayerView } from './views.ts';
import { fill } from './words/fill.ts';

/**
 * The player's details: tables, trials, orders, method, on as many A4 landscape pages as they need, one below the other;
 * nothing crosses the edge of a page. SVG text; the same view gives the same bytes.
 */
export function renderPlayerDetails(given: PlayerView): string {
  const { words, view } = spoken(given);
  const { comparison } = view;
  const { details } = words;
  const title = fill(details.title, { sheet: sheetTitle(words, view) });
  const sheet = startSheet(words, title, details.description);
  const flow = startFlow(22);
  drawHeader(sheet, view);
  if (comparison.reason !== '') drawParagraph(sheet, flow, details.terms.noComparison, `${comparison.reason}.`);
  if (comparison.rows.length > 0) {
    drawSignKey(sheet, sheet.root, PAGE.left, flow.y + 5);
    flow.y += 12;
  }
  drawTable(sheet, flow, comparison, 'value', details.values, () => true);
  drawOnce(sheet, flow, comparison);
  drawClubMarks(sheet, flow, view);
  drawOrderDetails(sheet, flow, comparison);
  drawTable(
    sheet,
    flow,
    comparison,
    'change',
    details.changes,
    (_quantity, rows) =>
      rows.some((row) => row.family === 'change-primary') ||
      rows.some((row) => row.verdict === 'departs' || row.verdict === 'differs-slightly'),
  );
  drawFirstDepartures(sheet, flow, comparison);
  drawChains(sheet, flow, comparison);
  drawClubLength(sheet, flow, comparison);
  drawCheckpoints(sheet, flow, comparison);
  drawCoachWords(sheet, flow, view);
  drawNotes(sheet, flow, view);
  drawTrials(sheet, flow, view);
  drawFacts(sheet, flow, view);
  drawSensors(sheet, flow, view);
  drawSingleValues(sheet, flow, view);
  drawSettings(sheet, flow, view);
  drawMethod(sheet, flow);
  makeRoom(flow, 30);
  flow.y += 6;
  drawParagraph(sheet, flow, '', words.cautions);
  finishPages(sheet, view, flow.page + 1);
  return finishSheet(sheet);
}

/** Sets the height of the sheet, numbers its pages and draws a hairline where one ends on the screen. */
function finishPages(sheet: Sheet, view: PlayerView, pages: number): void {
  const height = coordinate(PAGE.height * pages);
  sheet.root.set('height', `${210 * pages}mm`);
  sheet.root.set('viewBox', `0 0 ${PAGE.width} ${height}`);
  firstOf(sheet.root, 'rect')?.set('height', height);
  for (let page = 0; page < pages; page++) {
    const top = page * PAGE.height;
    add(sheet.root, 'view', {
      id: `page-${page + 1}`,
      viewBox: `0 ${coordinate(top)} ${PAGE.width} ${PAGE.height}`,
    });
    const text = fill(sheet.words.details.page, { name: nameOf(view.comparison), n: page + 1, of: pages });
    write(sheet, sheet.root, text, PAGE.right, top + PAGE.height - 14, {
      size: 'small',
      anchor: 'end',
      fill: COLOUR.grey,
    });
  }
}
