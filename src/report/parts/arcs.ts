import { quantityById } from '../../model/catalogue.ts';
import type { MeanFigures, PlayerComparison } from '../../model/comparison.ts';
import type { Point, Points } from '../drawing/bodyLines.ts';
import { add, type Box, coordinate, overlaps, rule, type Sheet, textBox, write } from '../drawing/draw.ts';
import type { DrawnElement } from '../drawing/element.ts';
import { COLOUR } from '../drawing/theme.ts';
import { signedWithUnit } from '../sentences/numbers.ts';
import { inMargins } from '../sentences/ranking.ts';
import { isSaid, type SaidRow } from '../sentences/words.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { type Projection, piecesOf, type View } from './figures.ts';

/** Small arcs at the segments that depart: the two directions, the arc between them, the difference. */

/** Points: the arc below the pelvis, and the ticks at its ends. */
const PELVIS_RADIUS = 25;
const TICK = 4;
/** Metres: the arc of the chest runs just above the head. */
const ABOVE_HEAD_M = 0.17;
const RADIAN = Math.PI / 180;
/** At most so many arcs at a figure: the largest differences in margins. */
const MOST = 2;

interface Arc {
  readonly row: SaidRow;
  readonly label: string;
  /** Centre and the directions of group and reference, metres in G. */
  readonly at: Point;
  readonly group: Point;
  readonly reference: Point;
  readonly view: View;
  /** The pelvis axis is carried on downward, between or behind the legs, where nothing else is drawn; the others upward. */
  readonly down: boolean;
}

/** Long axis of a segment from turn, side bend and forward bend in degrees: second column of Ry·Rx·Rz (definitions 2). */
export function longAxis(turn: number, sideBend: number, forwardBend: number): Point {
  const [s, f, t] = [turn * RADIAN, sideBend * RADIAN, -forwardBend * RADIAN];
  return [
    -Math.cos(s) * Math.sin(t) + Math.sin(s) * Math.sin(f) * Math.cos(t),
    Math.cos(f) * Math.cos(t),
    Math.sin(s) * Math.sin(t) + Math.cos(s) * Math.sin(f) * Math.cos(t),
  ];
}

const SEGMENTS = [
  ['pelvis', 'pelvis_centre'],
  ['thorax', 'thorax_centre'],
] as const;

function labelText(words: Words, segment: string, row: SaidRow): string {
  const difference = signedWithUnit(words, row.difference, quantityById(row.quantity).decimals, row.unit);
  return fill(words.sheet.figures.arc, { segment, difference });
}

function arcsOf(words: Words, comparison: PlayerComparison, figure: MeanFigures): Arc[] {
  const at = (quantity: string): SaidRow | null => {
    const found = comparison.rows.find(
      (row) => row.quantity === quantity && row.position === figure.position && row.basis === 'value',
    );
    return found !== undefined && isSaid(found) ? found : null;
  };
  const { segments } = words.sheet.figures;
  const arcs: Arc[] = [];
  for (const [segment, centreName] of SEGMENTS) {
    const centre = figure.group[centreName] ?? figure.reference[centreName];
    const parts = (['turn', 'side_bend', 'forward_bend'] as const).map((part) => at(`${segment}.${part}`));
    if (centre === undefined || !parts.every((part) => part !== null)) continue;
    const irons = parts.map((part) => part.meanReference);
    // a bend is seen from the side it happens in: from the front once the segment has turned more than half way to it
    const turned = Math.abs(irons[0]!) > 45;
    for (const k of [1, 2] as const) {
      const row = parts[k]!;
      if (row.verdict !== 'departs') continue;
      // only this quantity differs between the two directions
      const driver = irons.map((value, i) => (i === k ? row.meanGroup : value));
      arcs.push({
        row,
        label: labelText(words, segments[segment], row),
        at: centre,
        group: longAxis(driver[0]!, driver[1]!, driver[2]!),
        reference: longAxis(irons[0]!, irons[1]!, irons[2]!),
        view: (k === 2) === turned ? 'front' : 'line',
        down: segment === 'pelvis',
      });
    }
  }
  for (const [id, view] of [
    ['trunk_axis.to_ball', 'line'],
    ['trunk_axis.to_trail', 'front'],
  ] as const) {
    const row = at(id);
    const centre = figure.group['pelvis_centre'] ?? figure.reference['pelvis_centre'];
    if (row === null || row.verdict !== 'departs' || centre === undefined) continue;
    const lean = (degrees: number): Point =>
      view === 'line'
        ? [Math.sin(degrees * RADIAN), Math.cos(degrees * RADIAN), 0]
        : [0, Math.cos(degrees * RADIAN), Math.sin(degrees * RADIAN)];
    const label = labelText(words, segments.trunk, row);
    arcs.push({
      row,
      label,
      at: centre,
      group: lean(row.meanGroup),
      reference: lean(row.meanReference),
      view,
      down: false,
    });
  }
  return arcs.sort((a, b) => inMargins(b.row) - inMargins(a.row)).slice(0, MOST);
}

