import type { ClubFigureId } from './delivery.ts';
import type { DirectionId, PointId, SegmentId } from './motion.ts';
import type { Link, OrderMethod } from './orderOfMotion.ts';
import type { PositionId } from './positions.ts';
import type { Unit } from './units.ts';

/** All 12 intrinsic orders of a segment's axes. Stored with each value. */
export const ANGLE_ORDERS = [
  'XYZ', 'XZY', 'YXZ', 'YZX', 'ZXY', 'ZYX', 'XYX', 'XZX', 'YXY', 'YZY', 'ZXZ', 'ZYZ',
] as const; // biome-ignore format: one glance
/** The axes that three angles turn about, one after the other, moving with the segment. */
export type AngleOrder = (typeof ANGLE_ORDERS)[number];

/** How a quantity is read from a Motion: declared, interpreted in one stage. */
export type Reading =
  /** Cardan or Euler angle of R_G_segment: sign × component of the order. `unwrap`: continuous from P1. */
  | {
      readonly kind: 'orientation';
      readonly segment: SegmentId;
      readonly order: AngleOrder;
      readonly component: 0 | 1 | 2;
      readonly sign: 1 | -1;
      readonly unwrap: boolean;
    }
  /**
   * The same of R_proximal_distal. `otherSolution`: of the two triples of the order the one that `anglesFromRotation` does not give (Euler
   * orders: the middle angle negative, the others half a turn on). `unwrap`: continuous from P1.
   */
  | {
      readonly kind: 'joint';
      readonly proximal: SegmentId;
      readonly distal: SegmentId;
      readonly order: AngleOrder;
      readonly component: 0 | 1 | 2;
      readonly sign: 1 | -1;
      readonly otherSolution?: boolean;
      readonly unwrap?: boolean;
    }
  /** Angle by which a limb is bent at a joint centre, 0 straight; read only where not both of its segments have a frame. */
  | {
      readonly kind: 'bend';
      readonly from: PointId;
      readonly at: PointId;
      readonly to: PointId;
      readonly proximal: SegmentId;
      readonly distal: SegmentId;
    }
  /**
   * Direction from one point to another in a segment's axes: elevation above its X-Z plane, + proximal; heading in that plane, 0 = its X
   * (forward), + toward its Z (the trail side).
   */
  | {
      readonly kind: 'direction-in';
      readonly segment: SegmentId;
      readonly from: PointId;
      readonly to: PointId;
      readonly angle: 'elevation' | 'heading';
    }
  /** thorax turn − pelvis turn. */
  | { readonly kind: 'turn-difference' }
  /** Angle of the thorax Y axis to the vertical. */
  | { readonly kind: 'inclination'; readonly segment: SegmentId }
  /** Its horizontal direction in G: 0 = toward the ball, + toward the target. */
  | { readonly kind: 'inclination-direction'; readonly segment: SegmentId }
  /** Displacement of a point from its own place at P1. axis: 'target' = −Z of G, 'ball' = +X, 'rise' = +Y. `over`: as a share of standing height. */
  | {
      readonly kind: 'displacement';
      readonly point: PointId;
      readonly axis: 'target' | 'ball' | 'rise';
      readonly over?: 'height';
    }
  /** Elevation of a line, + when the lead side is higher. */
  | { readonly kind: 'line-tilt'; readonly line: DirectionId }
  /** Turn of a line about the vertical (reduced form), + opened toward the target; unwrapped from P1. */
  | { readonly kind: 'line-turn'; readonly line: DirectionId }
  /** Pelvis centre → thorax centre seen from the front, + away from the target. */
  | { readonly kind: 'axis-tilt' }
  /** Forward lean (toward the ball) of a direction in the plane across the target line, + toward the ball (reduced form). */
  | { readonly kind: 'line-lean'; readonly line: DirectionId; readonly toward: 'ball' | 'trail' }
  /** Angular speed of a segment from its rotation, about its own long axis (rad/s). */
  | { readonly kind: 'angular-speed'; readonly segment: SegmentId }
  /** Club figures at impact, from the delivery stage. */
  | { readonly kind: 'club'; readonly figure: ClubFigureId }
  /** Seconds between two positions, or their ratio. */
  | { readonly kind: 'time'; readonly from: PositionId; readonly to: PositionId }
  | {
      readonly kind: 'time-ratio';
      readonly of: readonly [PositionId, PositionId];
      readonly over: readonly [PositionId, PositionId];
    }
  /** At P1 alone: distance of two points, metres. */
  | { readonly kind: 'address-distance'; readonly from: PointId; readonly to: PointId }
  /** At P1 alone: horizontal direction of a line. 'square': as line-turn; of a foot, from the normal of the target line, + outward. */
  | { readonly kind: 'address-heading'; readonly line: DirectionId; readonly from: 'square' | 'lead-out' | 'trail-out' }
  /** At P1 alone: the ball along the target line, + toward the target: from the lead ankle, or as a share of the way from trail to lead ankle. */
  | { readonly kind: 'ball-place'; readonly as: 'length' | 'share' }
  /** Speed of a point, or its part toward the target (−Z of G). */
  | { readonly kind: 'point-speed'; readonly point: PointId; readonly part: 'whole' | 'target' }
  /** Once a swing: the fastest turning of a link on the way down: seconds before P7, or rad/s. */
  | {
      readonly kind: 'order-of-motion';
      readonly figure: 'time' | 'speed';
      readonly link: Link;
      readonly method: OrderMethod;
    }
  /** Its peak speed over that of the link before, by magnitude. */
  | { readonly kind: 'order-gain'; readonly link: Link }
  /** Force platforms under the feet. */
  | { readonly kind: 'force'; readonly figure: ForceFigure };

export type ForceFigure = 'vertical' | 'vertical-share' | 'lead-share' | 'pressure-along' | 'pressure-across';

export type MarginRule =
  /** Display units. */
  | { readonly kind: 'absolute'; readonly value: number }
  /** Share of the mean of the two group means. */
  | { readonly kind: 'share'; readonly value: number };

/** One row of the catalogue. */
export interface Quantity {
  /** `<segment>.<component>`, snake case. */
  readonly id: string;
  /** A coach's words. */
  readonly label: string;
  /** The anatomical or technical term. */
  readonly term: string;
  readonly unit: Unit;
  /** What + and − mean, in words ("leans toward the ball" / "leans back"). */
  readonly plus: string;
  readonly minus: string;
  /** One sentence: how it is defined, with its source. */
  readonly definition: string;
  readonly order: AngleOrder | null;
  readonly reading: Reading;
  /** Tabulated at these positions; 'swing' for one value per swing. */
  readonly at: readonly PositionId[] | 'swing';
  readonly margin: MarginRule;
  /** Decimals in the report. */
  readonly decimals: number;
  /** Also compared as change since P1. */
  readonly change: boolean;
  /** 'full' needs segment frames; 'reduced' is given only where joint centres alone exist; 'any' in both. */
  readonly form: 'full' | 'reduced' | 'any';
  /** Carries the flag of an assumed target line. */
  readonly usesTarget: boolean;
  /** Absent when the target line is only assumed. */
  readonly needsTarget: boolean;
  /** Has a curve from P1 to P9. */
  readonly curve: boolean;
}

/** The turn that belongs to a side or forward bend; null where a quantity is not read with one. */
export function turnOf({ reading }: Quantity): string | null {
  const isBend = reading.kind === 'orientation' && reading.order === 'YXZ' && reading.component > 0;
  return isBend ? `${reading.segment}.turn` : null;
}
