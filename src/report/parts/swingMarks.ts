import { extent } from 'd3-array';
import { scaleLinear } from 'd3-scale';
import { quantityById } from '../../model/catalogue.ts';
import type { PlayerComparison, SwingMarks } from '../../model/comparison.ts';
import { add, type Box, coordinate, group, rule, type Sheet, write } from '../drawing/draw.ts';
import type { DrawnElement } from '../drawing/element.ts';
import { drawSign } from '../drawing/signs.ts';
import { fitText, textWidth } from '../drawing/textMetrics.ts';
import { COLOUR } from '../drawing/theme.ts';
import { plain, signedWithUnit, unitText } from '../sentences/numbers.ts';
import { fill } from '../words/fill.ts';

/** A figure that every swing has once, on a horizontal scale: each swing a mark with its ± as a whisker, the irons' band behind them. */

/** Where the names of the two lanes stand, left of the scale, points. */
const NAMES = 34;

/** What a row says beside its marks. */
export interface RowWords {
  readonly title: string;
  /** What + means, '' where the numbers say it. */
  readonly plus: string;
  /** An interval drawn as a bracket over the group's lane, with the line that says what it is. */
  readonly band: { readonly from: number; readonly to: number; readonly text: string } | null;
}

type Scale = (value: number) => number;

/** Draws one row into `box`; `named`: with the names of the two lanes. */
export function drawMarks(
  sheet: Sheet,
  comparison: PlayerComparison,
  marks: SwingMarks,
  said: RowWords,
  box: Box,
  named = true,
): void {
  const row = comparison.rows.find((entry) => entry.quantity === marks.quantity && entry.basis === 'value');
  const panel = group(sheet.root, fill(sheet.words.sheet.impact.eachSwing, { title: said.title }));
  drawHead(sheet, panel, said, row, box);
  const mean = row?.meanReference ?? null;
  const sd = row?.sdReference ?? null;
  const bands = mean !== null && sd !== null ? [mean - 2 * sd, mean + 2 * sd] : [];
  const ends = [...marks.group, ...marks.reference].flatMap(({ value, plusMinus }) => [
    value - (plusMinus ?? 0),
    value + (plusMinus ?? 0),
  ]);
  const { band } = said;
  const [low, high] = extent([...ends, ...bands, ...(band === null ? [] : [band.from, band.to])]) as [number, number];
  const pad = (high - low) * 0.04 || 0.5;
  const x = scaleLinear([low - pad, high + pad], [box.x + NAMES, box.x + box.width]);
  const top = box.y + 11;
  const axis = box.y + box.height - 9 - (band === null ? 0 : BAND_LINE);
  const lane = (axis - top) / 2;
  if (mean !== null && sd !== null) {
    for (const [sds, fill] of [
      [2, COLOUR.ironsBand2],
      [1, COLOUR.ironsBand1],
    ] as const) {
      const left = x(mean - sds * sd);
      add(panel, 'rect', { x: left, y: top, width: x(mean + sds * sd) - left, height: axis - top, fill });
    }
  }
  if (band !== null) drawBand(sheet, panel, band, x, { ...box, y: top, height: lane }, axis);
  drawAxis(sheet, panel, x, x.ticks(5), box, axis);
  const lanes = { x: box.x, width: NAMES - 4, height: lane - 2 };
  drawLane(sheet, panel, marks.group, named ? comparison.group.label : '', x, { ...lanes, y: top + 1 }, 'group');
  drawLane(
    sheet,
    panel,
    marks.reference,
    named ? comparison.reference.label : '',
    x,
    { ...lanes, y: top + lane + 1 },
    'reference',
  );
}

function drawHead(
  sheet: Sheet,
  panel: DrawnElement,
  said: RowWords,
  row: PlayerComparison['rows'][number] | undefined,
  box: Box,
): void {
  const y = box.y + 7;
  let end = box.x + box.width;
  if (row !== undefined && row.difference !== null) {
    const text = signedWithUnit(sheet.words, row.difference, quantityById(row.quantity).decimals, row.unit);
    write(sheet, panel, text, end, y, { size: 'middle', anchor: 'end' });
    drawSign(panel, row.verdict, end - textWidth(text, 'middle') - 6, y - 3, 2.3);
    end -= textWidth(text, 'middle') + 12;
  }
  const named = write(sheet, panel, said.title, box.x, y, { size: 'middle', weight: 'bold', width: end - box.x });
  const plusX = named.x + named.width + 5;
  const plus = said.plus === '' ? '' : `+ ${said.plus}`;
  // a hint that would be cut says nothing
  if (plusX + textWidth(plus, 'small') <= end) {
    write(sheet, panel, plus, plusX, y, { size: 'small', fill: COLOUR.grey });
  }
}

/** Room below the scale for the line that says what the band is, points. */
export const BAND_LINE = 10;

