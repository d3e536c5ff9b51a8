/** Angles between two named rotations of a C3D file: what `inspect --angles-between` shows. */
import { FormatError } from '../base/errors.ts';
import { nearestOf } from '../base/text.ts';
import type { C3dRotations } from '../c3d/types.ts';
import { rotationName } from '../intake/sensors/rotationSensors.ts';
import { ANGLE_ORDERS, type AngleOrder, anglesFromRotation, wrapAngle } from '../numeric/eulerAngles.ts';
import { mulT3 } from '../numeric/rotationKernels.ts';

const DEGREES = 180 / Math.PI;
/** Within this of the order's singular position the first and third angle are told to be unsteady (conventions of docs/definitions.md). */
const NEAR_SINGULAR_rad = Math.PI / 18;

export interface AnglesAsked {
  readonly parent: string;
  readonly child: string;
  readonly order: AngleOrder;
}

/** The orders there are, and the one of a name such as `zxy`; null where it is none. */
export const ORDER_NAMES: readonly string[] = ANGLE_ORDERS;
export function orderNamed(name: string): AngleOrder | null {
  return ANGLE_ORDERS.find((order) => order === name.toUpperCase()) ?? null;
}

/** Range of one angle over the frames that are not missing; null where all are. */
export interface AngleRange {
  readonly axis: string;
  readonly min_deg: number | null;
  readonly mean_deg: number | null;
  readonly max_deg: number | null;
}

export interface AnglesBetween extends AnglesAsked {
  readonly frames: number;
  /** Frames in which one of the two is invalid. */
  readonly missing: number;
  /** Frames within 10° of the singular position of the order. */
  readonly nearSingular: number;
  /** In the order of turning. */
  readonly angles: readonly AngleRange[];
}

/**
 * R_parent_child = R_file_parentᵀ · R_file_child of each frame as intrinsic angles in the order asked for, without any sign of the trade.
 * Each angle goes on from frame to frame without jumps of a turn, starting in (−180°, 180°]; its mean is that of these values.
 * @throws FormatError where the file has no rotation of that name
 */
export function anglesBetween(rotations: C3dRotations | null, asked: AnglesAsked, file: string): AnglesBetween {
  const parent = rotationAt(rotations, asked.parent, file);
  const child = rotationAt(rotations, asked.child, file);
  const { frames, matrices, labels } = rotations!;
  const R = new Float64Array(9);
  const angle = new Float64Array(3);
  const last = new Float64Array(3);
  const low = new Float64Array(3).fill(Number.POSITIVE_INFINITY);
  const high = new Float64Array(3).fill(Number.NEGATIVE_INFINITY);
  const sum = new Float64Array(3);
  let there = 0;
  let nearSingular = 0;
  for (let frame = 0; frame < frames; frame++) {
    mulT3(matrices, 9 * (parent * frames + frame), matrices, 9 * (child * frames + frame), R, 0);
    if (R.some(Number.isNaN)) continue;
    if (anglesFromRotation(R, 0, asked.order, angle) < NEAR_SINGULAR_rad) nearSingular += 1;
    for (let i = 0; i < 3; i++) {
      const value = there === 0 ? angle[i]! : last[i]! + wrapAngle(angle[i]! - last[i]!);
      last[i] = value;
      low[i] = Math.min(low[i]!, value);
      high[i] = Math.max(high[i]!, value);
      sum[i] = sum[i]! + value;
    }
    there += 1;
  }
  const inDegrees = (value: number): number | null => (there === 0 ? null : value * DEGREES);
  const angles = Array.from(asked.order, (axis, i) => ({
    axis,
    min_deg: inDegrees(low[i]!),
    mean_deg: inDegrees(sum[i]! / there),
    max_deg: inDegrees(high[i]!),
  }));
  const name = (index: number): string => labels[index]!.trim();
  const { order } = asked;
  return { parent: name(parent), child: name(child), order, frames, missing: frames - there, nearSingular, angles };
}

/** By its label as written, else without capitals and without the words that say it is a 4 × 4 matrix. */
function rotationAt(rotations: C3dRotations | null, name: string, file: string): number {
  const labels = rotations?.labels ?? [];
  const exact = labels.findIndex((label) => label.trim() === name.trim());
  if (exact >= 0) return exact;
  const plain = (text: string): string => rotationName(text).toLowerCase();
  const index = labels.findIndex((label) => plain(label) === plain(name));
  if (index >= 0) return index;
  const near = nearestOf(name, labels);
  throw new FormatError({
    file,
    code: 'rotation-not-found',
    offset: null,
    path: [],
    found: labels.length === 0 ? 'the file has no rotations' : `no rotation is called '${name}'`,
    expected: labels.length === 0 ? `a rotation called '${name}'` : labels.map((label) => label.trim()).join(', '),
    wayOut: near === null ? '' : `Did you mean ${near.trim()}?`,
  });
}
