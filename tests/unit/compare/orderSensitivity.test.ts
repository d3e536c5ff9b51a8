import { describe, expect, it } from 'vitest';
import { type ComparePlan, compareRecords } from '../../../src/compare/compareRecords.ts';
import { orderAngles } from '../../../src/compare/orderAngles.ts';
import { CATALOGUE } from '../../../src/model/catalogue.ts';
import { DEFAULT_COMPARE } from '../../../src/model/dayPlan.ts';
import { JOINTS } from '../../../src/model/joints.ts';
import { mainAnglesOf, type OrderVerdict, placesOf } from '../../../src/model/orderSensitivity.ts';
import { ANGLE_ORDERS, type AngleOrder } from '../../../src/model/quantity.ts';
import type { SwingRecord } from '../../../src/model/swingRecord.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { orderDay, PLACES, type PostureOf, THORAX } from '../../support/orderDay.ts';
import { clubPlan } from '../../support/plans.ts';
import { allMoments, notFound } from '../../support/swingRecords.ts';

const CLUBS = [clubPlan(), clubPlan({ id: 'iron7', kind: 'iron' }), clubPlan({ id: 'iron8', kind: 'iron' })];
const PLAN: ComparePlan = {
  player: { id: 'wren', hand: 'right' },
  clubs: CLUBS,
  options: { ...DEFAULT_COMPARE, resamples: 20 },
};
const CARDAN = ANGLE_ORDERS.filter((order) => order[0] !== order[2]);

function checked(records: readonly SwingRecord[]): readonly OrderVerdict[] {
  const checks = compareRecords(records, { ...PLAN, orderCheck: ['thorax'] }).orderChecks;
  expect(checks).toHaveLength(1);
  return checks![0]!.rows;
}

/** Turned away more and more, leaning toward the ball and to the side, differently with the driver; scatter of 1.5°. */
function scattered(seed: number): PostureOf {
  const random = createRandom(seed);
  return (isDriver, position) => {
    const place = (PLACES as readonly string[]).indexOf(position);
    const own = isDriver ? [3, 4, -3] : [0, 0, 0];
    return [-12 * place + own[0]!, 5 - 3 * place + own[1]!, -38 + 2 * place + own[2]!].map(
      (angle) => angle + 1.5 * random.normal(),
    ) as [number, number, number];
  };
}

const fixed =
  (driver: readonly [number, number, number], irons: readonly [number, number, number]): PostureOf =>
  (isDriver, _position, swing) => {
    const [a, b, c] = isDriver ? driver : irons;
    const off = 0.4 * (swing % 4) - 0.6;
    return [a + off, b + 0.5 * off, c - off];
  };

describe('places of an order beside the main one', () => {
  it('are a permutation of the three for each of the 144 pairs, and those of the order itself are its own', () => {
    for (const main of ANGLE_ORDERS) {
      for (const order of ANGLE_ORDERS) {
        const places = placesOf(order, main);
        expect(places.map(({ component }) => component).sort()).toEqual([0, 1, 2]);
      }
      expect(placesOf(main, main)).toEqual([0, 1, 2].map((component) => ({ component, isCounterpart: true })));
    }
  });

  it('are counterparts by axis among orders of three axes, by turn among those with the same outer axis, never between the kinds', () => {
    for (const main of ANGLE_ORDERS) {
      for (const order of ANGLE_ORDERS) {
        const cardan = [main, order].filter((one) => CARDAN.includes(one)).length;
        for (const [component, place] of placesOf(order, main).entries()) {
          if (cardan === 2) expect(main[place.component]).toBe(order[component]);
          expect(place.isCounterpart).toBe(cardan === 2 || (cardan === 0 && main[0] === order[0]));
        }
      }
    }
  });

  it('every angle of the catalogue that is read from a rotation is a main angle of it', () => {
    const rotations = [...Object.keys(JOINTS), 'pelvis', 'thorax', 'head'] as (keyof typeof JOINTS)[];
    const main = new Set(rotations.flatMap((one) => mainAnglesOf(one).quantities.map((quantity) => quantity?.id)));
    const read = CATALOGUE.filter(({ reading }) => reading.kind === 'orientation' || reading.kind === 'joint');
    expect(read.length).toBeGreaterThan(20);
    for (const { id } of read) expect(main).toContain(id);
  });
});

