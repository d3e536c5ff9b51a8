import type { ClubFigureId } from './delivery.ts';
import { JOINTS, type JointId } from './joints.ts';
import type { Quantity, Reading } from './quantity.ts';
import { fromDisplay } from './units.ts';

/**
 * What markers stuck on elsewhere and skin over bone may do to a value, alike in all swings of a session: half-width of a 95 % interval,
 * display units, by quantity id or by what stands before its point (`pelvis`, `lead_hip`).
 */
export type Placement = Readonly<Record<string, number>>;

/**
 * Defaults in degrees. Landmarks put on again by several examiners, and skin over bone, turn trunk axes and flexions by 2 to 5°, rotations
 * about a limb's long axis by more: Della Croce and others 2005, Gait Posture 21:226-237 (landmarks); Leardini and others 2005, Gait Posture
 * 21:212-225 (skin); McGinley and others 2009, Gait Posture 29:360-369 (between sessions). All from memory: the figures are rounded
 * settings of this program, and never under the floor of definitions 9, 1° for a turn and 2° for an axial rotation of the arm.
 */
const AXES_DEG = 3;
/** Front and back landmarks of the pelvis lie near one another, so that their heights count most; as for sessions (definitions 8). */
const PELVIS_FORWARD_BEND_DEG = 5;
/** Flexion and the other planes of a limb joint, by the angle's number in its order. */
const LIMB_DEG = { flexion: 4, across: 5, axial: 10 } as const;
/** A line of two joint centres or face landmarks, each off by about 10 mm over 0.2 to 0.4 m; feet likewise. */
const LINE_DEG = 3;
/** The target line as it was laid out or drawn. Common practice, no source. */
const TARGET_DEG = 1;

const TURN_FLOOR_DEG = 1;
const ARM_AXIAL_FLOOR_DEG = 2;
const ARM = /_(upper_arm|forearm|hand)$/;

/** Defaults in millimetres. The place of a marker falls out of a displacement, skin does not: 5 to 20 mm (Leardini 2005, from memory). */
const MOVED_MM = 10;
const APART_MM = 10;

/** Angles of the club against the target line. The others are of the named points of this club itself: nothing is put on again. */
const AGAINST_TARGET: ReadonlySet<ClubFigureId> = new Set([
  'path',
  'face',
  'plane-direction',
  'late-plane-direction',
  'plane-after-direction',
]);

/**
 * The allowance of a quantity, SI; null where there is none: times, speeds and the order of motion, which a constant turn of axes hardly
 * changes, forces, shares and what is of the club itself. `set` goes before the defaults: the quantity's own entry, then that of its segment.
 */
export function placementOf(
  { id, unit, reading }: Pick<Quantity, 'id' | 'unit' | 'reading'>,
  set: Placement,
): number | null {
  const usual = standard(id, reading);
  const own = set[id] ?? (usual === null ? undefined : set[segmentOf(id)]);
  const allowed = own ?? usual;
  return allowed === null ? null : fromDisplay(Math.max(allowed, floorOf(reading)), unit);
}

/** Definitions 9: no turn better than 1°, no axial rotation of the arm better than 2°, whatever is set. */
function floorOf(reading: Reading): number {
  switch (reading.kind) {
    case 'orientation':
      return reading.unwrap ? TURN_FLOOR_DEG : 0;
    case 'turn-difference':
    case 'line-turn':
      return TURN_FLOOR_DEG;
    case 'joint':
      if (reading.component !== 2) return 0;
      return ARM.test(reading.distal) ? ARM_AXIAL_FLOOR_DEG : isJoint('trunk', reading) ? TURN_FLOOR_DEG : 0;
    default:
      return 0;
  }
}

/** What stands before the point of a quantity's name. */
export function segmentOf(id: string): string {
  return id.split('.')[0]!;
}

function standard(id: string, reading: Reading): number | null {
  switch (reading.kind) {
    case 'orientation':
      return id === 'pelvis.forward_bend' ? PELVIS_FORWARD_BEND_DEG : AXES_DEG;
    case 'inclination':
    case 'line-lean':
    case 'axis-tilt':
      return AXES_DEG;
    case 'inclination-direction':
    case 'turn-difference':
      // Two axes, each by itself; a direction of a lean is less sure than the lean.
      return AXES_DEG * Math.SQRT2;
    case 'joint':
      return ofJoint(reading);
    case 'bend':
      return LIMB_DEG.flexion;
    case 'direction-in':
      return LIMB_DEG.across;
    case 'line-tilt':
    case 'line-turn':
    case 'address-heading':
      return LINE_DEG;
    case 'displacement':
      return reading.over === 'height' ? null : MOVED_MM;
    case 'address-distance':
      return APART_MM;
    case 'ball-place':
      return reading.as === 'length' ? APART_MM : null;
    case 'club':
      return AGAINST_TARGET.has(reading.figure) ? TARGET_DEG : null;
    default:
      return null;
  }
}

function ofJoint(reading: Extract<Reading, { kind: 'joint' }>): number {
  const { order, component } = reading;
  if (isJoint('trunk', reading) || isJoint('neck', reading)) return AXES_DEG * Math.SQRT2;
  if (component === 2) return LIMB_DEG.axial;
  const isFlexion = component === 0 && order[0] !== order[2];
  return isFlexion ? LIMB_DEG.flexion : LIMB_DEG.across;
}

function isJoint(
  joint: JointId,
  { proximal, distal }: Pick<Extract<Reading, { kind: 'joint' }>, 'proximal' | 'distal'>,
): boolean {
  return JOINTS[joint].proximal === proximal && JOINTS[joint].distal === distal;
}
