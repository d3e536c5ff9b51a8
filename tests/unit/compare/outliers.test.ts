import { describe, expect, it } from 'vitest';
import { outlyingLimit, outlyingSwings } from '../../../src/compare/outliers.ts';
import { robustDistances } from '../../../src/compare/robustDistance.ts';
import { DEFAULT_COMPARE } from '../../../src/model/dayPlan.ts';
import type { SwingRecord, TrialOutcome } from '../../../src/model/swingRecord.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { pointOut } from '../../../src/pipeline/judgeDay.ts';
import { doubtText } from '../../../src/report/sentences/doubts.ts';
import { EN } from '../../../src/report/words/en.ts';
import { CLEAN_CASES, cleanGroup, falseAlarms } from '../../support/cleanGroups.ts';
import { slowDistances } from '../../support/slowOutliers.ts';
import { swingRecord, twoGroups } from '../../support/swingRecords.ts';

const KEYS = DEFAULT_COMPARE.primary;

function values(random: () => number, shift: Readonly<Record<string, number>> = {}): Record<string, number> {
  return Object.fromEntries(KEYS.map((key) => [key, 20 + random() + (shift[key] ?? 0)]));
}

/** Eight swings with each side, SD 1.5°; `shift` is added to the third driver swing. */
function day(shift: Readonly<Record<string, number>>, seed = 3): SwingRecord[] {
  const random = createRandom(seed);
  const draw = (): number => 1.5 * random.normal();
  return twoGroups(
    Array.from({ length: 8 }, (_, i) => values(draw, i === 2 ? shift : {})),
    Array.from({ length: 8 }, () => values(draw)),
  );
}

describe('the robust distance', () => {
  it.each(CLEAN_CASES)('equals that of the plain loops: $name', (of) => {
    const random = createRandom(11);
    const margins = Array.from({ length: of.values }, (_, j) => 1 + (j % 3));
    for (const swings of [5, 6, 8, 12]) {
      const group = cleanGroup(of, swings, random);
      group[0]![1] = 9;
      const slow = slowDistances(
        group.map((column) => [...column]),
        margins,
      );
      // the same arithmetic in another order: rounding of a well conditioned solution
      robustDistances(group, margins).forEach((distance, i) => {
        expect(distance).toBeCloseTo(slow[i]!, 9);
      });
    }
  });
  it('does not depend on the zero or the unit of a quantity where its spread is above a tenth of the margin', () => {
    const group = cleanGroup(CLEAN_CASES[1]!, 8, createRandom(5));
    const moved = group.map((column, j) => column.map((value) => 100 + (j + 1) * value));
    const own = robustDistances(group, new Array<number>(12).fill(1));
    const other = robustDistances(
      moved,
      Array.from({ length: 12 }, (_, j) => j + 1),
    );
    // 100 costs the values two digits
    own.forEach((distance, i) => {
      expect(other[i]).toBeCloseTo(distance, 9);
    });
  });
  it('lasts through a missing value, and is not a number only where a swing has none', () => {
    const group = cleanGroup(CLEAN_CASES[0]!, 8, createRandom(6));
    group[4]![3] = Number.NaN;
    for (const column of group) column[7] = Number.NaN;
    const distances = robustDistances(group, new Array<number>(12).fill(1));
    expect([...distances].map(Number.isNaN)).toEqual([false, false, false, false, false, false, false, true]);
  });
  it('of swings that are all alike is 0', () => {
    const alike = Array.from({ length: 12 }, (_, j) => new Float64Array(6).fill(j));
    expect([...robustDistances(alike, new Array<number>(12).fill(2))]).toEqual([0, 0, 0, 0, 0, 0]);
  });
});

