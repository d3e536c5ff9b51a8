import type { GroupInfo, MeanFigures, PlayerComparison } from '../../model/comparison.ts';
import type { PositionId } from '../../model/positions.ts';
import type { SwingRecord } from '../../model/swingRecord.ts';
import { bodyLines, HEAD_RADIUS_M, MIDDLE, type Point, type Points } from '../drawing/bodyLines.ts';
import { add, type Box, coordinate, group, rule, type Sheet, write } from '../drawing/draw.ts';
import type { DrawnElement } from '../drawing/element.ts';
import { textWidth } from '../drawing/textMetrics.ts';
import { COLOUR, SIZE } from '../drawing/theme.ts';
import { listed } from '../sentences/numbers.ts';
import { positionName } from '../sentences/words.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { drawArcs } from './arcs.ts';

/**
 * The positions as figures of joint lines, driver over irons, from the front and along the target line: one scale, one ground
 * line, aligned on the pelvis centre at P1, the lead side heavier than the trail side.
 */

const SHOWN: readonly (readonly PositionId[])[] = [['P1'], ['P4', 'P4(arm)'], ['P5.5', 'P5'], ['P7']];

export type View = 'front' | 'line';

/** Metres in G to points on the page. */
export type Projection = (point: Point) => readonly [x: number, y: number];

/** Smallest distance between two figures, and the largest scale, points a metre. */
const GAP = 12;
const LARGEST_SCALE = 100;
/** Between the ground lines of two positions, points. */
const CELL_GAP = 12;
/** How far a label of one view may reach into the other's room, points. */
const REACH = 14;
/** Metres: room above the heads for an arc. */
const ARC_ROOM_M = 0.16;

/** Signs of the screen's x: a right-hander from the front has the target on the right, a left-hander, reflected back, on the left. */
function across(view: View, hand: 'left' | 'right'): (point: Point) => number {
  const sign = hand === 'right' ? 1 : -1;
  return view === 'front' ? (point) => -sign * point[2] : (point) => sign * point[0];
}

interface Extent {
  readonly low: number;
  readonly high: number;
}

function extentOf(figures: readonly MeanFigures[], of: (point: Point) => number, pad: number): Extent {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const figure of figures) {
    for (const points of [figure.group, figure.reference]) {
      for (const point of Object.values(points)) {
        low = Math.min(low, of(point) - pad);
        high = Math.max(high, of(point) + pad);
      }
    }
  }
  return { low, high };
}

/** Figures of the strip that exist, one for each place in it. */
export function shownFigures(comparison: PlayerComparison): readonly MeanFigures[] {
  return SHOWN.map((names) =>
    names
      .map((name) => comparison.figures.find((figure) => figure.position === name))
      .find((found) => found !== undefined),
  ).filter(
    (figure) => figure !== undefined && Object.keys({ ...figure.group, ...figure.reference }).length > 0,
  ) as MeanFigures[];
}

/** Highest top of a head, metres. */
function headTop(figures: readonly MeanFigures[]): number {
  const heads = figures.flatMap((figure) => [figure.group['head_centre'], figure.reference['head_centre']]);
  return Math.max(0, ...heads.map((head) => (head === undefined ? 0 : head[1] + HEAD_RADIUS_M)));
}

/** Why there is no strip: figures are aligned on the pelvis at P1, so without P1 there are none. `records` are the player's swings. */
export function noFiguresText(words: Words, comparison: PlayerComparison, records: readonly SwingRecord[]): string {
  const hasStart = (side: GroupInfo): boolean =>
    records.some(
      ({ head, figures }) => side.trials.includes(head.trial) && figures.some(({ position }) => position === 'P1'),
    );
  const without = [comparison.group, comparison.reference].filter((side) => !hasStart(side));
  const { none, noStart } = words.sheet.figures;
  const groups = listed(
    words,
    without.map(({ label }) => label),
  );
  return without.length === 0 ? none : fill(noStart, { groups });
}

