/** The time axis of a quality figure, in seconds and frames, and the positions of the swing over it. */

import { tickStep, ticks } from 'd3-array';
import { formatFixed } from '../../base/format.ts';
import { POSITIONS } from '../../model/positions.ts';
import type { TrialQuality } from '../../model/trialQuality.ts';
import { add, type Box, coordinate, rule, type Sheet, write } from '../drawing/draw.ts';
import { textWidth } from '../drawing/textMetrics.ts';
import { COLOUR } from '../drawing/theme.ts';
import { plain } from '../sentences/numbers.ts';
import { fill } from '../words/fill.ts';

/** Points. */
export const FIGURE_WIDTH = 620;
/** Names of groups and markers on the left, counts on the right of the plot. */
const PLOT_LEFT = 118;
const PLOT_RIGHT = 478;
/** Of the first row: names of the positions and the strokes from them to their lines stand above. */
export const TOP = 24;
const NAME_BASELINE = 8;
const STROKE_TOP = 11;
const NAME_GAP = 3;
/** Names reach this far over the ends of the plot. */
const BESIDE = 8;
const DOWNSWING = '#f1f1f1';
const MOST_TICKS = 7;

/** Where frames lie: a frame is as wide as it lasts, so that a run from frame a to b covers [a − ½, b + ½]. */
export interface TimeAxis {
  readonly plot: Box;
  readonly frames: number;
  readonly rate_Hz: number;
  /** Of the middle of a frame. */
  readonly x: (frame: number) => number;
}

export function timeAxis({ frames, rate_Hz }: TrialQuality, bottom: number): TimeAxis {
  const plot = { x: PLOT_LEFT, y: TOP, width: PLOT_RIGHT - PLOT_LEFT, height: bottom - TOP };
  return { plot, frames, rate_Hz, x: (frame) => plot.x + ((frame + 0.5) / Math.max(1, frames)) * plot.width };
}

interface Mark {
  readonly name: string;
  readonly x: number;
  readonly width: number;
  /** Left edge of the name. */
  left: number;
}

/** A line at each position found, its name above, moved aside where names are close; the downswing is shaded. */
export function drawPositions(sheet: Sheet, axis: TimeAxis, moments: TrialQuality['moments']): void {
  const { plot } = axis;
  const xOf = new Map<string, number>();
  for (const position of POSITIONS) {
    const moment = moments[position];
    if (moment?.found) xOf.set(position, axis.x(moment.time_s * axis.rate_Hz));
  }
  const from = xOf.get('P4') ?? xOf.get('P4(arm)');
  const to = xOf.get('P7');
  if (from !== undefined && to !== undefined && to > from) {
    add(sheet.root, 'rect', { x: from, y: plot.y, width: to - from, height: plot.height, fill: DOWNSWING });
  }
  const marks = [...xOf].map(([name, x]) => {
    const width = textWidth(name, 'small');
    return { name, x, width, left: x - width / 2 };
  });
  marks.sort((a, b) => a.x - b.x);
  spread(marks, plot);
  for (const { name, x, width, left } of marks) {
    const stroke = name === 'P7' ? COLOUR.ink : COLOUR.hairline;
    const middle = left + width / 2;
    const d = `M${coordinate(middle)} ${STROKE_TOP}L${coordinate(x)} ${coordinate(plot.y - 3)}V${coordinate(plot.y + plot.height)}`;
    add(sheet.root, 'path', { d, fill: 'none', stroke, 'stroke-width': 0.5 });
    write(sheet, sheet.root, name, left, NAME_BASELINE, { size: 'small', fill: COLOUR.grey });
  }
}

/** Names in the order of time, none over another, as near to their lines as that leaves them: names that are too close share their shift. */
function spread(marks: readonly Mark[], plot: Box): void {
  const offsets: number[] = [];
  let used = 0;
  for (const { width } of marks) {
    offsets.push(used);
    used += width + NAME_GAP;
  }
  // means of neighbours until they ascend: the least squares of all shifts
  const blocks: { sum: number; count: number }[] = [];
  for (const [i, { left }] of marks.entries()) {
    let block = { sum: left - offsets[i]!, count: 1 };
    let last = blocks[blocks.length - 1];
    while (last !== undefined && last.sum / last.count > block.sum / block.count) {
      blocks.pop();
      block = { sum: last.sum + block.sum, count: last.count + block.count };
      last = blocks[blocks.length - 1];
    }
    blocks.push(block);
  }
  const least = plot.x - BESIDE;
  const most = plot.x + plot.width + BESIDE - used;
  let i = 0;
  for (const { sum, count } of blocks) {
    const at = Math.max(least, Math.min(most, sum / count));
    for (const end = i + count; i < end; i += 1) marks[i]!.left = at + offsets[i]!;
  }
}

/** Ticks at round seconds, under each its time and its frame; at round frames where the rate is not known. */
export function drawTimeAxis(sheet: Sheet, axis: TimeAxis): void {
  const { quality } = sheet.words;
  const { plot, frames } = axis;
  const isTimed = axis.rate_Hz > 0;
  const rate_Hz = isTimed ? axis.rate_Hz : 1;
  const y = plot.y + plot.height;
  const style = { stroke: COLOUR.grey, 'stroke-width': 0.5 };
  rule(sheet.root, plot.x, y, plot.x + plot.width, y, style);
  const end_s = (frames - 1) / rate_Hz;
  const step = end_s > 0 ? tickStep(0, end_s, MOST_TICKS) : 1;
  const decimals = step >= 1 ? 0 : step >= 0.1 ? 1 : step >= 0.01 ? 2 : 3;
  const text = { size: 'small', fill: COLOUR.grey, anchor: 'middle' } as const;
  for (const [i, time_s] of (end_s > 0 ? ticks(0, end_s, MOST_TICKS) : [0]).entries()) {
    const x = axis.x(time_s * rate_Hz);
    rule(sheet.root, x, y, x, y + 3, style);
    const seconds = `${plain(sheet.words, time_s, decimals)}${i === 0 ? ' s' : ''}`;
    if (isTimed) write(sheet, sheet.root, seconds, x, y + 11, text);
    write(sheet, sheet.root, formatFixed(time_s * rate_Hz, 0), x, y + 20, text);
  }
  const left = { size: 'small', fill: COLOUR.grey } as const;
  if (isTimed) write(sheet, sheet.root, quality.time, 0, y + 11, left);
  const rate = formatFixed(rate_Hz, 3)
    .replace(/\.?0+$/, '')
    .replace('.', sheet.words.decimal);
  const frame = isTimed ? fill(quality.frameAxis, { rate }) : quality.frameAxisUnknown;
  write(sheet, sheet.root, frame, 0, y + 20, left);
}
