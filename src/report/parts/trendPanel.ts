/** One primary comparison over the season: both sides by date, under them the gap, on one axis of time. */
import { scaleLinear } from 'd3-scale';
import { dayNumber } from '../../base/calendar.ts';
import { quantityById } from '../../model/catalogue.ts';
import type { Estimate } from '../../model/sessions.ts';
import type { Trend, TrendPoint, TrendSeries } from '../../model/trend.ts';
import { add, type Box, coordinate, rule, type Sheet, write } from '../drawing/draw.ts';
import { sizeWithin, textWidth } from '../drawing/textMetrics.ts';
import { COLOUR, IRONS_DASH } from '../drawing/theme.ts';
import { decimalsIn, plain, unitText } from '../sentences/numbers.ts';
import { capital } from '../sentences/ranking.ts';
import { marginText, versionChanges } from '../sentences/trendWords.ts';
import { placedLabel } from '../sentences/words.ts';

type Side = 'group' | 'reference' | 'gap';

const LOOK: Readonly<Record<Side, { readonly stroke: string; readonly dash: string; readonly offset: number }>> = {
  group: { stroke: COLOUR.driver, dash: '', offset: -1.2 },
  reference: { stroke: COLOUR.irons, dash: IRONS_DASH, offset: 1.2 },
  gap: { stroke: COLOUR.ink, dash: '', offset: 0 },
};
/** Room for the numbers of the axis. */
const AXIS = 27;
const HEAD = 21;
const DATES = 9;
/** A number of the axis has its middle at least this far inside of its plot: half its height less what lies free outside. */
const EDGE = 2;
/** Of the height that is left, the part of the two sides. */
const UPPER = 0.58;

export function drawTrendPanel(sheet: Sheet, trend: Trend, series: TrendSeries, box: Box): void {
  const name = capital(placedLabel(sheet.words, series.quantity, series.position));
  const size = sizeWithin(name, box.width, 'bold');
  const weight = textWidth(name, size, 'bold') <= box.width ? 'bold' : 'regular';
  write(sheet, sheet.root, name, box.x, box.y + 8, { size, weight, width: box.width });
  write(sheet, sheet.root, marginText(sheet.words, series), box.x, box.y + 17, {
    size: 'small',
    fill: COLOUR.grey,
    width: box.width,
  });
  const plots = box.height - HEAD - DATES - 5;
  const left = box.x + AXIS;
  const width = box.width - AXIS - 4;
  const upper = { x: left, y: box.y + HEAD, width, height: plots * UPPER };
  const lower = { x: left, y: upper.y + upper.height + 5, width, height: plots * (1 - UPPER) };
  const across = timeScale(trend, left, width);
  for (const { after, before } of versionChanges(trend)) {
    const x = (across(before) + across(after)) / 2;
    const style = { stroke: COLOUR.hairline, 'stroke-width': 0.7, 'stroke-dasharray': '2 2' };
    rule(sheet.root, x, upper.y, x, lower.y + lower.height, style);
  }
  drawPlot(sheet, series, ['reference', 'group'], upper, across);
  drawPlot(sheet, series, ['gap'], lower, across);
  drawDates(sheet, trend, across, lower);
}

/** From a date to a place on the sheet; one day stands in the middle. */
function timeScale({ days }: Trend, left: number, width: number): (date: string) => number {
  const numbers = days.map(({ date }) => dayNumber(date));
  const [from, to] = [Math.min(...numbers), Math.max(...numbers)];
  const inset = 5;
  return (date) => {
    if (from === to) return left + width / 2;
    return left + inset + ((width - 2 * inset) * (dayNumber(date) - from)) / (to - from);
  };
}