describe('verdicts with another order as the main one', () => {
  const postureOf = scattered(3);
  // the same postures again and again: they are drawn once
  const drawn = new Map<string, readonly [number, number, number]>();
  const once: PostureOf = (isDriver, position, swing) => {
    const key = `${isDriver}${position}${swing}`;
    drawn.set(key, drawn.get(key) ?? postureOf(isDriver, position, swing));
    return drawn.get(key)!;
  };
  const rows = checked(orderDay(once));

  it.each(CARDAN)(
    '%s: as the comparison itself finds them where its cells hold those angles (read by three)',
    (order) => {
      const other = compareRecords(orderDay(once, order), PLAN).rows.filter(({ quantity }) =>
        (THORAX as readonly string[]).includes(quantity),
      );
      const own = rows.filter((row) => row.order === order);
      expect(own).toHaveLength(other.length);
      for (const expected of other) {
        const row = own.find(
          (one) =>
            one.inPlaceOf === expected.quantity && one.position === expected.position && one.basis === expected.basis,
        )!;
        const sign = expected.quantity === 'thorax.forward_bend' ? -1 : 1;
        expect(row.verdict).toBe(expected.verdict);
        expect([row.nGroup, row.nReference, row.margin]).toEqual([
          expected.nGroup,
          expected.nReference,
          expected.margin,
        ]);
        // three reads the middle angle by an arc sine
        expect(row.difference! - sign * expected.difference!).toBeCloseTo(0, 9);
        expect(sign === 1 ? row.low95! - expected.low95! : row.low95! + expected.high95!).toBeCloseTo(0, 9);
      }
    },
  );

  it('the main verdict beside each is that of the comparison, and what changes is what differs', () => {
    const main = compareRecords(orderDay(once), PLAN).rows;
    for (const row of rows) {
      const own = main.find(
        (one) => one.quantity === row.inPlaceOf && one.position === row.position && one.basis === row.basis,
      );
      expect(row.mainVerdict).toBe(own!.verdict);
      if (row.order === 'YXZ') expect([row.verdict, row.changes]).toEqual([row.mainVerdict, false]);
      else expect(row.changes).toBe(CARDAN.includes(row.order) ? row.verdict !== row.mainVerdict : null);
    }
    expect(new Set(rows.map(({ changes }) => changes))).toEqual(new Set([true, false, null]));
  });

  it('has every order, position, component and basis once, in a fixed order, whatever the order of the records', () => {
    expect(rows).toHaveLength(12 * 3 * (2 * PLACES.length - 1));
    expect([...new Set(rows.map(({ order }) => order))]).toEqual(ANGLE_ORDERS);
    expect(checked(orderDay(once).reverse())).toEqual(rows);
  });

  it('costs the comparison nothing', () => {
    const { orderChecks: _checks, ...rest } = compareRecords(orderDay(once), { ...PLAN, orderCheck: ['thorax'] });
    expect(rest).toEqual(compareRecords(orderDay(once), PLAN));
  });
});

describe('the posture of the top: turned 90° away', () => {
  const row = (rows: readonly OrderVerdict[], order: AngleOrder, quantity: string): OrderVerdict =>
    rows.find(
      (one) => one.order === order && one.inPlaceOf === quantity && one.position === 'P4' && one.basis === 'value',
    )!;
  // side bend differs by 8° at a turn of −90°, forward bend does not (definitions 2; posture of row A15)
  const rows = checked(orderDay(fixed([-90, -43, 0], [-90, -35, 0])));

  it('a departure in side bend, turn first, is one in forward bend by the ISB order, and the other way round', () => {
    expect(row(rows, 'YXZ', 'thorax.side_bend')).toMatchObject({ verdict: 'departs', changes: false });
    expect(row(rows, 'YXZ', 'thorax.forward_bend')).toMatchObject({ verdict: 'matches', changes: false });
    expect(row(rows, 'ZXY', 'thorax.side_bend')).toMatchObject({ verdict: 'matches', changes: true });
    expect(row(rows, 'ZXY', 'thorax.forward_bend')).toMatchObject({ verdict: 'departs', changes: true });
    // R = Ry(−90°) Rx(φ) = Rz(φ) Ry(−90°): all 8° go from the one to the other
    expect(row(rows, 'YXZ', 'thorax.side_bend').difference).toBeCloseTo(-8, 1);
    expect(row(rows, 'ZXY', 'thorax.forward_bend').difference).toBeCloseTo(-8, 1);
  });

  it('marks Z-Y-X, of which it is the singular position, in all swings, and no other order', () => {
    const near = (order: AngleOrder): number => row(rows, order, 'thorax.turn').nSingular;
    expect(ANGLE_ORDERS.filter((order) => near(order) > 0)).toEqual(['ZYX']);
    expect(near('ZYX')).toBe(16);
  });

  it('counts swing by swing within 10° of it, a change also at P1', () => {
    const some = checked(
      orderDay((isDriver, position, swing) => [
        position === 'P4' && swing < 3 ? -85 : -70,
        isDriver ? 2 : 0,
        -5 - swing,
      ]),
    );
    const at = (position: string, basis: string): number =>
      some.find((one) => one.order === 'XYZ' && one.position === position && one.basis === basis)!.nSingular;
    expect([at('P4', 'value'), at('P5', 'value'), at('P4', 'change'), at('P5', 'change')]).toEqual([6, 0, 6, 0]);
    const early = checked(
      orderDay((_driver, position, swing) => [position === 'P1' && swing < 3 ? -85 : -70, 0, -5 - swing]),
    );
    expect(early.find((one) => one.order === 'XYZ' && one.position === 'P5' && one.basis === 'change')!.nSingular).toBe(
      6,
    );
  });
});

