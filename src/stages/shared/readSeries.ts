/** Reads quantities from a view of a motion: the one place where a declared reading becomes numbers. */

import type { OrderedRotation } from '../../model/analysisPlan.ts';
import { SINGULAR_BAND_rad } from '../../model/angles.ts';
import { type Avail, present } from '../../model/availability.ts';
import { jointOf } from '../../model/joints.ts';
import type { Motion, PointId, SegmentId } from '../../model/motion.ts';
import type { AngleOrder, Quantity, Reading } from '../../model/quantity.ts';
import { anglesOfRotations, wrapAngle } from '../../numeric/eulerAngles.ts';
import { mulT3 } from '../../numeric/rotation.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import type { MotionView } from './motionView.ts';
import type { PlacedReading } from './placedReadings.ts';

/** Values of a reading at every sample of a view, SI and radians, NaN where missing. */
export interface ReadValues {
  readonly values: Float64Array;
  /** 1 within 10° of the order's singular position; null where there is none. */
  readonly singular: Uint8Array | null;
}

/** Below this lean the direction of a lean means nothing, rad. */
const UPRIGHT_rad = (5 * Math.PI) / 180;

/** Readings that a view of a motion can give. */
export type MotionReading = Exclude<
  Reading,
  PlacedReading | { kind: 'club' | 'time' | 'time-ratio' | 'displacement' | 'order-of-motion' | 'order-gain' }
>;

export interface Reader {
  read(reading: MotionReading): Avail<ReadValues>;
  /** Raw intrinsic angles of a rotation in an order, by component. */
  ordered(rotation: OrderedRotation, order: AngleOrder): Avail<readonly [ReadValues, ReadValues, ReadValues]>;
}

interface Angles {
  readonly angles: readonly [Float64Array, Float64Array, Float64Array];
  readonly singular: Uint8Array;
}

/** A reader of a view. Each rotation is taken apart once per order, whatever is read from it. */
export function createReader(view: MotionView, ws: Workspace): Reader {
  const n = view.samples;
  const made = new Map<string, Avail<Angles>>();

  const relative = (proximal: SegmentId, distal: SegmentId): Avail<Float64Array> => {
    const a = view.pose(proximal);
    const b = view.pose(distal);
    if (!a.ok) return a;
    if (!b.ok) return b;
    const out = ws.float64(9 * n);
    for (let i = 0; i < n; i++) mulT3(a.value, 9 * i, b.value, 9 * i, out, 9 * i);
    return present(out);
  };

  const anglesOf = (name: string, order: AngleOrder, rotations: () => Avail<Float64Array>): Avail<Angles> => {
    const key = `${name}:${order}`;
    let angles = made.get(key);
    if (angles === undefined) {
      const R = rotations();
      angles = R.ok ? present(takeApart(R.value, n, order, ws)) : R;
      made.set(key, angles);
    }
    return angles;
  };

  const segmentAngles = (segment: SegmentId, order: AngleOrder) => anglesOf(segment, order, () => view.pose(segment));
  const jointAngles = (proximal: SegmentId, distal: SegmentId, order: AngleOrder) =>
    anglesOf(`${proximal}-${distal}`, order, () => relative(proximal, distal));

  const fromVector = (
    vector: Avail<Float64Array>,
    angle: (x: number, y: number, z: number) => number,
  ): Avail<ReadValues> => {
    if (!vector.ok) return vector;
    const values = ws.float64(n);
    const v = vector.value;
    for (let i = 0; i < n; i++) values[i] = angle(v[i]!, v[n + i]!, v[2 * n + i]!);
    return present({ values, singular: null });
  };

  const longAxis = (segment: SegmentId): Avail<Float64Array> => {
    const R = view.pose(segment);
    if (!R.ok) return R;
    const out = ws.float64(3 * n);
    for (let i = 0; i < n; i++) {
      for (let c = 0; c < 3; c++) out[c * n + i] = R.value[9 * i + 3 * c + 1]!;
    }
    return present(out);
  };

  const between = (from: PointId, to: PointId): Avail<Float64Array> => {
    const a = view.point(from);
    const b = view.point(to);
    if (!a.ok) return a;
    if (!b.ok) return b;
    const out = ws.float64(3 * n);
    for (let i = 0; i < 3 * n; i++) out[i] = b.value[i]! - a.value[i]!;
    return present(out);
  };

  const read = (reading: MotionReading): Avail<ReadValues> => {
    switch (reading.kind) {
      case 'orientation':
        return component(segmentAngles(reading.segment, reading.order), reading, n, ws);
      case 'joint':
        return component(jointAngles(reading.proximal, reading.distal, reading.order), reading, n, ws);
      case 'turn-difference': {
        const thorax = segmentAngles('thorax', 'YXZ');
        const pelvis = segmentAngles('pelvis', 'YXZ');
        return thorax.ok ? (pelvis.ok ? present(difference(thorax.value, pelvis.value, n, ws)) : pelvis) : thorax;
      }
      case 'inclination':
        return fromVector(longAxis(reading.segment), (x, y, z) => Math.atan2(Math.sqrt(x * x + z * z), y));
      case 'inclination-direction':
        return leanDirection(longAxis(reading.segment), n, ws);
      case 'line-tilt':
        return fromVector(view.direction(reading.line), (x, y, z) => Math.atan2(-y, Math.sqrt(x * x + z * z)));
      case 'line-turn':
        return fromVector(view.direction(reading.line), (x, _y, z) => Math.atan2(x, z));
      case 'line-lean':
        return fromVector(
          view.direction(reading.line),
          reading.toward === 'ball' ? (x, y) => Math.atan2(x, y) : (_x, y, z) => Math.atan2(z, y),
        );
      case 'axis-tilt':
        return fromVector(between('pelvis_centre', 'thorax_centre'), (_x, y, z) => Math.atan2(z, y));
      case 'angular-speed': {
        const rate = view.rate(reading.segment);
        return rate.ok ? present({ values: rate.value, singular: null }) : rate;
      }
      case 'bend':
        return bendAngle(between(reading.from, reading.at), between(reading.at, reading.to), n, ws);
      case 'direction-in':
        return directionIn(view.pose(reading.segment), between(reading.from, reading.to), reading.angle, n, ws);
    }
  };

  return {
    read,
    ordered(rotation, order) {
      const joint = jointOf(rotation);
      const angles =
        joint === null ? segmentAngles(rotation as SegmentId, order) : jointAngles(joint.proximal, joint.distal, order);
      if (!angles.ok) return angles;
      const part = (i: 0 | 1 | 2): ReadValues => ({
        values: angles.value.angles[i],
        singular: angles.value.singular,
      });
      return present([part(0), part(1), part(2)] as const);
    },
  };
}

