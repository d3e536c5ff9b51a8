import { describe, expect, it } from 'vitest';
import { compareTable } from '../../../src/compare/compareTable.ts';
import type { SwingTable, TablePlan } from '../../../src/model/swingTable.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { slowBhRejects, slowMean, slowSd, slowTSurvival } from '../../support/slowStatistics.ts';

const PLAN: TablePlan = {
  of: { label: 'driver', groups: ['driver'] },
  against: { label: 'irons', groups: ['iron5', 'iron7'] },
  margins: [2, 2, null, 2, 2].map((value) => (value === null ? null : { kind: 'absolute', value })),
  primary: [],
  seed: 1,
  resamples: 200,
};
const COLUMNS = ['far', 'same', 'no margin', 'few', 'slight'];
const OFFSETS = [9, 0, 9, 9, 2];

/** Nine driver swings, eleven of two irons, SD 1 (0.5 of the last column); blanks in the first column, few values in the fourth. */
function tableOf(random = createRandom(7)): SwingTable {
  const swings = Array.from({ length: 20 }, (_, i) => {
    const driver = i < 9;
    const values = Float64Array.from(OFFSETS, (offset, column) => {
      if ((column === 0 && i % 7 === 3) || (column === 3 && i % 3 > 0)) return Number.NaN;
      return 50 + (driver ? offset : 0) + (column === 4 ? 0.5 : 1) * random.normal();
    });
    return { line: i + 2, player: 'wren', by: [], group: driver ? 'driver' : i % 2 === 0 ? 'iron5' : 'iron7', values };
  });
  return { columns: COLUMNS, swings };
}

const present = (table: SwingTable, column: number, groups: readonly string[]): number[] =>
  table.swings
    .filter(({ group }) => groups.includes(group))
    .map(({ values }) => values[column]!)
    .filter((value) => !Number.isNaN(value));

describe('a table compared by the rules of definitions 8', () => {
  const table = tableOf();
  const [comparison] = compareTable(table, PLAN);
  const { rows } = comparison!;

  it('has means, SDs, Welch’s interval ends and p as written out from their definitions', () => {
    rows.forEach((row, column) => {
      const a = present(table, column, PLAN.of.groups);
      const b = present(table, column, PLAN.against.groups);
      expect([row.nGroup, row.nReference]).toEqual([a.length, b.length]);
      expect(row.meanGroup).toBeCloseTo(slowMean(a), 10);
      expect(row.sdReference).toBeCloseTo(slowSd(b), 10);
      expect(row.difference).toBeCloseTo(slowMean(a) - slowMean(b), 10);
      const [u, v] = [slowSd(a) ** 2 / a.length, slowSd(b) ** 2 / b.length];
      const df = (u + v) ** 2 / (u ** 2 / (a.length - 1) + v ** 2 / (b.length - 1));
      const t = Math.abs(slowMean(a) - slowMean(b)) / Math.sqrt(u + v);
      // Welch 1947 by the slow integral of the t density, which is good to about 1e-7
      expect(row.p).toBeCloseTo(2 * slowTSurvival(t, df), 6);
    });
  });
  it('reads every verdict, and says how many swings lacked the value', () => {
    expect(rows.map(({ verdict }) => verdict)).toEqual([
      'departs',
      'matches',
      'differs-slightly',
      'none',
      'differs-slightly',
    ]);
    expect(rows[0]!.reason).toBe('1 of 9 driver and 2 of 11 irons left out: no value');
    expect(rows[3]!.reason).toMatch(/^fewer than 5 swings: 3 swings of the driver, 4 swings of the irons; /);
    expect(comparison).toMatchObject({ missing: 3 + 13, values: 100, familySizes: { screening: 4, primary: 0 } });
  });
  it('without a margin tells a difference from 0 alone: never departs, never matches, whatever its size', () => {
    const bare = compareTable(table, { ...PLAN, margins: COLUMNS.map(() => null) })[0]!.rows;
    const judged = bare.filter(({ verdict }) => verdict !== 'none');
    expect(judged.map(({ verdict }) => verdict === 'differs-slightly')).toEqual(
      slowBhRejects(
        judged.map(({ p }) => p!),
        0.05,
      ),
    );
    expect(judged.map(({ verdict }) => verdict)).toEqual([
      'differs-slightly',
      'undecided',
      'differs-slightly',
      'differs-slightly',
    ]);
    for (const row of bare) {
      expect([row.margin, row.pBeyond, row.pWithin, row.pBeyondAdjusted, row.marginRule]).toEqual([
        null,
        null,
        null,
        null,
        'none',
      ]);
    }
    expect(judged[1]!.excludesBeyond).toBeGreaterThan(0);
  });
  it('a margin may be a share of the mean; primary columns are a family of their own', () => {
    const plan = { ...PLAN, margins: COLUMNS.map(() => ({ kind: 'share', value: 0.03 }) as const), primary: ['far'] };
    const [shared] = compareTable(table, plan);
    const row = shared!.rows[0]!;
    expect(row.margin).toBeCloseTo(0.03 * 0.5 * (row.meanGroup! + row.meanReference!), 10);
    expect([row.marginRule, row.family, row.pAdjusted]).toEqual(['3 % of the mean', 'primary', row.p]);
    expect(shared!.familySizes).toMatchObject({ primary: 1, screening: 3 });
  });
  it('turned round flips every sign and no verdict', () => {
    const back = compareTable(table, { ...PLAN, of: PLAN.against, against: PLAN.of })[0]!.rows;
    back.forEach((row, i) => {
      expect(row.verdict).toBe(rows[i]!.verdict);
      expect(row.difference).toBeCloseTo(-rows[i]!.difference!, 12);
      if (rows[i]!.low95 !== null)
        expect([row.low95, row.high95].map((x) => -x!)).toEqual([
          expect.closeTo(rows[i]!.high95!, 10),
          expect.closeTo(rows[i]!.low95!, 10),
        ]);
      expect([row.p, row.pBeyond, row.pWithin]).toEqual(
        [rows[i]!.p, rows[i]!.pBeyond, rows[i]!.pWithin].map((p) => (p === null ? null : expect.closeTo(p, 10))),
      );
    });
  });
  it('does not depend on the order of the rows', () => {
    const turned = { ...table, swings: [...table.swings].reverse() };
    expect(compareTable(turned, PLAN)).toEqual(compareTable(table, PLAN));
  });
  it('players and views are compared apart; a player without one side is said to lack it, without both passed over', () => {
    const more = table.swings.map((swing) => ({ ...swing, by: [swing.line % 2 === 0 ? 'front' : 'back'] }));
    const heron = { ...more[0]!, player: 'heron', group: 'iron5' };
    const owl = { ...more[0]!, player: 'owl', group: 'wood' };
    const out = compareTable({ ...table, swings: [owl, heron, ...more] }, PLAN);
    expect(
      out.map(({ player, by, group, reference, reason }) => [player, ...by, group.swings, reference.swings, reason]),
    ).toEqual([
      ['heron', 'front', 0, 1, 'no swing of driver'],
      ['wren', 'back', 4, 6, ''],
      ['wren', 'front', 5, 5, ''],
    ]);
  });
});