describe('outlying swings', () => {
  const APART = { 'thorax.side_bend@P7': 14, 'thorax.side_bend@P5.5': 12, 'pelvis.forward_bend@P4': -11 };

  it('are pointed out by name with the values that lie farthest, and no other swing is', () => {
    const found = outlyingSwings(day(APART), KEYS, {});
    expect([...found.keys()]).toEqual(['wren-d03']);
    const { group, swings, distance, limit, values: named } = found.get('wren-d03')!;
    expect({ group, swings, limit }).toEqual({ group: 'driver, set day', swings: 8, limit: outlyingLimit(8) });
    expect(distance).toBeGreaterThan(limit);
    expect(named.map(({ quantity, position }) => `${quantity}@${position}`)).toEqual(Object.keys(APART));
    // the shift, and what the swing and the median of eight have of SD 1.5°: four standard deviations
    expect(Math.abs(named[0]!.deviation - 14)).toBeLessThan(6);
  });
  it('two at once do not hide one another', () => {
    const records = day(APART).map((record) =>
      record.head.trial === 'wren-d06'
        ? { ...record, cells: record.cells.map((cell) => ({ ...cell, value: cell.value! + 0.3 })) }
        : record,
    );
    expect([...outlyingSwings(records, KEYS, {}).keys()]).toEqual(['wren-d03', 'wren-d06']);
  });
  it('are none within the margin, however regular the others are', () => {
    const calm = (shift: number): SwingRecord[] =>
      twoGroups(
        Array.from({ length: 8 }, (_, i) =>
          values(() => 0.01 * (i % 3), i === 2 ? { 'thorax.side_bend@P7': shift } : {}),
        ),
        [],
      );
    expect(outlyingSwings(calm(1.9), KEYS, {}).size).toBe(0);
    expect([...outlyingSwings(calm(4), KEYS, {}).keys()]).toEqual(['wren-d03']);
    expect(outlyingSwings(calm(4), KEYS, { 'thorax.side_bend': 5 }).size).toBe(0);
  });
  it('are not looked for among fewer than five swings, or with fewer than nine values', () => {
    const few = day(APART).filter(({ head }) => ['wren-d01', 'wren-d02', 'wren-d03', 'wren-d04'].includes(head.trial));
    expect(outlyingSwings(few, KEYS, {}).size).toBe(0);
    expect(outlyingSwings(day(APART), KEYS.slice(4), {}).size).toBe(0);
    expect(() => outlyingLimit(4)).toThrow(RangeError);
  });
  it('belong to their own kind of club, set and player', () => {
    const moved = day({}).map((record) =>
      record.head.kind === 'driver'
        ? { ...record, cells: record.cells.map((cell) => ({ ...cell, value: cell.value! + 1 })) }
        : record,
    );
    expect(outlyingSwings(moved, KEYS, {}).size).toBe(outlyingSwings(day({}), KEYS, {}).size);
  });
  it('stay used and in the comparison; the outcome and the words say why', () => {
    const records = day(APART);
    const outcomes = records.map((record) => {
      const { trial, file, player, club, kind, set, role } = record.head;
      return {
        trial, file, sha256: '', player, club, kind, set, role, status: 'used' as const, reason: '', record, diagnostics: [],
      }; // biome-ignore format: one glance
    });
    const pointed = pointOut<TrialOutcome>(outcomes, records, DEFAULT_COMPARE);
    expect(pointed.map(({ status, record }) => [status, record])).toEqual(records.map((record) => ['used', record]));
    expect(pointed.filter(({ outlying }) => outlying !== undefined).map(({ trial }) => trial)).toEqual(['wren-d03']);
    const words = doubtText(EN, pointed.find(({ trial }) => trial === 'wren-d03')!);
    expect(words).toMatch(
      /^outlying among 8 swings \(driver, set day\): chest side bend at P7 \+1\d\.\d°, .* and .* from their median \(distance \d\.\d, limit 2\.7\)$/,
    );
  });
  it('do not depend on the order of the records', () => {
    const records = day(APART);
    const there = outlyingSwings(records, KEYS, {});
    expect([...outlyingSwings([...records].reverse(), KEYS, {})]).toEqual([...there]);
  });
  it('a static trial is none', () => {
    const record = swingRecord({ trial: 's', club: 'driver', kind: 'driver', order: 0, values: {} });
    const still = { ...record, head: { ...record.head, role: 'static' as const } };
    expect(outlyingSwings([still, still, still, still, still], KEYS, {}).size).toBe(0);
  });
});

describe('clean groups', () => {
  // a quick look at the limits; tests/long counts 4,000 groups of each size
  it.each([5, 8, 12])('of %i swings pass the limit in about one of twenty at most', (swings) => {
    // 5 % and three standard errors over 300 groups: 0.05 + 3 · √(0.05 · 0.95 / 300) = 8.8 %
    for (const of of CLEAN_CASES) expect(falseAlarms(of, swings, 300, 1), of.name).toBeLessThan(0.088);
  });
});
