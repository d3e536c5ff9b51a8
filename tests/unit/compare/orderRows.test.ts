import { describe, expect, it } from 'vitest';
import { type ComparePlan, compareRecords } from '../../../src/compare/compareRecords.ts';
import type { ComparisonRow } from '../../../src/model/comparison.ts';
import { DEFAULT_COMPARE } from '../../../src/model/dayPlan.ts';
import type { AngleOrder } from '../../../src/model/quantity.ts';
import type { Cell, SwingRecord } from '../../../src/model/swingRecord.ts';
import { COMPARISON, comparedRows } from '../../../src/tables/comparison.ts';
import { csvText } from '../../../src/tables/csv.ts';
import { DEG } from '../../support/numericOracles.ts';
import { cardanByAxis, orderDay, PLACES, type PostureOf } from '../../support/orderDay.ts';
import { clubPlan } from '../../support/plans.ts';
import { slowMean } from '../../support/slowStatistics.ts';

const PLAN: ComparePlan = {
  player: { id: 'wren', hand: 'right' },
  clubs: [clubPlan(), clubPlan({ id: 'iron7', kind: 'iron' }), clubPlan({ id: 'iron8', kind: 'iron' })],
  options: { ...DEFAULT_COMPARE, resamples: 20 },
};
const COMPONENTS = ['first', 'second', 'third'];
const turned =
  (turn: number): PostureOf =>
  (isDriver, position, swing) => [
    turn + 0.7 * (swing % 5) - (isDriver ? 3 : 0),
    PLACES.indexOf(position as 'P1') - swing,
    -30,
  ];

/** The cells that a record has of an order asked for, read by three. */
function withOrder(record: SwingRecord, order: AngleOrder): SwingRecord {
  const cells = PLACES.flatMap((position) => {
    const angles = cardanByAxis(record.poses[position]!.thorax!, order);
    return COMPONENTS.map((name, i): Cell => {
      const value = angles[order[i]!]!;
      return { quantity: `thorax.${name}`, position, value, plusMinus: null, order, unit: 'deg', flags: [], why: null };
    });
  });
  return { ...record, cells: [...record.cells, ...cells] };
}

describe('orders asked for beside the main ones, in the comparison', () => {
  const records = orderDay(turned(-60)).map((record) => withOrder(withOrder(record, 'ZXY'), 'XYZ'));
  const orders = (['ZXY', 'XYZ'] as const).map((order) => ({ segment: 'thorax' as const, order }));
  const comparison = compareRecords(records, { ...PLAN, orders });
  const rows = comparison.orderRows!;

  it('are every order, angle and position, values and changes, and change nothing else', () => {
    expect(rows).toHaveLength(2 * 3 * (2 * PLACES.length - 1));
    const { orderRows: _rows, ...rest } = comparison;
    expect(rest).toEqual(compareRecords(orderDay(turned(-60)), PLAN));
  });

  it('have the means of their own order, whatever else is asked for', () => {
    for (const { order } of orders) {
      const row = rows.find((one) => one.order === order && one.quantity === 'thorax.first' && one.position === 'P4')!;
      const values = records.map((record) => cardanByAxis(record.poses.P4!.thorax!, order)[order[0]!]! / DEG);
      expect(row.meanGroup).toBeCloseTo(slowMean(values.slice(0, 8)), 9);
      expect(row.meanReference).toBeCloseTo(slowMean(values.slice(8)), 9);
      expect(row.difference).toBeCloseTo(slowMean(values.slice(0, 8)) - slowMean(values.slice(8)), 9);
    }
  });

  it('are described, never judged: no family, no verdict, a p-value of their own', () => {
    for (const row of rows) {
      expect(row).toMatchObject({ family: null, verdict: 'none', pAdjusted: null, moreSwings: null });
      expect(row.reason).toBe('described, not judged: an order beside the main one');
    }
    expect(rows.some(({ p }) => p !== null)).toBe(true);
  });

  it('stand in the table behind the main rows of the player', () => {
    const lines = [...csvText(COMPARISON, comparedRows([comparison]))].join('').trimEnd().split('\r\n');
    expect(lines).toHaveLength(1 + comparison.rows.length + rows.length);
    expect(lines.at(-1)).toMatch(/^wren,driver,irons,thorax\.third,P10,deg,XYZ,8,8,/);
  });

  it('angles on both sides of half a turn lie together, on the side where most are', () => {
    const around = orderDay(turned(179)).map((record) => withOrder(record, 'ZXY'));
    const made = compareRecords(around, { ...PLAN, orders: [{ segment: 'thorax', order: 'ZXY' }] }).orderRows!;
    const at = (one: ComparisonRow): boolean => one.quantity === 'thorax.third' && one.basis === 'value';
    for (const row of made.filter(at)) {
      expect(row.sdGroup).toBeLessThan(10);
      expect(Math.abs(row.difference!)).toBeLessThan(10);
    }
  });
});
