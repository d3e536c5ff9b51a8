import { extent } from 'd3-array';
import { scaleLinear } from 'd3-scale';
import { area, line } from 'd3-shape';
import { quantityById } from '../../model/catalogue.ts';
import type { ComparisonRow, CurveSummary, PlayerComparison } from '../../model/comparison.ts';
import { FULL_CURVE_ROWS, REDUCED_CURVE_ROWS } from '../../model/sheetCurves.ts';
import { CURVE_POSITIONS, CURVE_STEPS } from '../../model/swingRecord.ts';
import { add, type Box, coordinate, group, overlaps, rule, type Sheet, textBox, write } from '../drawing/draw.ts';
import type { DrawnElement } from '../drawing/element.ts';
import { drawSign } from '../drawing/signs.ts';
import { COLOUR, IRONS_DASH } from '../drawing/theme.ts';
import { plain, unitText } from '../sentences/numbers.ts';
import { capital } from '../sentences/ranking.ts';
import { labelOf } from '../sentences/words.ts';
import { fill } from '../words/fill.ts';
import { inkBoxes, nameLines, writeClear } from './curveLabels.ts';
import { differsText, drawStretches } from './curveStretches.ts';

/**
 * Curves in rows of three: irons as bands of ±1 and ±2 SD with a dashed mean, each driver swing thin, their mean thick;
 * along x the positions, spaced by the irons' mean times.
 */

/** The quantities to draw: segments where any segment has a curve, lines of joint centres otherwise. */
export function curveRows(comparison: PlayerComparison): readonly (readonly string[])[] {
  const has = (id: string): boolean => comparison.curves.some((curve) => curve.quantity === id && isDrawn(curve));
  return FULL_CURVE_ROWS.flat().some(has) ? FULL_CURVE_ROWS : REDUCED_CURVE_ROWS;
}

export function isDrawn(curve: CurveSummary): boolean {
  return curve.groupMean.some(Number.isFinite) || curve.referenceMean.some(Number.isFinite);
}

/** Times of the 81 steps; even spacing where they are not known. */
export function stepTimes(comparison: PlayerComparison): Float64Array {
  return knownStepTimes(comparison) ?? Float64Array.from({ length: CURVE_STEPS }, (_, step) => step);
}

/** Seconds from impact of the 81 steps in the irons' mean timing, before it below 0; null where no times are known. */
export function knownStepTimes(comparison: PlayerComparison): Float64Array | null {
  const known = CURVE_POSITIONS.map((position) => {
    const entry = comparison.times.find((time) => time.position === position);
    return entry?.reference_s ?? entry?.group_s ?? null;
  });
  const marks = known
    .map((time, i) => ({ step: 10 * i, time }))
    .filter((mark): mark is { step: number; time: number } => mark.time !== null);
  const increasing = marks.every((mark, i) => i === 0 || mark.time > marks[i - 1]!.time);
  if (marks.length < 2 || !increasing) return null;
  return Float64Array.from({ length: CURVE_STEPS }, (_, step) => {
    const after = Math.max(
      1,
      marks.findIndex((mark) => mark.step >= step),
    );
    const k = marks[marks.length - 1]!.step < step ? marks.length - 1 : after;
    const [a, b] = [marks[k - 1]!, marks[k]!];
    return a.time + ((b.time - a.time) * (step - a.step)) / (b.step - a.step);
  });
}

/** Draws the six panels into `box`. */
export function drawCurves(sheet: Sheet, comparison: PlayerComparison, box: Box): void {
  const rows = curveRows(comparison);
  const columns = 3;
  const gapX = 16;
  const gapY = 9;
  const width = (box.width - gapX * (columns - 1)) / columns;
  const height = (box.height - gapY * (rows.length - 1)) / rows.length;
  rows.forEach((row, j) => {
    row.forEach((id, i) => {
      const panel: Box = { x: box.x + i * (width + gapX), y: box.y + j * (height + gapY), width, height };
      drawCurve(sheet, comparison, id, panel, i === 0 && j === 0);
    });
  });
}

/** The curve of a quantity where either side has values, otherwise null. */
export function drawnCurve(comparison: PlayerComparison, id: string): CurveSummary | null {
  const curve = comparison.curves.find((entry) => entry.quantity === id);
  return curve !== undefined && isDrawn(curve) ? curve : null;
}

/** Draws the panel of one quantity into `box`; `named`: with the names of the two sides beside their lines. */
export function drawCurve(sheet: Sheet, comparison: PlayerComparison, id: string, box: Box, named: boolean): void {
  drawPanel(sheet, comparison, id, drawnCurve(comparison, id), stepTimes(comparison), box, named);
}

const AXIS_WIDTH = 20;
const TITLE_HEIGHT = 10;
const FOOT_HEIGHT = 12;