function takeApart(R: Float64Array, n: number, order: AngleOrder, ws: Workspace): Angles {
  const angles = [ws.float64(n), ws.float64(n), ws.float64(n)] as const;
  const distances = ws.float64(n);
  anglesOfRotations(R, n, order, angles, distances);
  const singular = ws.uint8(n);
  for (let i = 0; i < n; i++) singular[i] = distances[i]! < SINGULAR_BAND_rad ? 1 : 0;
  return { angles, singular };
}

function component(
  from: Avail<Angles>,
  reading: Extract<MotionReading, { kind: 'orientation' | 'joint' }>,
  n: number,
  ws: Workspace,
): Avail<ReadValues> {
  if (!from.ok) return from;
  const { angles, singular } = from.value;
  const { component: which } = reading;
  const isOther = reading.kind === 'joint' && reading.otherSolution === true;
  const sign = isOther && which === 1 ? -reading.sign : reading.sign;
  const source = angles[which];
  let values = source;
  if (isOther && which !== 1) {
    values = ws.float64(n);
    for (let i = 0; i < n; i++) values[i] = wrapAngle(sign * (source[i]! + Math.PI));
  } else if (sign === -1) {
    values = ws.float64(n);
    for (let i = 0; i < n; i++) values[i] = 0 - source[i]!;
  }
  return present({ values, singular });
}

/** Angle between two directions, 0 where they point the same way. */
function bendAngle(
  upper: Avail<Float64Array>,
  lower: Avail<Float64Array>,
  n: number,
  ws: Workspace,
): Avail<ReadValues> {
  if (!upper.ok) return upper;
  if (!lower.ok) return lower;
  const a = upper.value;
  const b = lower.value;
  const values = ws.float64(n);
  for (let i = 0; i < n; i++) {
    const x = a[n + i]! * b[2 * n + i]! - a[2 * n + i]! * b[n + i]!;
    const y = a[2 * n + i]! * b[i]! - a[i]! * b[2 * n + i]!;
    const z = a[i]! * b[n + i]! - a[n + i]! * b[i]!;
    const cosine = a[i]! * b[i]! + a[n + i]! * b[n + i]! + a[2 * n + i]! * b[2 * n + i]!;
    values[i] = Math.atan2(Math.sqrt(x * x + y * y + z * z), cosine);
  }
  return present({ values, singular: null });
}

