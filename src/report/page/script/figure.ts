import { FILM_POINTS } from '../../../model/film.ts';
import { CURVE_STEPS } from '../../../model/swingRecord.ts';
import { bodyLines, HEAD_RADIUS_M, type Point, type Points } from '../../drawing/bodyLines.ts';
import { COLOUR } from '../../drawing/theme.ts';
import { type Camera, type Extent, extentOf, type Lens, lensOf } from './camera.ts';

/** What is drawn on the canvas. */
export interface Scene {
  readonly hand: 'left' | 'right';
  readonly camera: Camera;
  readonly step: number;
  /** Of the solid and of the dashed figure; null where there is none. */
  readonly places: readonly [Float64Array | null, Float64Array | null];
  readonly labels: readonly [string, string];
  readonly beside: boolean;
  /** Points of FILM_POINTS whose way through the whole swing is drawn. */
  readonly traces: readonly string[];
  readonly target: string;
}

const WIDTH = 3 * FILM_POINTS.length;

/** The places of one step; what is missing is absent. */
export function pointsAt(places: Float64Array | null, step: number): Points {
  const points: Record<string, Point> = {};
  if (places === null) return points;
  FILM_POINTS.forEach((id, p) => {
    const at = WIDTH * step + 3 * p;
    if (!Number.isNaN(places[at]!)) points[id] = [places[at]!, places[at + 1]!, places[at + 2]!];
  });
  return points;
}

/** All steps of both figures. */
function* wholeSwing(places: Scene['places']): Generator<Points> {
  for (const one of places) {
    for (let step = 0; one !== null && step < CURVE_STEPS; step += 2) yield pointsAt(one, step);
  }
}

const STYLES = [
  { colour: COLOUR.driver, text: COLOUR.driverText, dash: [] as number[] },
  { colour: COLOUR.irons, text: COLOUR.ironsText, dash: [7, 4] },
] as const;

/** Pixels around the figure, and for the name above it. */
const MARGIN = 14;
const NAME_ROOM = 18;
const FONT = "13px Helvetica, Arial, 'Liberation Sans', sans-serif";
/** Half a side of the square on the ground and the distance of its lines, metres. */
const GROUND_HALF_m = 1;
const GROUND_STEP_m = 0.5;

interface Frame {
  readonly context: CanvasRenderingContext2D;
  readonly lens: Lens;
  /** Pixels a metre. */
  readonly scale: number;
  readonly place: (point: Point) => readonly [number, number];
}

/** Draws the scene on a canvas of `width` × `height` CSS pixels. */
export function drawScene(context: CanvasRenderingContext2D, width: number, height: number, scene: Scene): void {
  const lens = lensOf(scene.camera, scene.hand);
  const extent = extentOf(wholeSwing(scene.places), lens, HEAD_RADIUS_M);
  context.clearRect(0, 0, width, height);
  if (extent === null) return;
  const columns = scene.beside ? 2 : 1;
  const room = width / columns;
  const scale = Math.min(
    (room - 2 * MARGIN) / (extent.right - extent.left),
    (height - 2 * MARGIN - NAME_ROOM) / (extent.top - extent.bottom),
  );
  for (let column = 0; column < columns; column++) {
    const frame = frameOf(context, lens, extent, scale, room * column, room, height);
    drawGround(frame, groundOf(scene.places), scene);
    const shown = scene.beside ? [column] : [1, 0];
    for (const who of shown) drawFigure(frame, scene, who as 0 | 1);
    if (scene.beside) {
      context.font = FONT;
      context.textAlign = 'center';
      context.fillStyle = STYLES[column as 0 | 1].text;
      context.fillText(scene.labels[column as 0 | 1], room * (column + 0.5), 14, room - 8);
    }
  }
}

function frameOf(
  context: CanvasRenderingContext2D,
  lens: Lens,
  extent: Extent,
  scale: number,
  left: number,
  room: number,
  height: number,
): Frame {
  const x0 = left + room / 2 - (scale * (extent.left + extent.right)) / 2;
  const y0 = height - MARGIN + scale * extent.bottom;
  return {
    context,
    lens,
    scale,
    place: (point) => {
      const [x, y] = lens(point);
      return [x0 + scale * x, y0 - scale * y];
    },
  };
}

