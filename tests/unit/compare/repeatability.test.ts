import { expect, test } from 'vitest';
import { repeatabilityOf, repeatabilitySwing } from '../../../src/compare/repeatability.ts';
import type { SwingRecord } from '../../../src/model/swingRecord.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { cellOf, swingRecord } from '../../support/swingRecords.ts';

const rowsOf = (records: readonly SwingRecord[]) => repeatabilityOf(records.flatMap(repeatabilitySwing));

/** Swings of one player in the order given; null is a value that is missing. */
function swingsOf(player: string, values: readonly (number | null)[], kind: 'iron' | 'driver' = 'iron'): SwingRecord[] {
  return values.map((value, order) => {
    const made = swingRecord({ trial: `${player}-${kind}-${order}`, club: kind, kind, order, values: {} });
    return {
      ...made,
      head: { ...made.head, player },
      cells: [cellOf('pelvis.forward_bend@P4', value), cellOf('pelvis.to_target@P1', 0)],
    };
  });
}

test('the first swings of each player, as many as the poorest has: numbers of a published table (Shrout & Fleiss 1979)', () => {
  const table = [
    [9, 2, 5, 8, 99],
    [6, 1, null, 3, 2],
    [8, 4, 6, 8],
    [7, 1, 2, 6],
    [10, 5, 6, 9],
    [6, 2, 4, 7, 50],
  ];
  const birds = ['dunnock', 'heron', 'osprey', 'plover', 'siskin', 'wren'];
  const records = [
    ...birds.flatMap((player, i) => swingsOf(player, table[i]!)),
    ...swingsOf('robin', [3]), // one swing tells nothing of scatter
    ...swingsOf('dunnock', [70, 80], 'driver'),
  ];
  const rows = rowsOf(records);
  // zero by definition at P1: no row
  expect(rows).toHaveLength(1);
  const [row] = rows;
  expect(row).toMatchObject({ quantity: 'pelvis.forward_bend', position: 'P4', players: 6, swings: 4, swingsFor90: 4 });
  // the paper prints .17, .29 and .71, and for means of four .44, .62 and .91
  expect(row!.single.map((icc) => icc.toFixed(2))).toEqual(['0.17', '0.29', '0.71']);
  expect(row!.mean.map((icc) => icc.toFixed(2))).toEqual(['0.44', '0.62', '0.91']);
  expect(row!.sem).toBeCloseTo(1.009675415, 8);
  expect(row!.mdcOfMean).toBeCloseTo(row!.mdc / 2, 12);
  // last less first: −1, −4, 0, −1, −1, 1
  expect(row!.shift).toBeCloseTo(-1, 12);
  expect(row!.limitHigh - row!.shift).toBeCloseTo(row!.shift - row!.limitLow, 12);
  expect(rowsOf([...records].reverse())).toEqual(rows);
});

test('two players, or sensors, are no day to tell repeatability from', () => {
  const three = ['heron', 'osprey', 'wren'].flatMap((player) => swingsOf(player, [1, 2, player.length]));
  expect(rowsOf(three)).toHaveLength(1);
  expect(rowsOf(three.filter(({ head }) => head.player !== 'wren'))).toEqual([]);
  const sensors = three.map((record) => ({ ...record, head: { ...record.head, source: 'sensors' as const } }));
  expect(rowsOf(sensors)).toEqual([]);
});

test('players 5° apart with swings of 1° have a correlation near 25/26, and nobody shifts', () => {
  const random = createRandom(6);
  const records = Array.from({ length: 30 }, (_, i) => {
    const level = 20 + 5 * random.normal();
    return swingsOf(
      `bird${i}`,
      Array.from({ length: 5 }, () => level + random.normal()),
    );
  }).flat();
  const [row] = rowsOf(records);
  // thirty players leave about 0.015 of uncertainty at such a correlation
  expect(Math.abs(row!.single[2] - 25 / 26)).toBeLessThan(0.04);
  expect(Math.abs(row!.sem - 1)).toBeLessThan(0.15);
  expect(row!.low95).toBeLessThan(row!.single[2]);
  expect(row!.high95).toBeGreaterThan(row!.single[2]);
  expect(row!.shiftLow95).toBeLessThan(0);
  expect(row!.shiftHigh95).toBeGreaterThan(0);
  expect(row!.swingsFor90).toBe(1);
});