/** Draws the strip into `box`; nothing where there are no figures. */
export function drawFigures(sheet: Sheet, comparison: PlayerComparison, box: Box): void {
  const figures = shownFigures(comparison);
  if (figures.length === 0) return;
  const up = extentOf(figures, (point) => point[1], 0);
  const ground = Math.min(up.low, 0.05);
  const head = 13;
  const foot = 11;
  const views = figures.flatMap((figure) =>
    (['front', 'line'] as const).map((view) => {
      const x = across(view, comparison.hand);
      return { figure, view, x, extent: extentOf([figure], x, HEAD_RADIUS_M) };
    }),
  );
  const spans = views.map(({ extent }) => extent.high - extent.low);
  const labels = views.map(
    ({ view }, i) =>
      textWidth(viewText(sheet.words, view, comparison.hand, i < 2), 'small') +
      4 +
      (i % 2 === 1 && i < views.length - 1 ? CELL_GAP : 0),
  );
  const widthsAt = (points: number): number[] => spans.map((span, i) => Math.max(points * span, labels[i]!));
  const needed = (points: number): number => widthsAt(points).reduce((sum, width) => sum + width, 0);
  const most = (box.height - head - foot) / (Math.max(up.high, headTop(figures) + ARC_ROOM_M) - ground);
  let scale = Math.min(most, LARGEST_SCALE);
  while (scale > 1 && needed(scale) + GAP * (views.length - 1) > box.width) scale *= 0.99;
  const widths = widthsAt(scale);
  const spare = (box.width - needed(scale)) / views.length;
  const groundY = box.y + box.height - foot;
  let left = box.x;
  figures.forEach((figure, i) => {
    const pair = views.slice(2 * i, 2 * i + 2);
    const cellWidth = widths[2 * i]! + widths[2 * i + 1]! + 2 * spare;
    const inner = cellWidth - (i === figures.length - 1 ? 0 : CELL_GAP);
    const name = positionName(sheet.words, figure.position);
    const cell = group(sheet.root, fill(sheet.words.sheet.figures.at, { position: figure.position, name }));
    const title = write(sheet, cell, figure.position, left, box.y + 7, { size: 'middle', weight: 'bold' });
    write(sheet, cell, name, left + title.width + 4, box.y + 7, { size: 'middle', width: inner - title.width - 4 });
    rule(cell, left, groundY, left + inner, groundY, { stroke: COLOUR.hairline, 'stroke-width': 0.5 });
    let start = left;
    const placed = pair.map(({ view, x, extent }, k) => {
      const width = widths[2 * i + k]!;
      const room = width + spare - (k === 1 ? cellWidth - inner : 0);
      const from = start + (room - scale * spans[2 * i + k]!) / 2;
      const project: Projection = (point) => [
        from + scale * (x(point) - extent.low),
        groundY - scale * (point[1] - ground),
      ];
      drawFigure(cell, figure.reference, project, scale, 'reference');
      drawFigure(cell, figure.group, project, scale, 'group');
      write(sheet, cell, viewText(sheet.words, view, comparison.hand, i === 0), start + room / 2, groundY + 9, {
        size: 'small',
        fill: COLOUR.grey,
        anchor: 'middle',
        width: room - 3,
      });
      // labels may reach a little into the other view's room, where they read as this one's still
      const labelsFrom = Math.max(left, start - REACH);
      const labelsTo = Math.min(left + inner, start + room + REACH);
      start += width + spare;
      const area: Box = {
        x: labelsFrom,
        y: box.y + head - 3,
        width: labelsTo - labelsFrom,
        height: groundY - box.y - head + 3,
      };
      return { view, project, area };
    });
    drawArcs(sheet, cell, comparison, figure, placed);
    left += cellWidth;
  });
}

/** The first figure also says where the target is. */
function viewText(words: Words, view: View, hand: 'left' | 'right', first: boolean): string {
  const { front, line, lineFirst, frontRight, frontLeft } = words.sheet.figures;
  if (!first) return view === 'line' ? line : front;
  if (view === 'line') return lineFirst;
  return hand === 'right' ? frontRight : frontLeft;
}

/** Line pieces of a figure on the page, for drawing and for keeping labels off them. */
export function piecesOf(
  points: Points,
  project: Projection,
): { width: number; path: (readonly [number, number])[] }[] {
  return bodyLines(points).map(({ width, path }) => ({ width, path: path.map(project) }));
}

function drawFigure(
  parent: DrawnElement,
  points: Points,
  project: Projection,
  scale: number,
  who: 'group' | 'reference',
): void {
  const style = who === 'group' ? { stroke: COLOUR.driver } : { stroke: COLOUR.irons, 'stroke-dasharray': '2.2 1.5' };
  const figure = add(parent, 'g', {
    ...style,
    fill: 'none',
    'stroke-linejoin': 'round',
    'stroke-linecap': who === 'group' ? 'round' : 'butt',
  });
  const byWidth = new Map<number, string[]>();
  for (const { width, path } of piecesOf(points, project)) {
    const d = path.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${coordinate(x)} ${coordinate(y)}`).join('');
    byWidth.set(width, [...(byWidth.get(width) ?? []), d]);
  }
  for (const [width, paths] of byWidth) add(figure, 'path', { d: paths.join(''), 'stroke-width': width });
  const head = points['head_centre'];
  if (head !== undefined) {
    const [cx, cy] = project(head);
    add(figure, 'circle', { cx, cy, r: scale * HEAD_RADIUS_M, 'stroke-width': MIDDLE });
  }
  const clubHead = points['head_point'];
  if (clubHead !== undefined) {
    const [cx, cy] = project(clubHead);
    add(figure, 'circle', {
      cx,
      cy,
      r: SIZE.small * 0.2,
      fill: style.stroke,
      'stroke-width': 0.4,
      'stroke-dasharray': 'none',
    });
  }
}
