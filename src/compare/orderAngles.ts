/** The angles of a segment or joint in all twelve orders, from the rotations that records hold at their positions. */
import type { OrderedRotation } from '../model/analysisPlan.ts';
import { SINGULAR_BAND_rad } from '../model/angles.ts';
import { jointOf } from '../model/joints.ts';
import type { SegmentId } from '../model/motion.ts';
import { isInEveryRecord, mainAnglesOf, type OrderAngles } from '../model/orderSensitivity.ts';
import { POSITIONS, type PositionId } from '../model/positions.ts';
import { ANGLE_ORDERS, type AngleOrder } from '../model/quantity.ts';
import type { Cell, SwingRecord } from '../model/swingRecord.ts';
import { anglesFromRotation } from '../numeric/eulerAngles.ts';
import { mulT3 } from '../numeric/rotation.ts';

/** Whether a record holds a rotation, be it missing at every position. */
export function holdsRotation(record: SwingRecord, rotation: OrderedRotation): boolean {
  return isInEveryRecord(rotation) || record.rotations?.[rotation] !== undefined;
}

/** Row-major rotation of a segment in the player frame, or R_proximal_distal of a joint, at a position; null where missing. */
export function rotationAt(
  record: SwingRecord,
  rotation: OrderedRotation,
  position: PositionId,
): readonly number[] | null {
  if (!isInEveryRecord(rotation)) return record.rotations?.[rotation]?.[position] ?? null;
  const poses = record.poses[position];
  const of = (segment: SegmentId): readonly number[] | null => poses?.[segment as 'pelvis' | 'thorax'] ?? null;
  const joint = jointOf(rotation);
  if (joint === null) return of(rotation as SegmentId);
  const [proximal, distal] = [of(joint.proximal), of(joint.distal)];
  if (proximal === null || distal === null) return null;
  const out = new Float64Array(9);
  mulT3(Float64Array.from(proximal), 0, Float64Array.from(distal), 0, out, 0);
  return [...out];
}

/** A rotation taken apart; null where it or, at a position, one of its main angles is missing: each other angle rests on all of it. */
export interface Apart {
  readonly angles: readonly [number, number, number];
  readonly singularDistance: number;
}

export function takenApart(m: readonly number[] | null, order: AngleOrder): Apart | null {
  if (m === null || m.some(Number.isNaN)) return null;
  const out = new Float64Array(3);
  const singularDistance = anglesFromRotation(Float64Array.from(m), 0, order, out);
  return { angles: [out[0]!, out[1]!, out[2]!], singularDistance };
}

export function isNearSingular({ singularDistance }: Apart): boolean {
  return singularDistance < SINGULAR_BAND_rad;
}

/** The cells of a rotation's main angles in one record, by position. */
export function mainCells(record: SwingRecord, rotation: OrderedRotation): ReadonlyMap<PositionId, readonly Cell[]> {
  const ids = new Set(mainAnglesOf(rotation).quantities.map((quantity) => quantity?.id));
  const out = new Map<PositionId, Cell[]>();
  for (const cell of record.cells) {
    if (cell.position === 'swing' || !ids.has(cell.quantity)) continue;
    out.set(cell.position, [...(out.get(cell.position) ?? []), cell]);
  }
  return out;
}

/** Flags of the main angles that hold in any order; that of their own singular position does not. */
export function sharedFlags(cells: readonly Cell[]): readonly string[] {
  const all = cells.flatMap(({ flags, why }) => [...flags, ...(why === null ? [] : [why.code])]);
  return [...new Set(all)].filter((flag) => flag !== 'near-singular');
}

/** All twelve orders of the rotations at every position that a swing has, in the order of records, rotations, positions and ANGLE_ORDERS. */
export function* orderAngles(
  records: readonly SwingRecord[],
  rotations: readonly OrderedRotation[],
): Generator<OrderAngles> {
  for (const record of records) {
    for (const rotation of rotations) {
      if (!holdsRotation(record, rotation)) continue;
      const cells = mainCells(record, rotation);
      for (const position of POSITIONS) {
        if (record.moments[position]?.found !== true) continue;
        const main = cells.get(position) ?? [];
        const m = main.some(({ value }) => value === null) ? null : rotationAt(record, rotation, position);
        for (const order of ANGLE_ORDERS) {
          const apart = takenApart(m, order);
          const near = apart !== null && isNearSingular(apart) ? ['near-singular'] : [];
          yield {
            head: record.head,
            rotation,
            position,
            order,
            angles: apart?.angles ?? null,
            singularDistance: apart?.singularDistance ?? null,
            flags: [...sharedFlags(main), ...near],
          };
        }
      }
    }
  }
}
