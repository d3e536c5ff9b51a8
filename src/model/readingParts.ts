import type { DirectionId, PointId, SegmentId } from './motion.ts';
import type { Reading } from './quantity.ts';

/** A piece of a motion that a quantity is read from. */
export type MotionPart =
  | { readonly of: 'pose'; readonly id: SegmentId }
  | { readonly of: 'point'; readonly id: PointId }
  | { readonly of: 'direction'; readonly id: DirectionId };

const pose = (id: SegmentId): MotionPart => ({ of: 'pose', id });
const point = (id: PointId): MotionPart => ({ of: 'point', id });
const direction = (id: DirectionId): MotionPart => ({ of: 'direction', id });

/** The parts of a motion that a reading is made of at its position; empty for readings that need none (times, club figures). */
export function partsOf(reading: Reading): readonly MotionPart[] {
  switch (reading.kind) {
    case 'orientation':
    case 'inclination':
    case 'inclination-direction':
    case 'angular-speed':
      return [pose(reading.segment)];
    case 'joint':
      return [pose(reading.proximal), pose(reading.distal)];
    case 'turn-difference':
      return [pose('pelvis'), pose('thorax')];
    case 'displacement':
    case 'point-speed':
      return [point(reading.point)];
    case 'line-tilt':
    case 'line-turn':
    case 'line-lean':
    case 'address-heading':
      return [direction(reading.line)];
    case 'axis-tilt':
      return [point('pelvis_centre'), point('thorax_centre')];
    case 'bend':
      return [point(reading.from), point(reading.at), point(reading.to)];
    case 'direction-in':
      return [pose(reading.segment), point(reading.from), point(reading.to)];
    case 'address-distance':
      return [point(reading.from), point(reading.to)];
    case 'ball-place':
      return [point('lead_ankle'), point('trail_ankle')];
    case 'force':
    case 'order-of-motion':
    case 'order-gain':
    case 'club':
    case 'time':
    case 'time-ratio':
      return [];
  }
}