/** Height of the lowest place of the body: the ground it stands on. */
function groundOf(places: Scene['places']): number {
  let lowest = Number.POSITIVE_INFINITY;
  for (const points of wholeSwing(places)) {
    for (const [id, point] of Object.entries(points)) if (id !== 'head_point') lowest = Math.min(lowest, point[1]);
  }
  return lowest;
}

/** A square on the ground; its lines run along and across the target line. */
function drawGround({ context, place }: Frame, ground: number, { target, camera }: Scene): void {
  context.setLineDash([]);
  context.lineWidth = 1;
  context.strokeStyle = COLOUR.faint;
  context.beginPath();
  for (let at = -GROUND_HALF_m; at <= GROUND_HALF_m; at += GROUND_STEP_m) {
    for (const [from, to] of [
      [
        [at, ground, -GROUND_HALF_m],
        [at, ground, GROUND_HALF_m],
      ],
      [
        [-GROUND_HALF_m, ground, at],
        [GROUND_HALF_m, ground, at],
      ],
    ] as [Point, Point][]) {
      context.moveTo(...place(from));
      context.lineTo(...place(to));
    }
  }
  context.stroke();
  const [x, y] = place([0, ground, -GROUND_HALF_m]);
  const [x0] = place([0, ground, 0]);
  if (Math.abs(x - x0) < 30 && camera.height < 0.5) return;
  context.font = FONT;
  context.fillStyle = COLOUR.grey;
  context.textAlign = 'center';
  context.fillText(x < x0 ? `← ${target}` : `${target} →`, x, y + 12);
}

function drawFigure({ context, place, scale }: Frame, scene: Scene, who: 0 | 1): void {
  const places = scene.places[who];
  if (places === null) return;
  const { colour, dash } = STYLES[who];
  const points = pointsAt(places, scene.step);
  context.strokeStyle = colour;
  context.fillStyle = colour;
  context.lineJoin = 'round';
  context.lineCap = dash.length === 0 ? 'round' : 'butt';
  for (const id of scene.traces) drawTrace({ context, place }, places, id, dash);
  context.globalAlpha = 1;
  context.setLineDash(dash);
  const thick = Math.max(1.4, scale / 62);
  for (const { width, path } of bodyLines(points)) {
    context.lineWidth = width * thick;
    context.beginPath();
    for (const point of path) context.lineTo(...place(point));
    context.stroke();
  }
  const head = points['head_centre'];
  if (head !== undefined) {
    context.lineWidth = 1.1 * thick;
    context.beginPath();
    context.arc(...place(head), scale * HEAD_RADIUS_M, 0, 2 * Math.PI);
    context.stroke();
  }
  context.setLineDash([]);
  for (const id of [...new Set(['head_point', ...scene.traces])]) {
    const point = points[id];
    if (point !== undefined) drawDot(context, place(point), who, thick);
  }
}

/** A full disc for the solid figure, a ring for the dashed one. */
function drawDot(context: CanvasRenderingContext2D, at: readonly [number, number], who: 0 | 1, thick: number): void {
  context.beginPath();
  context.arc(...at, 1.7 * thick, 0, 2 * Math.PI);
  if (who === 0) context.fill();
  else {
    context.save();
    context.fillStyle = COLOUR.paper;
    context.lineWidth = thick;
    context.fill();
    context.stroke();
    context.restore();
  }
}

function drawTrace(
  { context, place }: Pick<Frame, 'context' | 'place'>,
  places: Float64Array,
  id: string,
  dash: readonly number[],
): void {
  context.globalAlpha = 0.65;
  context.lineWidth = 1.2;
  context.setLineDash(dash.map((length) => length / 2));
  context.beginPath();
  let pen = false;
  for (let step = 0; step < CURVE_STEPS; step++) {
    const point = pointsAt(places, step)[id];
    if (point !== undefined) {
      if (pen) context.lineTo(...place(point));
      else context.moveTo(...place(point));
    }
    pen = point !== undefined;
  }
  context.stroke();
}
