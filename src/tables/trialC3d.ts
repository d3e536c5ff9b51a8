/** A swing as a C3D file: its markers as they were used, the axes of its segments and its angles as points, its positions as events. */
import type { C3dContent, C3dParameterContent } from '../c3d/writeC3d.ts';
import { writeC3d } from '../c3d/writeC3d.ts';
import { POSITIONS } from '../model/positions.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import type { AngleTriple, SegmentSeries, SwingSeries } from '../model/swingSeries.ts';
import { METRES_PER, toDisplay } from '../model/units.ts';
import { type FilePlaces, filePlaces } from './filePlaces.ts';

/** From a segment's origin to the point that shows an axis. */
const AXIS_m = 0.1;
const AXES = ['X', 'Y', 'Z'] as const;

export interface ProgramName {
  readonly name: string;
  readonly version: string;
}

/** One point of the file. */
interface CopiedPoint {
  readonly label: string;
  readonly description: string;
  readonly isAngle: boolean;
  /** The three values of a frame. */
  readonly at: (frame: number) => readonly [number, number, number];
}

/**
 * The bytes of the copy, in axes, unit and frame numbers of the recording (of sensors: of the lab frame, millimetres, angles alone). Points keep their labels, missing
 * samples have the residual −1, all others 0: they are processed. Of a segment `pelvis.O` is the origin and `pelvis.X`, `.Y`, `.Z` lie
 * 100 mm from it along its axes. Angles, degrees, are listed in POINT:ANGLES: `pelvis.YXZ` holds the three in the order of their axes with
 * the signs of the tables, `pelvis.ZXY.raw` those of an order that was asked for. Analog channels and platforms are not copied.
 */
export function trialC3dBytes(series: SwingSeries, record: SwingRecord, program: ProgramName): Uint8Array {
  const places = filePlaces(series, record.head.facts);
  const points = pointsOf(series, places);
  return writeC3d({
    labels: points.map(({ label }) => label),
    descriptions: points.map(({ description }) => description),
    units: places.units,
    rate_Hz: series.clock.rate_Hz,
    frames: series.clock.frames,
    firstFrame: places.firstFrame,
    xyz: columnsOf(points, series.clock.frames),
    word4: null,
    events: eventsOf(record),
    parameters: parametersOf(points, record, program),
  });
}

function pointsOf(series: SwingSeries, places: FilePlaces): readonly CopiedPoint[] {
  const { frames } = series.clock;
  const taken = new Set<string>();
  const named = (label: string, otherwise: string): string => {
    let free = taken.has(label) ? otherwise : label;
    for (let i = 2; taken.has(free); i++) free = `${otherwise}_${i}`;
    taken.add(free);
    return free;
  };
  const markers = series.points.map(({ landmark, label, data }): CopiedPoint => {
    return {
      label: named(label, landmark),
      description: landmark,
      isAngle: false,
      at: (f) => places.place(data[f]!, data[frames + f]!, data[2 * frames + f]!),
    };
  });
  const axes = series.segments.flatMap((segment) => axisPoints(segment, frames, places));
  const angles = series.angles.map((triple) => anglePoint(triple, frames));
  const own = [...axes, ...angles].map((point) => ({ ...point, label: named(point.label, point.label) }));
  return [...markers, ...own];
}

function axisPoints(
  { segment, origin, originPoint, pose }: SegmentSeries,
  frames: number,
  places: FilePlaces,
): CopiedPoint[] {
  if (origin === null) return [];
  const start = (f: number) => places.place(origin[f]!, origin[frames + f]!, origin[2 * frames + f]!);
  const length = AXIS_m / METRES_PER[places.units];
  const tip =
    (axis: 0 | 1 | 2) =>
    (f: number): readonly [number, number, number] => {
      const [x, y, z] = start(f);
      const [a, b, c] = places.axis(pose, f, axis);
      return [x + length * a, y + length * b, z + length * c];
    };
  const origins = { label: `${segment}.O`, description: `origin: ${originPoint}`, isAngle: false, at: start };
  const tips = AXES.map((name, i) => ({
    label: `${segment}.${name}`,
    description: `${name} axis, 100 mm from the origin`,
    isAngle: false,
    at: tip(i as 0 | 1 | 2),
  }));
  return [origins, ...tips];
}

function anglePoint({ rotation, order, parts, values, raw }: AngleTriple, frames: number): CopiedPoint {
  const at = (f: number, i: number): number => toDisplay(values[i * frames + f]!, 'deg');
  return {
    label: `${rotation}.${order}${raw ? '.raw' : ''}`,
    description: parts.map((part, i) => `${i + 1} ${part}`).join(', '),
    isAngle: true,
    at: (f) => [at(f, 0), at(f, 1), at(f, 2)],
  };
}

/** Planar columns of all points. A point is there as a whole or not at all. */
function columnsOf(points: readonly CopiedPoint[], frames: number): Float64Array {
  const xyz = new Float64Array(3 * points.length * frames);
  points.forEach(({ at }, p) => {
    for (let f = 0; f < frames; f++) {
      const value = at(f);
      const isThere = !Number.isNaN(value[0] + value[1] + value[2]);
      for (let c = 0; c < 3; c++) xyz[(3 * p + c) * frames + f] = isThere ? value[c]! : Number.NaN;
    }
  });
  return xyz;
}

function eventsOf({ moments }: SwingRecord): NonNullable<C3dContent['events']> {
  const events = POSITIONS.flatMap((label) => {
    const moment = moments[label];
    return moment?.found === true ? [{ label, context: 'General', time_s: moment.time_s }] : [];
  });
  return events.sort((a, b) => a.time_s - b.time_s);
}

function parametersOf(
  points: readonly CopiedPoint[],
  { head, sha256 }: SwingRecord,
  program: ProgramName,
): C3dParameterContent[] {
  const text = (group: string, name: string, value: string): C3dParameterContent[] =>
    value === '' ? [] : [{ group, name, type: 'char', text: [value], single: true }];
  const angles = points.filter(({ isAngle }) => isAngle).map(({ label }) => label);
  const listed: C3dParameterContent[] =
    angles.length === 0 ? [] : [{ group: 'POINT', name: 'ANGLES', type: 'char', text: angles }];
  return [
    ...listed,
    ...(angles.length === 0 ? [] : text('POINT', 'ANGLE_UNITS', 'deg')),
    ...text('MANUFACTURER', 'SOFTWARE', program.name),
    ...text('MANUFACTURER', 'VERSION_LABEL', program.version),
    ...text('SWINGBASIS', 'TRIAL', head.trial),
    ...text('SWINGBASIS', 'PLAYER', head.player),
    ...text('SWINGBASIS', 'CLUB', head.club ?? ''),
    ...text('SWINGBASIS', 'SHA256', sha256),
  ];
}
