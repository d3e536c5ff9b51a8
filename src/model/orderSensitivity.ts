/** What the other orders of axes make of one segment or joint, and of the verdicts about it. */
import type { OrderedRotation } from './analysisPlan.ts';
import { CATALOGUE } from './catalogue.ts';
import type { Basis, Verdict } from './comparison.ts';
import { jointOf } from './joints.ts';
import type { PositionId } from './positions.ts';
import type { AngleOrder, Quantity } from './quantity.ts';
import type { TrialHead } from './trial.ts';

/** Names of the three angles of an order, one after the other. */
export const COMPONENTS = ['first', 'second', 'third'] as const;
export type Component = 0 | 1 | 2;
export const ALL_COMPONENTS: readonly Component[] = [0, 1, 2];

/** The three angles of one order at one position of one swing. */
export interface OrderAngles {
  readonly head: TrialHead;
  readonly rotation: OrderedRotation;
  readonly position: PositionId;
  readonly order: AngleOrder;
  /** Radians; first and third in (−π, π], the second in [−π/2, π/2] or [0, π] (both outer axes the same). Null where the rotation is missing. */
  readonly angles: readonly [number, number, number] | null;
  /** From the order's singular position, rad. */
  readonly singularDistance: number | null;
  readonly flags: readonly string[];
}

/** One angle of one order at one position, judged as if its order were the main one. Degrees; raw angles, no trade sign. */
export interface OrderVerdict {
  readonly rotation: OrderedRotation;
  readonly position: PositionId;
  readonly basis: Basis;
  readonly order: AngleOrder;
  readonly component: Component;
  /** The main quantity whose place it takes in the comparison; null where there is none: then it is not judged. */
  readonly inPlaceOf: string | null;
  /** Whether it is the same kind of angle as that quantity, so that their verdicts may be set against each other. */
  readonly isCounterpart: boolean;
  readonly nGroup: number;
  readonly nReference: number;
  readonly meanGroup: number | null;
  readonly meanReference: number | null;
  readonly difference: number | null;
  readonly low95: number | null;
  readonly high95: number | null;
  readonly margin: number | null;
  readonly verdict: Verdict;
  /** Of the quantity whose place it takes. */
  readonly mainVerdict: Verdict | null;
  /** Whether the two differ; null where they may not be set against each other or one is none. */
  readonly changes: boolean | null;
  /** How many of the swings are within 10° of the order's singular position (of a change: there or at P1). */
  readonly nSingular: number;
  readonly reason: string;
}

/** A segment or joint in all twelve orders of axes: what the order does to the verdicts of a comparison. */
export interface OrderSensitivity {
  readonly rotation: OrderedRotation;
  readonly mainOrder: AngleOrder;
  /** By order as in ANGLE_ORDERS, then position, basis, component. */
  readonly rows: readonly OrderVerdict[];
  /** Why there are none, or ''. */
  readonly reason: string;
}

/** The quantities of the catalogue that are the angles of a rotation in its main order, by component; null where it has none. */
export interface MainAngles {
  readonly order: AngleOrder;
  readonly quantities: readonly [Quantity | null, Quantity | null, Quantity | null];
}

/** The main order of a rotation: that of its quantities; without any, turn first for a segment and the ISB's Z-X-Y for a joint. */
export function mainAnglesOf(rotation: OrderedRotation): MainAngles {
  const joint = jointOf(rotation);
  const own = CATALOGUE.filter(({ reading }) =>
    joint === null
      ? reading.kind === 'orientation' && reading.segment === rotation
      : reading.kind === 'joint' && reading.proximal === joint.proximal && reading.distal === joint.distal,
  );
  const of = (component: Component): Quantity | null =>
    own.find(({ reading }) => 'component' in reading && reading.component === component) ?? null;
  return { order: own[0]?.order ?? (joint === null ? 'YXZ' : 'ZXY'), quantities: [of(0), of(1), of(2)] };
}

const isEuler = (order: AngleOrder): boolean => order[0] === order[2];

/** Where an angle of an order stands beside the main order: the component whose place it takes, and whether it is the same kind of angle. */
export interface Place {
  readonly component: Component;
  readonly isCounterpart: boolean;
}

/**
 * The places that the three angles of an order take. Of two orders with three axes the angles about the same axis are counterparts, of two
 * orders that return to their first axis the angles of the same turn, where that axis is the same. Between the two kinds there are no
 * counterparts: the middle angle of the one is a tilt without a sign, and its outer two turn about one axis.
 */
export function placesOf(order: AngleOrder, main: AngleOrder): readonly [Place, Place, Place] {
  const axes = !isEuler(order) && !isEuler(main);
  const slots = isEuler(order) && isEuler(main) && order[0] === main[0];
  const place = (component: Component): Place => ({
    component: axes ? (main.indexOf(order[component]!) as Component) : component,
    isCounterpart: axes || slots,
  });
  return [place(0), place(1), place(2)];
}

/** Rotations that every record holds at its positions (`poses`); others are stored where they are asked for. */
export function isInEveryRecord(rotation: OrderedRotation): boolean {
  return rotation === 'pelvis' || rotation === 'thorax' || rotation === 'trunk';
}

/** The sign by which a raw angle becomes that of the main quantity it stands beside: + where the quantity has none. */
export function signOf(quantity: Quantity | null): 1 | -1 {
  if (quantity === null || !('sign' in quantity.reading)) return 1;
  const { reading } = quantity;
  // the other solution of the order turns its middle angle round
  const isTurnedRound = reading.kind === 'joint' && reading.otherSolution === true && reading.component === 1;
  return isTurnedRound ? (reading.sign === 1 ? -1 : 1) : reading.sign;
}
