import { describe, expect, it } from 'vitest';
import { orderAngles, rotationAt } from '../../src/compare/orderAngles.ts';
import type { OrderedRotation } from '../../src/model/analysisPlan.ts';
import { mainAnglesOf } from '../../src/model/orderSensitivity.ts';
import { ANGLE_ORDERS } from '../../src/model/quantity.ts';
import { rereadRecord } from '../../src/model/storedRecord.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import { storedRecordText } from '../../src/tables/storedRecord.ts';
import { slowRotation, worstDifference } from '../support/numericOracles.ts';
import { NOISY, truthCase } from '../support/truthCases.ts';

const ASKED: readonly OrderedRotation[] = [
  'pelvis', 'thorax', 'trunk', 'head', 'neck', 'lead_hip', 'trail_knee', 'lead_shoulder', 'trail_shoulder', 'lead_wrist', 'trail_foot',
]; // biome-ignore format: one glance
/** Row-major doubles of rotations: a few roundings. */
const ROUNDING = 1e-14;

const { trial, plan } = truthCase(3, NOISY);
// without a calibration the head has no zero but that of P1
const record = analyseTrial(trial, { ...plan, calibration: null, rotations: ASKED }, createWorkspace({ poison: true }));
const without = analyseTrial(trial, { ...plan, calibration: null }, createWorkspace({ poison: true }));

describe('rotations kept at the positions', () => {
  it('cost the record nothing but their own key, and read back from the stored record', () => {
    const { rotations, ...rest } = record;
    expect(Object.keys(rotations!)).toEqual(ASKED);
    expect(storedRecordText(rest)).toBe(storedRecordText(without));
    const stored = rereadRecord(storedRecordText(record));
    expect(stored.ok && stored.value.rotations).toEqual(rotations);
  });

  it('of pelvis, thorax and trunk are those that every record has', () => {
    for (const position of ['P1', 'P4', 'P7'] as const) {
      for (const name of ['pelvis', 'thorax', 'trunk'] as const) {
        const kept = record.rotations![name]![position]!;
        expect(worstDifference(kept, rotationAt(record, name, position)!)).toBeLessThan(ROUNDING);
      }
    }
  });

  it('give back every main angle of the record, whole turns apart', () => {
    let compared = 0;
    for (const row of orderAngles([record], ASKED)) {
      const main = mainAnglesOf(row.rotation);
      if (row.order !== main.order) continue;
      main.quantities.forEach((quantity, component) => {
        const reading = quantity?.reading;
        if (reading?.kind !== 'orientation' && reading?.kind !== 'joint') return;
        const cell = record.cells.find((one) => one.quantity === quantity!.id && one.position === row.position)!;
        const isOther = reading.kind === 'joint' && reading.otherSolution === true;
        const raw = row.angles![component]!;
        const other = component === 1 ? -raw : raw + Math.PI;
        const off = cell.value! - reading.sign * (isOther ? other : raw);
        // the middle angle of the head and of limbs passes through one more product than the cell
        expect(Math.abs(Math.sin(off / 2))).toBeLessThan(1e-12);
        compared += 1;
      });
    }
    expect(compared).toBeGreaterThan(200);
  });

  it('are the same rotation in each of the twelve orders, multiplied out by hand', () => {
    const rows = [...orderAngles([record], ['thorax', 'lead_hip', 'trail_foot'])];
    expect(new Set(rows.map(({ order }) => order))).toEqual(new Set(ANGLE_ORDERS));
    for (const { rotation, position, order, angles } of rows) {
      const [a, b, c] = angles!;
      expect(worstDifference(slowRotation(order, a, b, c), rotationAt(record, rotation, position)!)).toBeLessThan(
        ROUNDING,
      );
    }
  });

  it('a position that is not found has no row, one whose main angle is missing has rows without angles', () => {
    const positions = new Set([...orderAngles([record], ['thorax'])].map(({ position }) => position));
    const found = Object.entries(record.moments).flatMap(([position, moment]) => (moment.found ? [position] : []));
    expect([...positions].sort()).toEqual(found.sort());
    const lost = record.cells.map((cell) =>
      cell.quantity === 'thorax.turn' && cell.position === 'P7'
        ? { ...cell, value: null, why: { code: 'sample-missing', needed: 'a marker' } }
        : cell,
    );
    const rows = [...orderAngles([{ ...record, cells: lost }], ['thorax'])];
    expect(rows.filter(({ angles }) => angles === null).map(({ position }) => position)).toEqual(Array(12).fill('P7'));
  });
});
