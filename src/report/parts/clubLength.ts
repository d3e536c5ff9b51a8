import { quantityById } from '../../model/catalogue.ts';
import type { ComparisonRow, LengthTrend, PlayerComparison } from '../../model/comparison.ts';
import { topicOf } from '../../model/topics.ts';
import { add, rule, type Sheet, write } from '../drawing/draw.ts';
import { type Flow, makeRoom } from '../drawing/flow.ts';
import { COLOUR, LEADING, PAGE } from '../drawing/theme.ts';
import { decimalsIn, listed, plain, signedWithUnit, withUnit } from '../sentences/numbers.ts';
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
function verdictText({ row, trend }: Carried): string {
  const decimals = decimalsIn(quantityById(row.quantity).decimals, row.unit);
  const by = `${signedWithUnit(trend.difference, decimals, row.unit)} (95 % interval ${plain(trend.differenceLow95, decimals)} to ${withUnit(trend.differenceHigh95, decimals, row.unit)})`;
  switch (trend.verdict) {
    case 'departs':
      return `departs from that too, by ${by}`;
    case 'differs-slightly':
      return `differs slightly from that, by ${by}`;
    case 'matches':
      return 'matches that';
    case 'undecided':
      return `can’t be told yet, by ${by}`;
    default:
      return trend.reason;
  }
}

function lineText(comparison: PlayerComparison, carried: Carried): string {
  const { row, trend } = carried;
  const decimals = decimalsIn(quantityById(row.quantity).decimals, row.unit);
  const value = (x: number): string => withUnit(x, decimals, row.unit);
  return `${value(trend.expected)} (95 % interval ${plain(trend.low95, decimals)} to ${value(trend.high95)}), ${comparison.group.label} ${value(row.meanGroup!)}: ${verdictText(carried)}`;
}

/** Trend with its interval as a whisker, the group a disc, the reference a ring. */
function drawPicture(sheet: Sheet, { row, trend }: Carried, y: number): void {
  const places = [trend.low95, trend.high95, row.meanGroup!, row.meanReference!];
  const low = Math.min(...places);
  const span = Math.max(...places) - low || 1;
  const x = (value: number): number => PICTURE.left + 4 + ((PICTURE.width - 8) * (value - low)) / span;
  const ink = { stroke: COLOUR.ink, 'stroke-width': 0.7 };
  rule(sheet, sheet.root, x(trend.low95), y, x(trend.high95), y, ink);
  for (const end of [trend.low95, trend.high95]) rule(sheet, sheet.root, x(end), y - 1.6, x(end), y + 1.6, ink);
  rule(sheet, sheet.root, x(trend.expected), y - 3, x(trend.expected), y + 3, { ...ink, 'stroke-width': 1.1 });
  const irons = { r: 2, fill: COLOUR.paper, stroke: COLOUR.irons, 'stroke-width': 0.9 };
  add(sheet, sheet.root, 'circle', { cx: x(row.meanReference!), cy: y, ...irons });
  add(sheet, sheet.root, 'circle', { cx: x(row.meanGroup!), cy: y, r: 2.2, fill: COLOUR.driver });
}

/** The lines with their heading; nothing where no departing quantity has a trend. */
export function drawClubLength(sheet: Sheet, flow: Flow, comparison: PlayerComparison): void {
  const all = departingTrends(comparison);
  const [first] = all;
  if (first === undefined) return;
  const { group, reference } = comparison;
  const clubs = [...new Set(all.flatMap(({ trend }) => trend.clubs))].sort();
  drawHeading(sheet, flow, 'Club length', 2 * LEADING.small + 14);
  drawParagraph(
    sheet,
    flow,
    '',
    `Part of a difference belongs to the longer club. Here the straight line through all swings of ${listed(clubs)} against club length is carried to ${plain(first.trend.length_m, 3)} m: what the ${group.label} would have if it were one of them. It is judged where the half-width of its interval is at most one and a half margins, and the clubs are of three lengths or more and lie on a line. Picture: line and interval of the trend, disc ${group.label}, ring ${reference.label}.`,
  );
  for (const carried of all.slice(0, MOST_LINES)) {
    const { row } = carried;
    makeRoom(flow, LEADING.small + 1);
    const place = row.position === 'swing' ? '' : ` at ${row.position}`;
    write(sheet, sheet.root, `${quantityById(row.quantity).label}${place}`, PAGE.left, flow.y + 7, {
      size: 'small',
      width: LABEL_WIDTH - 6,
    });
    write(sheet, sheet.root, lineText(comparison, carried), PAGE.left + LABEL_WIDTH, flow.y + 7, {
      size: 'small',
      width: PICTURE.left - PAGE.left - LABEL_WIDTH - 6,
    });
    drawPicture(sheet, carried, flow.y + 4.5);
    flow.y += LEADING.small + 1;
  }
  if (all.length > MOST_LINES) {
    drawParagraph(sheet, flow, '', `${all.length - MOST_LINES} more in comparison.csv, columns trend to trend_reason.`);
  }
  flow.y += 6;
}