/** Draws each arc in the view it belongs to; labels keep off the figures of all `views`, texts and the edge of their `area`. */
export function drawArcs(
  sheet: Sheet,
  parent: DrawnElement,
  comparison: PlayerComparison,
  figure: MeanFigures,
  views: readonly { readonly view: View; readonly project: Projection; readonly area: Box }[],
): void {
  const ink = views.flatMap(({ project }) => [
    ...obstacles(figure.group, project),
    ...obstacles(figure.reference, project),
  ]);

  for (const arc of arcsOf(sheet.words, comparison, figure)) {
    const own = views.find(({ view }) => view === arc.view);
    if (own === undefined) continue;
    const { project, area } = own;
    const centre = project(arc.at);
    const sense = arc.down ? -1 : 1;
    const [fromAngle, toAngle] = [arc.reference, arc.group].map((direction) => {
      const [x, y] = project([arc.at[0] + direction[0], arc.at[1] + direction[1], arc.at[2] + direction[2]]);
      return Math.atan2(sense * (y - centre[1]), sense * (x - centre[0]));
    }) as [number, number];
    const radius = arc.down ? PELVIS_RADIUS : radiusAbove(figure, arc.at, project);
    const on = (angle: number, r: number): readonly [number, number] => [
      centre[0] + r * Math.cos(angle),
      centre[1] + r * Math.sin(angle),
    ];
    const ray = (angle: number, style: Record<string, string | number>): void => {
      const [a, b] = [on(angle, arc.down ? 2 : radius - TICK), on(angle, radius + TICK)];
      rule(parent, a[0], a[1], b[0], b[1], { 'stroke-width': 1, ...style });
    };
    ray(fromAngle, { stroke: COLOUR.irons, 'stroke-dasharray': '2.2 1.5' });
    ray(toAngle, { stroke: COLOUR.driver });
    const [a, b] = [on(fromAngle, radius), on(toAngle, radius)];
    const sweep = Math.sin(toAngle - fromAngle) > 0 ? 1 : 0;
    add(parent, 'path', {
      d: `M${coordinate(a[0])} ${coordinate(a[1])}A${coordinate(radius)} ${coordinate(radius)} 0 0 ${sweep} ${coordinate(b[0])} ${coordinate(b[1])}`,
      fill: 'none',
      stroke: COLOUR.ink,
      'stroke-width': 1.8,
    });
    for (const angle of [fromAngle, toAngle]) {
      for (let r = arc.down ? 0 : radius - TICK; r <= radius + TICK; r += 2) ink.push(dot(...on(angle, r)));
    }
    placeLabel(sheet, parent, arc.label, on((fromAngle + toAngle) / 2, radius), area, ink);
  }
}

/** From the centre to just above the head, points. */
function radiusAbove(figure: MeanFigures, at: Point, project: Projection): number {
  const head = figure.group['head_centre'] ?? figure.reference['head_centre'];
  const centre = project(at);
  const up = project([at[0], at[1] + 1, at[2]]);
  const metre = centre[1] - up[1];
  if (head === undefined) return 0.5 * metre;
  const [x, y] = project(head);
  return Math.hypot(x - centre[0], y - centre[1]) + ABOVE_HEAD_M * metre;
}

/** Small boxes along the lines of a figure. */
function obstacles(points: Points, project: Projection): Box[] {
  const boxes: Box[] = [];
  for (const { path } of piecesOf(points, project)) {
    for (let i = 1; i < path.length; i++) {
      const [a, b] = [path[i - 1]!, path[i]!];
      const steps = Math.max(1, Math.ceil(Math.hypot(b[0] - a[0], b[1] - a[1]) / 3));
      for (let k = 0; k <= steps; k++) {
        boxes.push(dot(a[0] + ((b[0] - a[0]) * k) / steps, a[1] + ((b[1] - a[1]) * k) / steps));
      }
    }
  }
  const head = points['head_centre'];
  if (head !== undefined) {
    const [x, y] = project(head);
    const r = 0.1 * (y - project([head[0], head[1] + 1, head[2]])[1]);
    boxes.push({ x: x - r, y: y - r, width: 2 * r, height: 2 * r });
  }
  return boxes;
}

function dot(x: number, y: number): Box {
  return { x: x - 1, y: y - 1, width: 2, height: 2 };
}

/** The nearest place around `at` that covers no text and least ink; a leader where it had to move away. */
function placeLabel(
  sheet: Sheet,
  parent: DrawnElement,
  label: string,
  at: readonly [number, number],
  area: Box,
  ink: readonly Box[],
): void {
  const style = { size: 'small', weight: 'bold' } as const;
  let best: { x: number; y: number; cost: number; box: Box } | null = null;
  for (let ring = 0; ring < 9; ring++) {
    for (let step = 0; step < 16; step++) {
      const angle = (step * Math.PI) / 8;
      const reach = 7 + ring * 6;
      const wide = textBox(label, 0, 0, style).width / 2;
      const x = at[0] + (reach + wide * Math.abs(Math.cos(angle))) * Math.cos(angle) - wide;
      const y = at[1] + reach * Math.sin(angle) + 2.5;
      const box = textBox(label, x, y, style);
      const inside =
        box.x >= area.x &&
        box.x + box.width <= area.x + area.width &&
        box.y >= area.y &&
        box.y + box.height <= area.y + area.height;
      if (!inside || sheet.texts.some((other) => overlaps(box, other, 1))) continue;
      const cost = ink.filter((other) => overlaps(box, other, 1)).length * 12 + reach;
      if (best === null || cost < best.cost) best = { x, y, cost, box };
    }
  }
  if (best === null) return;
  const { box } = best;
  const edge: readonly [number, number] = [
    Math.min(Math.max(at[0], box.x), box.x + box.width),
    Math.min(Math.max(at[1], box.y + 1), box.y + box.height - 1),
  ];
  if (Math.hypot(edge[0] - at[0], edge[1] - at[1]) > 7) {
    rule(parent, at[0], at[1], edge[0], edge[1], { stroke: COLOUR.grey, 'stroke-width': 0.4 });
  }
  // where no place is clear of lines they fade behind the words
  if (ink.some((other) => overlaps(box, other))) {
    const { x, y, width, height } = box;
    add(parent, 'rect', { x, y: y + 1, width, height: height - 2, fill: COLOUR.paper, 'fill-opacity': 0.8 });
  }
  write(sheet, parent, label, best.x, best.y, style);
}