function drawPanel(
  sheet: Sheet,
  comparison: PlayerComparison,
  id: string,
  curve: CurveSummary | null,
  times: Float64Array,
  box: Box,
  named: boolean,
): void {
  const quantity = quantityById(id);
  const { curves } = sheet.words.sheet;
  const label = labelOf(sheet.words, id);
  const panel = group(sheet.root, fill(curves.of, { quantity: label, differs: differsText(sheet.words, curve) }));
  const title = capital(label);
  const unit = quantity.unit === 'deg' ? ', °' : `,${unitText(quantity.unit)}`;
  write(sheet, panel, `${title}${unit}`, box.x, box.y + 7, { size: 'middle', weight: 'bold', width: box.width });
  const plot: Box = {
    x: box.x + AXIS_WIDTH,
    y: box.y + TITLE_HEIGHT + 2,
    width: box.width - AXIS_WIDTH,
    height: box.height - TITLE_HEIGHT - FOOT_HEIGHT - 2,
  };
  if (curve === null) {
    write(sheet, panel, curves.missing, plot.x, plot.y + 12, {
      size: 'small',
      fill: COLOUR.grey,
      width: plot.width,
    });
    return;
  }
  drawPlot(sheet, panel, comparison, curve, times, plot, named);
}

/** Axes, bands, curves and signs inside `plot`; the names of the positions stand below it. Returns the values at its lower and upper edge. */
export function drawPlot(
  sheet: Sheet,
  panel: DrawnElement,
  comparison: PlayerComparison,
  curve: CurveSummary,
  times: Float64Array,
  plot: Box,
  named: boolean,
): { readonly low: number; readonly high: number } {
  const quantity = sheet.words.quantities.of(curve.quantity);
  const x = scaleLinear([times[0]!, times[CURVE_STEPS - 1]!], [plot.x, plot.x + plot.width]);
  const [low, high] = valueExtent(curve);
  // a line of text of room above and below for the words of the two directions
  const room = ((high - low || 1) * 9) / Math.max(20, plot.height - 18);
  const y = scaleLinear([low - room, high + room], [plot.y + plot.height, plot.y]);
  drawAxes(sheet, panel, comparison, times, x, y, plot);
  drawBands(panel, curve, times, x, y);
  drawSwings(panel, curve, times, x, y);
  drawSigns(panel, comparison, curve.quantity, curve, times, x, y);
  const inks = inkBoxes(curve, times, x, y);
  const up = `↑ ${quantity.plus}`;
  const down = `↓ ${quantity.minus}`;
  writeClear(sheet, panel, up, plot, plot.y + 6, inks);
  writeClear(sheet, panel, down, plot, plot.y + plot.height - 3, inks);
  drawStretches(panel, curve, times, x, plot);
  if (named) nameLines(sheet, panel, comparison, curve, times, x, y, plot, inks);
  return { low: low - room, high: high + room };
}

type Scale = (value: number) => number;

function valueExtent(curve: CurveSummary): [number, number] {
  const values: number[] = [];
  curve.referenceMean.forEach((mean, i) => {
    const sd = curve.referenceSd[i]!;
    const half = Number.isFinite(sd) ? 2 * sd : 0;
    values.push(mean - half, mean + half, curve.groupMean[i]!);
  });
  for (const swing of curve.groupCurves) values.push(...swing.values);
  const [low, high] = extent(values.filter(Number.isFinite));
  return [low ?? 0, high ?? 1];
}

function drawAxes(
  sheet: Sheet,
  panel: DrawnElement,
  comparison: PlayerComparison,
  times: Float64Array,
  x: Scale,
  y: ReturnType<typeof scaleLinear<number, number>>,
  plot: Box,
): void {
  for (const tick of y.ticks(4)) {
    const at = y(tick);
    if (at < plot.y + 4 || at > plot.y + plot.height - 4) continue;
    rule(panel, plot.x, at, plot.x + plot.width, at, {
      stroke: tick === 0 ? COLOUR.hairline : COLOUR.faint,
      'stroke-width': 0.5,
    });
    write(sheet, panel, plain(sheet.words, tick, 0), plot.x - 3, at + 2.4, {
      size: 'small',
      anchor: 'end',
      fill: COLOUR.grey,
    });
  }
  const bottom = plot.y + plot.height;
  const lines: string[] = [];
  const boxes: Box[] = [];
  // where labels are too close the later in this list goes without
  const known = CURVE_POSITIONS.filter((position) =>
    comparison.times.some((time) => time.position === position && (time.reference_s ?? time.group_s) !== null),
  );
  for (const position of ['P1', 'P4', 'P7', 'P9', 'P2', 'P3', 'P5', 'P8', 'P6'] as const) {
    const at = x(times[10 * CURVE_POSITIONS.indexOf(position)]!);
    if (known.length > 0 && !known.includes(position)) continue;
    lines.push(`M${coordinate(at)} ${coordinate(bottom)}v3`);
    if (position === 'P4' || position === 'P7') {
      rule(panel, at, plot.y, at, bottom, { stroke: COLOUR.hairline, 'stroke-width': 0.5 });
    }
    const end = plot.x + plot.width;
    const style = {
      size: 'small',
      anchor: at > end - 5 ? 'end' : at < plot.x + 5 ? 'start' : 'middle',
      fill: COLOUR.grey,
    } as const;
    const label = textBox(position, at, bottom + 10, style);
    if (boxes.some((other) => overlaps(label, other, 1.5))) continue;
    boxes.push(label);
    write(sheet, panel, position, at, bottom + 10, style);
  }
  rule(panel, plot.x, bottom, plot.x + plot.width, bottom, { stroke: COLOUR.hairline, 'stroke-width': 0.5 });
  add(panel, 'path', { d: lines.join(''), stroke: COLOUR.grey, 'stroke-width': 0.5 });
}

