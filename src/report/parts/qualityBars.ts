/** The rows of a quality figure: a line where a marker is measured, and by form and hue what stands in where it is not. */

import type { Fault } from '../../model/faults.ts';
import { type MarkerRun, UNMEASURED, type Unmeasured } from '../../model/markerRuns.ts';
import { add, coordinate, group, type Sheet, write } from '../drawing/draw.ts';
import type { DrawnElement } from '../drawing/element.ts';
import { textWidth } from '../drawing/textMetrics.ts';
import { COLOUR, LEADING } from '../drawing/theme.ts';
import { markerText, type QualityMarker } from './qualityRows.ts';
import type { TimeAxis } from './qualityTime.ts';

/** Half the height of a bar, points. */
const HALF = 3;
/** A single frame is never drawn thinner. */
const LEAST_WIDTH = 0.9;
const NAME_X = 46;
/** Right edges of the counts. */
const COUNTS = [528, 556, 592] as const;
const FAULTS_X = 620;

interface Form {
  /** Above and below the middle of the row, in halves. */
  readonly top: number;
  readonly bottom: number;
  readonly style: Readonly<Record<string, string | number>>;
}

/** Told apart by where they stand in the row, then by hue: whole, upper half, lower half, outlined. */
const FORMS: Readonly<Record<Exclude<Unmeasured, 'flown'>, Form>> = {
  rigid: { top: -1, bottom: 1, style: { fill: '#00796b' } },
  spline: { top: 0, bottom: 1, style: { fill: '#7b4fa3' } },
  components: { top: -1, bottom: 0, style: { fill: '#b07d00' } },
  missing: {
    top: -1,
    bottom: 1,
    style: { fill: COLOUR.paper, stroke: COLOUR.ink, 'stroke-width': 0.6 },
  },
};

const LINE = { fill: 'none', stroke: COLOUR.grey, 'stroke-width': 0.7 };

/** Rows from the top of the plot down, `height` points each, with their counts. */
export function drawMarkerRows(
  sheet: Sheet,
  axis: TimeAxis,
  rows: readonly QualityMarker[],
  faults: readonly Fault[],
  height: number,
): void {
  if (rows.length > 0) drawHeads(sheet, axis, faults.length > 0);
  let before: QualityMarker['group'] = null;
  rows.forEach((row, i) => {
    const middle = axis.plot.y + height * (i + 0.5);
    const baseline = middle + 2.5;
    const segments = row.group === null ? '' : sheet.words.quality.groups[row.group];
    if (row.group !== before) write(sheet, sheet.root, segments, 0, baseline, { size: 'small', fill: COLOUR.grey });
    before = row.group;
    const made = group(sheet.root, markerText(sheet.words, row));
    write(sheet, made, row.marker, NAME_X, baseline, { size: 'small', width: axis.plot.x - NAME_X - 6 });
    drawRuns(made, axis, row.runs, middle);
    for (const number of row.faults) drawFault(made, axis, faults[number - 1]!, middle);
    [row.notMeasured, row.filled, row.left].forEach((count, c) => {
      write(sheet, made, String(count), COUNTS[c]!, baseline, { size: 'small', anchor: 'end' });
    });
    write(sheet, made, faultNumbers(row.faults), FAULTS_X, baseline, { size: 'small', anchor: 'end' });
  });
}

/** '1, 3', cut where there are many. */
function faultNumbers(numbers: readonly number[]): string {
  const text = numbers.slice(0, 2).join(', ');
  return numbers.length > 2 ? `${text}…` : text;
}

function drawHeads(sheet: Sheet, axis: TimeAxis, hasFaults: boolean): void {
  const style = { size: 'small', fill: COLOUR.grey, anchor: 'end' } as const;
  const y = axis.plot.y - 2;
  const { heads, faultsHead } = sheet.words.quality;
  heads.forEach(([upper, lower], i) => {
    write(sheet, sheet.root, upper, COUNTS[i]!, y - LEADING.small, style);
    write(sheet, sheet.root, lower, COUNTS[i]!, y, style);
  });
  if (hasFaults) write(sheet, sheet.root, faultsHead, FAULTS_X, y, style);
}