function drawPlot(
  sheet: Sheet,
  series: TrendSeries,
  sides: readonly Side[],
  box: Box,
  across: (date: string) => number,
): void {
  const isGap = sides[0] === 'gap';
  const margin = isGap ? Math.max(0, ...series.points.map((point) => point.margin ?? 0)) : 0;
  const ends = series.points.flatMap((point) => sides.flatMap((side) => endsOf(point[side])));
  if (ends.length === 0) return;
  const [low, high] = isGap
    ? [Math.min(0, -margin, ...ends), Math.max(0, margin, ...ends)]
    : [Math.min(...ends), Math.max(...ends)];
  const room = high === low ? 1 : 0.06 * (high - low);
  const scale = scaleLinear([low - room, high + room], [box.y + box.height, box.y]);
  if (isGap) drawMargin(sheet, margin, box, scale);
  const decimals = decimalsIn(quantityById(series.quantity).decimals, series.unit);
  for (const tick of ticksOf(scale.ticks(3), decimals)) {
    const y = scale(tick);
    rule(sheet.root, box.x - 2, y, box.x, y, { stroke: COLOUR.hairline, 'stroke-width': 0.6 });
    const text = `${plain(sheet.words, tick, Number.isInteger(tick) ? 0 : Math.max(1, decimals))}${unitText(series.unit).trim() === '°' ? '°' : ''}`;
    // a number at the edge of a plot stays clear of what stands above and below
    const middle = Math.min(Math.max(y, box.y + EDGE), box.y + box.height - EDGE);
    write(sheet, sheet.root, text, box.x - 3, middle + 2.4, { size: 'small', anchor: 'end', fill: COLOUR.grey });
  }
  rule(sheet.root, box.x, box.y, box.x, box.y + box.height, { stroke: COLOUR.hairline, 'stroke-width': 0.6 });
  for (const side of sides) drawSide(sheet, series.points, side, across, scale);
}

/** Numbers on an axis that stand apart enough for their text. */
function ticksOf(ticks: readonly number[], decimals: number): readonly number[] {
  const fine = ticks.filter((tick) => Math.abs(tick * 10 - Math.round(tick * 10)) < 1e-9 || decimals > 1);
  return fine.length > 3 ? fine.filter((_, i) => i % 2 === 0) : fine;
}

function endsOf({ value, low95, high95 }: Estimate): readonly number[] {
  return [value, low95, high95].filter((end) => end !== null);
}

/** Grey, within which a gap has no meaning, and the line of no gap. */
function drawMargin(sheet: Sheet, margin: number, box: Box, scale: (value: number) => number): void {
  add(sheet.root, 'rect', {
    x: box.x,
    y: scale(margin),
    width: box.width,
    height: scale(-margin) - scale(margin),
    fill: COLOUR.faint,
  });
  rule(sheet.root, box.x, scale(0), box.x + box.width, scale(0), {
    stroke: COLOUR.hairline,
    'stroke-width': 0.6,
  });
}

function drawSide(
  sheet: Sheet,
  points: readonly TrendPoint[],
  side: Side,
  across: (date: string) => number,
  scale: (value: number) => number,
): void {
  const { stroke, dash, offset } = LOOK[side];
  const there = points.flatMap((point) => {
    const { value, low95, high95 } = point[side];
    const certain = point.change?.[side].verdict === 'departs';
    return value === null ? [] : [{ x: across(point.date) + offset, value, low95, high95, certain }];
  });
  const line = there
    .map(({ x, value }, i) => `${i === 0 ? 'M' : 'L'}${coordinate(x)} ${coordinate(scale(value))}`)
    .join('');
  const style = { fill: 'none', stroke, 'stroke-width': 0.8, ...(dash === '' ? {} : { 'stroke-dasharray': dash }) };
  if (there.length > 1) add(sheet.root, 'path', { d: line, ...style });
  for (const { x, value, low95, high95, certain } of there) {
    if (low95 !== null && high95 !== null)
      rule(sheet.root, x, scale(low95), x, scale(high95), { stroke, 'stroke-width': 0.8 });
    const mark = { fill: certain ? stroke : COLOUR.paper, stroke, 'stroke-width': 0.8 };
    const y = scale(value);
    if (side === 'reference') add(sheet.root, 'rect', { x: x - 1.8, y: y - 1.8, width: 3.6, height: 3.6, ...mark });
    else add(sheet.root, 'circle', { cx: x, cy: y, r: 1.9, ...mark });
  }
}

/** A tick for each day, the first and the last by name. */
function drawDates(sheet: Sheet, { days }: Trend, across: (date: string) => number, box: Box): void {
  const bottom = box.y + box.height;
  for (const { date } of days) {
    rule(sheet.root, across(date), bottom, across(date), bottom + 2, {
      stroke: COLOUR.hairline,
      'stroke-width': 0.6,
    });
  }
  const [first, last] = [days[0]!.date, days[days.length - 1]!.date];
  const style = { size: 'small', fill: COLOUR.grey } as const;
  if (first === last) {
    write(sheet, sheet.root, first, across(first), bottom + 9, { ...style, anchor: 'middle' });
    return;
  }
  write(sheet, sheet.root, first, box.x, bottom + 9, style);
  write(sheet, sheet.root, last, box.x + box.width, bottom + 9, { ...style, anchor: 'end' });
}