/** A bracket over the group's lane, its meaning below the scale. */
function drawBand(
  sheet: Sheet,
  panel: DrawnElement,
  band: NonNullable<RowWords['band']>,
  x: Scale,
  lane: Box,
  axis: number,
): void {
  const style = { stroke: COLOUR.ink, 'stroke-width': 0.7, fill: 'none' };
  const bracket = (left: number, right: number, top: number, bottom: number): void => {
    const [a, b, t, e] = [left, right, top, bottom].map(coordinate);
    add(panel, 'path', { d: `M${a} ${e}V${t}H${b}V${e}`, ...style });
  };
  bracket(x(band.from), x(band.to), lane.y - 1, lane.y + lane.height);
  const y = axis + 8.8 + BAND_LINE - 1;
  bracket(lane.x + 0.4, lane.x + 7, y - 4.6, y);
  write(sheet, panel, band.text, lane.x + 10, y, { size: 'small', fill: COLOUR.grey, width: lane.width - 10 });
}

function drawAxis(sheet: Sheet, panel: DrawnElement, x: Scale, ticks: readonly number[], box: Box, axis: number): void {
  const left = box.x + NAMES;
  const right = box.x + box.width;
  rule(panel, left, axis, right, axis, { stroke: COLOUR.hairline, 'stroke-width': 0.5 });
  // a little more, so that a step of 0.1 which binary makes 0.09999… counts as one
  const step = 1.001 * (ticks.length > 1 ? ticks[1]! - ticks[0]! : 1);
  const decimals = step >= 1 ? 0 : step >= 0.1 ? 1 : step >= 0.01 ? 2 : 3;
  // every second tick, or fewer, where the numbers would touch
  const widest = Math.max(0, ...ticks.map((tick) => textWidth(plain(sheet.words, tick, decimals), 'small'))) + 5;
  const apart = ticks.length > 1 ? x(ticks[1]!) - x(ticks[0]!) : widest;
  const every = Math.max(1, Math.ceil(widest / apart));
  ticks.forEach((tick, i) => {
    const at = x(tick);
    rule(panel, at, axis, at, axis + 2.5, { stroke: COLOUR.grey, 'stroke-width': 0.5 });
    const text = plain(sheet.words, tick, decimals);
    const half = textWidth(text, 'small') / 2;
    if (i % every !== 0 || at - half < left - 6 || at + half > right + 2) return;
    write(sheet, panel, text, at, axis + 8.8, { size: 'small', anchor: 'middle', fill: COLOUR.grey });
  });
}

const NAME_HEIGHT = 7;

/** One mark a swing, the first on top: in the order of the day, so that a drift is seen as a slope. */
function drawLane(
  sheet: Sheet,
  panel: DrawnElement,
  marks: SwingMarks['group'],
  label: string,
  x: Scale,
  box: Box,
  who: 'group' | 'reference',
): void {
  const text = who === 'group' ? COLOUR.driverText : COLOUR.ironsText;
  const colour = who === 'group' ? COLOUR.driver : COLOUR.irons;
  // two names always have a line each, however low the lanes are
  const away =
    who === 'group' ? Math.min(0, (box.height - NAME_HEIGHT) / 2) : Math.max(0, (NAME_HEIGHT - box.height) / 2);
  const baseline = box.y + box.height / 2 + 2.4 + away;
  write(sheet, panel, fitText(label, box.width - 4, 'small'), box.x, baseline, { size: 'small', fill: text });
  const pitch = box.height / Math.max(1, marks.length);
  const heightOf = (i: number): number => box.y + pitch * (i + 0.5);
  const whiskers = marks.map(({ value, plusMinus }, i) =>
    plusMinus === null
      ? ''
      : `M${coordinate(x(value - plusMinus))} ${coordinate(heightOf(i))}H${coordinate(x(value + plusMinus))}`,
  );
  const d = whiskers.join('');
  if (d !== '') add(panel, 'path', { d, stroke: colour, 'stroke-width': 0.4, fill: 'none' });
  for (const [i, mark] of marks.entries()) drawMark(panel, x(mark.value), heightOf(i), who);
}

/** The group's mark is a full disc, the reference's a hollow diamond. */
export function drawMark(panel: DrawnElement, x: number, y: number, who: 'group' | 'reference', radius = 1.3): void {
  if (who === 'group') {
    add(panel, 'circle', { cx: x, cy: y, r: radius, fill: COLOUR.driver });
    return;
  }
  const r = coordinate(radius);
  const d = `M${coordinate(x - radius)} ${coordinate(y)}l${r} -${r}l${r} ${r}l-${r} ${r}Z`;
  add(panel, 'path', { d, fill: COLOUR.paper, stroke: COLOUR.irons, 'stroke-width': 0.6 });
}

/** ', °' after a title; '' for a ratio. */
export function unitAfter(marks: SwingMarks): string {
  if (marks.unit === 'ratio') return '';
  return marks.unit === 'deg' ? ', °' : `, ${unitText(marks.unit).trim()}`;
}
