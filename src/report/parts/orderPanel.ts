import { scaleLinear } from 'd3-scale';
import type { PlayerComparison } from '../../model/comparison.ts';
import type { OrderMethod } from '../../model/orderOfMotion.ts';
import type { LinkSpeed, LinkTiming, OrderLink, OrderSummary } from '../../model/orderSummary.ts';
import { add, type Box, coordinate, group, rule, type Sheet, write } from '../drawing/draw.ts';
import type { DrawnElement } from '../drawing/element.ts';
import { textWidth } from '../drawing/textMetrics.ts';
import { COLOUR } from '../drawing/theme.ts';
import { plain } from '../sentences/numbers.ts';
import { methodName } from '../sentences/orderWords.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { drawMark } from './swingMarks.ts';

/**
 * The order of motion as one row per link from the ground up: a mark where the link turns fastest, milliseconds before impact, with the
 * 95 % interval of its mean, driver over irons; impact at the right. Beside it the peak speeds.
 */

const NAMES = 52;
const ROW = 12.5;
const HEAD = 11;
const FOOT = 11;
const GAP = 6;

/** How wide a table of speeds is: whole numbers, or with their standard deviations. */
export type SpeedColumns = 'mean' | 'mean and sd';

const SPEED_WIDTH: Readonly<Record<SpeedColumns, number>> = { mean: 22, 'mean and sd': 42 };

/** Of both columns of speeds, points. */
export function speedsWidth(columns: SpeedColumns): number {
  return 2 * SPEED_WIDTH[columns];
}

type Side = 'group' | 'reference';
const SIDES: readonly Side[] = ['group', 'reference'];

/** Links that a method has, from the ground up. */
export function linksOf(summary: OrderSummary, method: OrderMethod): readonly OrderLink[] {
  return summary.links.filter(({ timing }) => timing[method].group !== null || timing[method].reference !== null);
}

/** Points from the head of a panel to below its scale. */
export function orderHeight(links: number): number {
  return HEAD + ROW * links + FOOT;
}

/** Seconds before impact at the left edge: all marks, and their intervals as long as these are no more than as wide again. */
function reachOf(links: readonly OrderLink[], method: OrderMethod): number {
  const timings = links
    .flatMap(({ timing }) => SIDES.map((side) => timing[method][side]))
    .filter((timing) => timing !== null);
  const means = Math.max(0.02, ...timings.map(({ mean_s }) => mean_s));
  const ends = Math.max(means, ...timings.map(({ mean_s, high95_s }) => high95_s ?? mean_s));
  return Math.min(ends, 1.6 * means) * 1.05;
}

/** Draws one method's panel with its upper left corner at (x, y); returns where it ends. */
export function drawOrderPanel(
  sheet: Sheet,
  comparison: PlayerComparison,
  summary: OrderSummary,
  method: OrderMethod,
  title: string,
  columns: SpeedColumns,
  box: Pick<Box, 'x' | 'y' | 'width'>,
): number {
  const { order } = sheet.words;
  const links = linksOf(summary, method);
  const panel = group(sheet.root, fill(order.titleOf, { method: methodName(sheet.words, method) }));
  const speedWidth = SPEED_WIDTH[columns];
  const plot: Box = {
    x: box.x + NAMES,
    y: box.y + HEAD,
    width: box.width - NAMES - 2 * speedWidth - GAP,
    height: ROW * links.length,
  };
  const x = scaleLinear([reachOf(links, method), 0], [plot.x, plot.x + plot.width]);
  drawTimeAxis(sheet, panel, x, plot);
  const foot = { size: 'small', fill: COLOUR.grey } as const;
  write(sheet, panel, order.msBefore, box.x, plot.y + plot.height + 9.5, foot);
  write(sheet, panel, '°/s', box.x + box.width, plot.y + plot.height + 9.5, { ...foot, anchor: 'end' });
  write(sheet, panel, title, box.x, box.y + 7, { size: 'middle', weight: 'bold' });
  const ends = { group: box.x + box.width - speedWidth, reference: box.x + box.width };
  for (const side of SIDES) {
    write(sheet, panel, comparison[side].label, ends[side], box.y + 7, {
      size: 'small',
      anchor: 'end',
      fill: inkOf(side),
      width: speedWidth - 2,
    });
  }
  drawChains(panel, links, method, x, plot);
  links.forEach(({ link, timing, speed }, i) => {
    const top = plot.y + ROW * i;
    const line = top + ROW / 2 + 2.5;
    if (i > 0) {
      rule(panel, box.x, top, box.x + box.width, top, { stroke: COLOUR.faint, 'stroke-width': 0.4 });
    }
    write(sheet, panel, order.links[link], box.x, line, { size: 'small' });
    for (const side of SIDES) {
      const found = timing[method][side];
      if (found !== null) drawTiming(panel, found, side, x, laneOf(top, side), plot);
      const text = speedText(sheet.words, speed[method][side], columns);
      write(sheet, panel, text, ends[side], line, { size: 'small', anchor: 'end', fill: inkOf(side) });
    }
  });
  return plot.y + plot.height + FOOT;
}