/** A direction in a segment's axes; its heading is "singular" within 10° of the segment's long axis. */
function directionIn(
  pose: Avail<Float64Array>,
  line: Avail<Float64Array>,
  angle: 'elevation' | 'heading',
  n: number,
  ws: Workspace,
): Avail<ReadValues> {
  if (!pose.ok) return pose;
  if (!line.ok) return line;
  const R = pose.value;
  const v = line.value;
  const values = ws.float64(n);
  const singular = angle === 'heading' ? ws.uint8(n) : null;
  for (let i = 0; i < n; i++) {
    const along = (axis: 0 | 1 | 2): number =>
      R[9 * i + axis]! * v[i]! + R[9 * i + 3 + axis]! * v[n + i]! + R[9 * i + 6 + axis]! * v[2 * n + i]!;
    const x = along(0);
    const y = along(1);
    const z = along(2);
    const flat = Math.sqrt(x * x + z * z);
    values[i] = angle === 'elevation' ? Math.atan2(y, flat) : Math.atan2(z, x);
    if (singular !== null) singular[i] = Math.atan2(flat, Math.abs(y)) < SINGULAR_BAND_rad ? 1 : 0;
  }
  return present({ values, singular });
}

/**
 * Whether a row of the catalogue is read of a motion: rows of the reduced form only where it is reduced, a bend only where its points are
 * there and not both of its segments have a frame, which give the joint angle instead.
 */
export function isRead({ form, reading }: Pick<Quantity, 'form' | 'reading'>, motion: Motion): boolean {
  if (reading.kind === 'bend') {
    const { from, at, to, proximal, distal } = reading;
    const isFull = motion.poses.get(proximal)?.ok === true && motion.poses.get(distal)?.ok === true;
    return !isFull && [from, at, to].every((point) => motion.points.get(point)?.ok === true);
  }
  return form !== 'reduced' || motion.form === 'reduced';
}

function difference(a: Angles, b: Angles, n: number, ws: Workspace): ReadValues {
  const values = ws.float64(n);
  const singular = ws.uint8(n);
  for (let i = 0; i < n; i++) {
    values[i] = wrapAngle(a.angles[0][i]! - b.angles[0][i]!);
    singular[i] = a.singular[i]! | b.singular[i]!;
  }
  return { values, singular };
}

/** Horizontal direction of a lean, 0 toward the ball (+X), + toward the target (−Z); "singular" when nearly upright. */
function leanDirection(axis: Avail<Float64Array>, n: number, ws: Workspace): Avail<ReadValues> {
  if (!axis.ok) return axis;
  const values = ws.float64(n);
  const singular = ws.uint8(n);
  for (let i = 0; i < n; i++) {
    const x = axis.value[i]!;
    const z = axis.value[2 * n + i]!;
    const lean = Math.sqrt(x * x + z * z);
    values[i] = Math.atan2(-z, x);
    singular[i] = lean < Math.sin(UPRIGHT_rad) ? 1 : 0;
  }
  return present({ values, singular });
}

/** Whether a reading is an angle that is made continuous from P1. */
export function isUnwrapped(reading: MotionReading): boolean {
  return (
    (reading.kind === 'orientation' && reading.unwrap) ||
    (reading.kind === 'joint' && reading.unwrap === true) ||
    reading.kind === 'turn-difference' ||
    reading.kind === 'line-turn'
  );
}

/** Readings of the motion alone, as against those of positions, the club or a displacement from P1. */
export function isMotionReading(reading: Reading): reading is MotionReading {
  switch (reading.kind) {
    case 'club':
    case 'time':
    case 'time-ratio':
    case 'displacement':
    case 'address-distance':
    case 'address-heading':
    case 'ball-place':
    case 'point-speed':
    case 'force':
    case 'order-of-motion':
    case 'order-gain':
      return false;
    default:
      return true;
  }
}
