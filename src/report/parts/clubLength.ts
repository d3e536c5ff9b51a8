import { quantityById } from '../../model/catalogue.ts';
import type { ComparisonRow, LengthTrend, PlayerComparison } from '../../model/comparison.ts';
import { topicOf } from '../../model/topics.ts';
import { add, rule, type Sheet, write } from '../drawing/draw.ts';
import { type Flow, makeRoom } from '../drawing/flow.ts';
import { COLOUR, LEADING, PAGE } from '../drawing/theme.ts';
import { decimalsIn, listed, plain, signedWithUnit, withUnit } from '../sentences/numbers.ts';
import { placedLabel } from '../sentences/words.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { drawHeading, drawParagraph } from './detailsText.ts';

/** What the player's other clubs would have at this length: one line and one small picture for each quantity that departs. */

/** Lines of quantities; the others are in the table. */
const MOST_LINES = 12;
const LABEL_WIDTH = 190;
const PICTURE = { left: PAGE.right - 150, width: 146 } as const;

interface Carried {
  readonly row: ComparisonRow;
  readonly trend: LengthTrend;
}

/** One row a quantity: where it first departs, otherwise where it departs most; trunk and club before arms, legs and forces. */
function departingTrends({ rows, firstDepartures }: PlayerComparison): Carried[] {
  const firsts = new Map(
    firstDepartures
      .filter(({ basis }) => basis === 'value')
      .map(({ quantity, position }): [string, string] => [quantity, position]),
  );
  const best = new Map<string, Carried>();
  const size = ({ row }: Carried): number => Math.abs(row.difference! / row.margin!);
  for (const row of rows) {
    if (row.basis !== 'value' || row.verdict !== 'departs' || row.trend === null) continue;
    const carried = { row, trend: row.trend };
    const known = best.get(row.quantity);
    const isFirst = firsts.get(row.quantity) === row.position;
    const keepsFirst = known !== undefined && firsts.get(row.quantity) === known.row.position;
    if (known === undefined || isFirst || (!keepsFirst && size(carried) > size(known))) best.set(row.quantity, carried);
  }
  const rank = ({ row }: Carried): number => {
    if (row.family === 'primary') return 0;
    return topicOf(quantityById(row.quantity).reading) === 'trunk' ? 1 : 2;
  };
  return [...best.values()].sort((a, b) => rank(a) - rank(b));
}

/** 'too uncertain to judge', 'matches the trend' … */
function verdictText(words: Words, { row, trend }: Carried): string {
  const decimals = decimalsIn(quantityById(row.quantity).decimals, row.unit);
  const { length } = words.details;
  const by = fill(length.by, {
    difference: signedWithUnit(words, trend.difference, decimals, row.unit),
    low: plain(words, trend.differenceLow95, decimals),
    high: withUnit(words, trend.differenceHigh95, decimals, row.unit),
  });
  switch (trend.verdict) {
    case 'departs':
      return fill(length.departs, { by });
    case 'differs-slightly':
      return fill(length.differsSlightly, { by });
    case 'matches':
      return length.matches;
    case 'undecided':
      return fill(length.undecided, { by });
    default:
      return trend.reason;
  }
}

function lineText(words: Words, comparison: PlayerComparison, carried: Carried): string {
  const { row, trend } = carried;
  const decimals = decimalsIn(quantityById(row.quantity).decimals, row.unit);
  const value = (x: number): string => withUnit(words, x, decimals, row.unit);
  return fill(words.details.length.line, {
    expected: value(trend.expected),
    low: plain(words, trend.low95, decimals),
    high: value(trend.high95),
    group: comparison.group.label,
    mean: value(row.meanGroup!),
    verdict: verdictText(words, carried),
  });
}

/** Trend with its interval as a whisker, the group a disc, the reference a ring. */
function drawPicture(sheet: Sheet, { row, trend }: Carried, y: number): void {
  const places = [trend.low95, trend.high95, row.meanGroup!, row.meanReference!];
  const low = Math.min(...places);
  const span = Math.max(...places) - low || 1;
  const x = (value: number): number => PICTURE.left + 4 + ((PICTURE.width - 8) * (value - low)) / span;
  const ink = { stroke: COLOUR.ink, 'stroke-width': 0.7 };
  rule(sheet.root, x(trend.low95), y, x(trend.high95), y, ink);
  for (const end of [trend.low95, trend.high95]) rule(sheet.root, x(end), y - 1.6, x(end), y + 1.6, ink);
  rule(sheet.root, x(trend.expected), y - 3, x(trend.expected), y + 3, { ...ink, 'stroke-width': 1.1 });
  const irons = { r: 2, fill: COLOUR.paper, stroke: COLOUR.irons, 'stroke-width': 0.9 };
  add(sheet.root, 'circle', { cx: x(row.meanReference!), cy: y, ...irons });
  add(sheet.root, 'circle', { cx: x(row.meanGroup!), cy: y, r: 2.2, fill: COLOUR.driver });
}

/** The lines with their heading; nothing where no departing quantity has a trend. */
export function drawClubLength(sheet: Sheet, flow: Flow, comparison: PlayerComparison): void {
  const all = departingTrends(comparison);
  const [first] = all;
  if (first === undefined) return;
  const { group, reference } = comparison;
  const { headings, length } = sheet.words.details;
  const clubs = [...new Set(all.flatMap(({ trend }) => trend.clubs))].sort();
  drawHeading(sheet, flow, headings.length, 2 * LEADING.small + 14);
  drawParagraph(
    sheet,
    flow,
    '',
    fill(length.about, {
      clubs: listed(sheet.words, clubs),
      length: plain(sheet.words, first.trend.length_m, 3),
      group: group.label,
      reference: reference.label,
    }),
  );
  for (const carried of all.slice(0, MOST_LINES)) {
    const { row } = carried;
    makeRoom(flow, LEADING.small + 1);
    write(sheet, sheet.root, placedLabel(sheet.words, row.quantity, row.position), PAGE.left, flow.y + 7, {
      size: 'small',
      width: LABEL_WIDTH - 6,
    });
    write(sheet, sheet.root, lineText(sheet.words, comparison, carried), PAGE.left + LABEL_WIDTH, flow.y + 7, {
      size: 'small',
      width: PICTURE.left - PAGE.left - LABEL_WIDTH - 6,
    });
    drawPicture(sheet, carried, flow.y + 4.5);
    flow.y += LEADING.small + 1;
  }
  if (all.length > MOST_LINES) {
    drawParagraph(sheet, flow, '', fill(length.more, { n: all.length - MOST_LINES }));
  }
  flow.y += 6;
}