function drawRuns(parent: DrawnElement, axis: TimeAxis, runs: readonly MarkerRun[], y: number): void {
  let line = '';
  let from = -0.5;
  for (const [first, last] of [...runs, [axis.frames, axis.frames] as const]) {
    if (first - 0.5 > from) line += `M${coordinate(axis.x(from))} ${coordinate(y)}H${coordinate(axis.x(first - 0.5))}`;
    from = last + 0.5;
  }
  if (line !== '') add(parent, 'path', { d: line, ...LINE });
  for (const what of UNMEASURED) {
    if (what === 'flown') continue;
    const form = FORMS[what];
    const d = runs
      .flatMap(([first, last, own]) => (own === what ? [barPath(axis, first, last, y, form)] : []))
      .join('');
    if (d !== '') add(parent, 'path', { d, ...form.style });
  }
}

function barPath(axis: TimeAxis, first: number, last: number, y: number, form: Form): string {
  const from = axis.x(first - 0.5);
  const width = Math.max(LEAST_WIDTH, axis.x(last + 0.5) - from);
  return boxPath(from, y, width, form);
}

function boxPath(x: number, y: number, width: number, { top, bottom }: Form): string {
  const w = coordinate(width);
  return `M${coordinate(x)} ${coordinate(y + top * HALF)}h${w}v${coordinate((bottom - top) * HALF)}h-${w}z`;
}

/** A line over each stretch with the sign of a fault at its start; at the left end of the row where a fault has no frames. */
function drawFault(parent: DrawnElement, axis: TimeAxis, { frames }: Fault, middle: number): void {
  const y = middle - HALF - 0.6;
  for (const [first, last] of frames) {
    const d = `M${coordinate(axis.x(first - 0.5))} ${coordinate(y)}H${coordinate(axis.x(last + 0.5))}`;
    add(parent, 'path', { d, fill: 'none', stroke: COLOUR.ink, 'stroke-width': 1 });
  }
  const starts = frames.length > 0 ? frames.map(([first]) => axis.x(first - 0.5)) : [axis.plot.x];
  for (const x of starts) drawFaultSign(parent, x, y);
}

function drawFaultSign(parent: DrawnElement, x: number, y: number): void {
  const d = `M${coordinate(x)} ${coordinate(y - 2.2)}l2.2 2.2l-2.2 2.2l-2.2 -2.2z`;
  add(parent, 'path', { d, fill: COLOUR.ink, stroke: COLOUR.paper, 'stroke-width': 0.5 });
}

/** What the forms mean, of those in the figure; one line, its baseline at y. */
export function drawQualityKey(sheet: Sheet, rows: readonly QualityMarker[], y: number): void {
  const { quality } = sheet.words;
  const middle = y - 2.5;
  let x = 0;
  const name = (label: string): void => {
    write(sheet, sheet.root, label, x, y, { size: 'small', fill: COLOUR.grey });
    x += textWidth(label, 'small') + 14;
  };
  add(sheet.root, 'path', { d: `M${coordinate(x)} ${coordinate(middle)}h14`, ...LINE });
  x += 18;
  name(quality.measured);
  for (const what of UNMEASURED) {
    if (what === 'flown' || !rows.some(({ runs }) => runs.some((run) => run[2] === what))) continue;
    add(sheet.root, 'path', { d: boxPath(x, middle, 14, FORMS[what]), ...FORMS[what].style });
    x += 18;
    name(quality.kinds[what]);
  }
  if (!rows.some(({ faults }) => faults.length > 0)) return;
  drawFaultSign(sheet.root, x + 2.2, middle);
  x += 8;
  name(quality.faultKey);
}
