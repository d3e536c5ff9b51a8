/** Swings whose thorax is known as rotations, with its main angles, or those of another order in their place. */
import { Euler, Matrix4 } from 'three';
import { quantityById } from '../../src/model/catalogue.ts';
import { POSITIONS, type PositionId } from '../../src/model/positions.ts';
import type { AngleOrder } from '../../src/model/quantity.ts';
import type { Cell, SwingRecord } from '../../src/model/swingRecord.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { DEG, slowRotation } from './numericOracles.ts';
import { twoGroups } from './swingRecords.ts';

export const PLACES = POSITIONS.filter((position) => position !== 'P4(arm)');
export const THORAX = ['thorax.turn', 'thorax.side_bend', 'thorax.forward_bend'] as const;
/** Axis of the segment that each of them turns about. */
const AXES = 'YXZ';

/** Turn, side bend and raw third angle of Y-X-Z in degrees. */
export type Posture = readonly [number, number, number];
export type PostureOf = (isDriver: boolean, position: PositionId, swing: number) => Posture;

/** The Cardan angles by axis, read by three. */
export function cardanByAxis(m: readonly number[], order: AngleOrder): Readonly<Record<string, number>> {
  const matrix = new Matrix4().set(
    m[0]!, m[1]!, m[2]!, 0, m[3]!, m[4]!, m[5]!, 0, m[6]!, m[7]!, m[8]!, 0, 0, 0, 0, 1,
  ); // biome-ignore format: rows
  const { x, y, z } = new Euler().setFromRotationMatrix(matrix, order as 'XYZ');
  return { X: x, Y: y, Z: z };
}

/** Eight swings each; the pelvis scatters about the same pose. The cells of the thorax are its angles in `order`, by axis. */
export function orderDay(postureOf: PostureOf, order: AngleOrder = 'YXZ', swings = 8): SwingRecord[] {
  const random = createRandom(7);
  const pelvis = (): Record<string, number> =>
    Object.fromEntries(
      ['pelvis.turn', 'pelvis.side_bend', 'pelvis.forward_bend'].flatMap((id) =>
        PLACES.map((position) => [`${id}@${position}`, 20 + random.normal()]),
      ),
    );
  const groups = [true, false].map((isDriver) =>
    Array.from({ length: swings }, (_, swing) =>
      Object.fromEntries(
        PLACES.map((position) => {
          const [a, b, c] = postureOf(isDriver, position, swing);
          return [position, slowRotation('YXZ', a * DEG, b * DEG, c * DEG)];
        }),
      ),
    ),
  );
  const records = twoGroups(Array.from({ length: swings }, pelvis), Array.from({ length: swings }, pelvis));
  return records.map((record, i) => {
    const m = groups[i < swings ? 0 : 1]![i % swings]!;
    const cells = PLACES.flatMap((position) => cellsOf(m[position]!, position, order));
    const poses = Object.fromEntries(PLACES.map((position) => [position, { pelvis: null, thorax: m[position]! }]));
    return { ...record, cells: [...record.cells, ...cells], poses };
  });
}

function cellsOf(m: readonly number[], position: PositionId, order: AngleOrder): Cell[] {
  const angles = cardanByAxis(m, order);
  return THORAX.map((id, i): Cell => {
    const { reading } = quantityById(id);
    const sign = reading.kind === 'orientation' ? reading.sign : 1;
    const value = sign * angles[AXES[i]!]!;
    return { quantity: id, position, value, plusMinus: null, order, unit: 'deg', flags: [], why: null };
  });
}