function inkOf(side: Side): string {
  return side === 'group' ? COLOUR.driverText : COLOUR.ironsText;
}

function laneOf(top: number, side: Side): number {
  return top + ROW * (side === 'group' ? 0.3 : 0.7);
}

function speedText(words: Words, speed: LinkSpeed | null, columns: SpeedColumns): string {
  if (speed === null) return '–';
  const mean = plain(words, speed.mean_degPerS, 0);
  return columns === 'mean' || speed.sd_degPerS === null ? mean : `${mean} ± ${plain(words, speed.sd_degPerS, 0)}`;
}

type Scale = (seconds: number) => number;

/** Milliseconds before impact; impact is the right edge and has its name. */
function drawTimeAxis(
  sheet: Sheet,
  panel: DrawnElement,
  x: ReturnType<typeof scaleLinear<number, number>>,
  plot: Box,
): void {
  const right = plot.x + plot.width;
  const bottom = plot.y + plot.height;
  rule(panel, right, plot.y - 2, right, bottom + 2.5, { stroke: COLOUR.grey, 'stroke-width': 0.7 });
  rule(panel, plot.x, bottom, right, bottom, { stroke: COLOUR.hairline, 'stroke-width': 0.5 });
  const style = { size: 'small', fill: COLOUR.grey } as const;
  const impact = write(sheet, panel, sheet.words.order.impact, right + 3, bottom + 9.5, { ...style, anchor: 'end' });
  for (const tick of x.ticks(4)) {
    const at = x(tick);
    if (tick === 0) continue;
    rule(panel, at, plot.y, at, bottom + 2.5, { stroke: COLOUR.faint, 'stroke-width': 0.5 });
    const text = plain(sheet.words, 1000 * tick, 0);
    const half = textWidth(text, 'small') / 2;
    if (at + half > impact.x - 4 || at - half < plot.x - 8) continue;
    write(sheet, panel, text, at, bottom + 9.5, { ...style, anchor: 'middle' });
  }
}

/** A thin line from mark to mark up the body: it runs down to the right where each link follows the one below it. */
function drawChains(panel: DrawnElement, links: readonly OrderLink[], method: OrderMethod, x: Scale, plot: Box): void {
  for (const side of [...SIDES].reverse()) {
    const d = links
      .flatMap(({ timing }, i) => {
        const found = timing[method][side];
        return found === null ? [] : [`${coordinate(x(found.mean_s))} ${coordinate(laneOf(plot.y + ROW * i, side))}`];
      })
      .map((point, i) => `${i === 0 ? 'M' : 'L'}${point}`)
      .join('');
    const form =
      side === 'group' ? { stroke: COLOUR.driverThin } : { stroke: COLOUR.irons, 'stroke-dasharray': '1 1.6' };
    if (d !== '') add(panel, 'path', { d, fill: 'none', 'stroke-width': 0.6, ...form });
  }
}

/** The mark with the interval of its mean, cut at the edges of the plot. */
function drawTiming(panel: DrawnElement, timing: LinkTiming, side: Side, x: Scale, y: number, plot: Box): void {
  const inside = (seconds: number): number => Math.min(Math.max(x(seconds), plot.x), plot.x + plot.width);
  const { mean_s, low95_s, high95_s } = timing;
  if (low95_s !== null && high95_s !== null) {
    const form = side === 'group' ? { stroke: COLOUR.driver } : { stroke: COLOUR.irons, 'stroke-dasharray': '2 1.2' };
    rule(panel, inside(high95_s), y, inside(low95_s), y, { 'stroke-width': 1, ...form });
  }
  drawMark(panel, x(mean_s), y, side, 1.7);
}