/** The places of a curve. */
const STEPS = Array.from({ length: CURVE_STEPS }, (_, i) => i);

function drawBands(panel: DrawnElement, curve: CurveSummary, times: Float64Array, x: Scale, y: Scale): void {
  for (const [sds, colour] of [
    [2, COLOUR.ironsBand2],
    [1, COLOUR.ironsBand1],
  ] as const) {
    const band = area<number>()
      .defined((i) => Number.isFinite(curve.referenceMean[i]!) && Number.isFinite(curve.referenceSd[i]!))
      .x((i) => x(times[i]!))
      .y0((i) => y(curve.referenceMean[i]! - sds * curve.referenceSd[i]!))
      .y1((i) => y(curve.referenceMean[i]! + sds * curve.referenceSd[i]!))
      .digits(2)(STEPS);
    if (band !== null) add(panel, 'path', { d: band, fill: colour });
  }
  const d = pathOf(curve.referenceMean, times, x, y);
  if (d !== null) {
    add(panel, 'path', {
      d,
      fill: 'none',
      stroke: COLOUR.irons,
      'stroke-width': 1.1,
      'stroke-dasharray': IRONS_DASH,
    });
  }
}

function pathOf(values: Float64Array, times: Float64Array, x: Scale, y: Scale): string | null {
  return line<number>()
    .defined((i) => Number.isFinite(values[i]!))
    .x((i) => x(times[i]!))
    .y((i) => y(values[i]!))
    .digits(2)(STEPS);
}

function drawSwings(panel: DrawnElement, curve: CurveSummary, times: Float64Array, x: Scale, y: Scale): void {
  const thin = curve.groupCurves.map((swing) => pathOf(swing.values, times, x, y)).filter((d) => d !== null);
  if (thin.length > 0) {
    add(panel, 'path', { d: thin.join(''), fill: 'none', stroke: COLOUR.driverThin, 'stroke-width': 0.35 });
  }
  const mean = pathOf(curve.groupMean, times, x, y);
  if (mean !== null) add(panel, 'path', { d: mean, fill: 'none', stroke: COLOUR.driver, 'stroke-width': 1.3 });
}

/** At each position, on the driver's mean: the ± of the difference as a whisker and the sign of the verdict. */
function drawSigns(
  panel: DrawnElement,
  comparison: PlayerComparison,
  id: string,
  curve: CurveSummary,
  times: Float64Array,
  x: Scale,
  y: Scale,
): void {
  const rows = new Map<string, ComparisonRow>(
    comparison.rows.filter((row) => row.quantity === id && row.basis === 'value').map((row) => [row.position, row]),
  );
  const whiskers: string[] = [];
  const signs: (() => void)[] = [];
  CURVE_POSITIONS.forEach((position, i) => {
    const row = rows.get(position);
    const mean = curve.groupMean[10 * i]!;
    if (row === undefined || row.low95 === null || row.high95 === null || !Number.isFinite(mean)) return;
    const half = (row.high95 - row.low95) / 2;
    const at = x(times[10 * i]!);
    whiskers.push(`M${coordinate(at)} ${coordinate(y(mean - half))}V${coordinate(y(mean + half))}`);
    if (row.verdict === 'departs' || row.verdict === 'differs-slightly') {
      signs.push(() => drawSign(panel, row.verdict, at, y(mean), 2.3));
    }
  });
  if (whiskers.length > 0) add(panel, 'path', { d: whiskers.join(''), stroke: COLOUR.ink, 'stroke-width': 0.6 });
  for (const draw of signs) draw();
}