describe('what cannot be read', () => {
  it('first and third angles on both sides of half a turn lie together', () => {
    // turned by about half a turn: the raw turn jumps between −180° and 180°
    const rows = checked(
      orderDay((isDriver, _position, swing) => [180 + (swing % 2 === 0 ? 2 : -2), isDriver ? 5 : 0, -20]),
    );
    const turn = rows.find((one) => one.order === 'ZXY' && one.component === 2 && one.position === 'P7')!;
    expect(Math.abs(turn.difference!)).toBeLessThan(5);
    expect(turn.high95! - turn.low95!).toBeLessThan(10);
  });

  it('a swing that lacks a main angle, the position or the pose is left out of every order, with the same reason', () => {
    const records = orderDay(fixed([-60, 5, -30], [-60, 0, -30])).map((record, i): SwingRecord => {
      if (i === 0) {
        const cells = record.cells.map((cell) =>
          cell.quantity === 'thorax.side_bend' && cell.position === 'P4'
            ? {
                ...cell,
                value: null,
                why: { code: 'sample-missing', needed: 'the markers of thorax.side_bend around P4' },
              }
            : cell,
        );
        return { ...record, cells };
      }
      if (i === 1) return { ...record, moments: { ...allMoments(), P4: notFound('the top') } };
      return i === 2 ? { ...record, poses: {} } : record;
    });
    for (const row of checked(records).filter(({ position }) => position === 'P4')) {
      expect([row.nGroup, row.nReference]).toEqual([5, 8]);
      expect(row.reason).toContain('P4 not found (needs the top)');
      expect(row.reason).toContain('needs the markers of thorax.side_bend around P4');
      expect(row.reason).toContain('needs the rotation');
    }
    const angles = [...orderAngles(records.slice(0, 3), ['thorax'])].filter(({ position }) => position === 'P4');
    expect(angles).toHaveLength(24);
    expect(angles.every((one) => one.angles === null && one.singularDistance === null)).toBe(true);
    expect(angles[0]!.flags).toEqual(['sample-missing']);
  });

  it('below five swings there are differences and no verdict, so that nothing changes', () => {
    const rows = checked(orderDay(fixed([-60, 5, -30], [-60, 0, -30]), 'YXZ', 4));
    for (const row of rows) {
      expect(row).toMatchObject({ verdict: 'none', changes: null });
      expect(row.difference).not.toBeNull();
      expect(row.reason).toContain('fewer than 5 swings');
    }
  });

  it('a joint that the records hold no rotations of is named, with what to do', () => {
    const { orderChecks } = compareRecords(orderDay(fixed([0, 0, 0], [0, 0, 0])), {
      ...PLAN,
      orderCheck: ['lead_hip'],
    });
    expect(orderChecks).toEqual([
      {
        rotation: 'lead_hip',
        mainOrder: 'ZXY',
        rows: [],
        reason: 'the records hold no rotations of lead_hip; process the day with --order-check lead_hip',
      },
    ]);
  });

  it('an angle that the catalogue has no quantity for is described, not judged, and takes no place in a family', () => {
    const at = (record: SwingRecord): SwingRecord => ({
      ...record,
      rotations: {
        lead_foot: Object.fromEntries(PLACES.map((position) => [position, record.poses[position]!.thorax])),
      },
    });
    const records = orderDay(fixed([-60, 5, -30], [-60, 0, -30])).map(at);
    const checks = compareRecords(records, { ...PLAN, orderCheck: ['thorax', 'lead_foot'] }).orderChecks!;
    const [thorax, foot] = checks;
    expect(foot!.rows).toHaveLength(thorax!.rows.length);
    foot!.rows.forEach((row, i) => {
      expect(row).toMatchObject({
        inPlaceOf: null,
        isCounterpart: false,
        verdict: 'none',
        mainVerdict: null,
        changes: null,
      });
      expect(row.reason).toMatch(/^described, not judged/);
      expect(row.difference).toBeCloseTo(thorax!.rows[i]!.difference!, 12);
    });
  });
});
