import { describe, expect, test } from 'vitest';
import { bcaOfDifference } from '../../../src/compare/bca.ts';
import { compareRecords } from '../../../src/compare/compareRecords.ts';
import { effectIntervals, lowerNoncentrality } from '../../../src/compare/effectInterval.ts';
import { cohensD } from '../../../src/compare/effectSize.ts';
import { resampleSwings } from '../../../src/compare/resampling.ts';
import { summarise } from '../../../src/compare/twoSamples.ts';
import { DEFAULT_COMPARE } from '../../../src/model/dayPlan.ts';
import { noncentralTCdf, normalCdf, normalQuantile } from '../../../src/numeric/distributions.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { clubPlan } from '../../support/plans.ts';
import { slowMean } from '../../support/slowStatistics.ts';
import { twoGroups } from '../../support/swingRecords.ts';

describe('interval of the effect size', () => {
  const interval = effectIntervals();

  test('its ends are the effects whose t exceeds the observed one in 2.5 % and in 97.5 %, whatever the sizes', () => {
    for (const [a, b] of [
      [
        [11, 14, 12.5, 13, 15],
        [9, 10, 8.5, 11, 9.5, 10.5, 12],
      ],
      [
        [3, 4, 5, 3.5, 4.5, 4],
        [4, 3.8, 4.4, 5, 3.6],
      ],
      [
        [1, 2, 3, 1.5, 2.5, 2, 1.8, 2.2, 1.9],
        [21, 22, 23, 22.4],
      ],
    ] as const) {
      const group = summarise(Float64Array.from(a));
      const reference = summarise(Float64Array.from(b));
      const scale = Math.sqrt(1 / a.length + 1 / b.length);
      const t = cohensD(group, reference) / scale;
      const df = a.length + b.length - 2;
      const [low, high] = interval(group, reference);
      // carried between tabled values: 1e-4 in the non-centrality moves the chance by 1e-5 at most
      expect(Math.abs(noncentralTCdf(t, df, low / scale) - 0.975)).toBeLessThan(1e-5);
      expect(Math.abs(noncentralTCdf(t, df, high / scale) - 0.025)).toBeLessThan(1e-5);
      const [mirrorLow, mirrorHigh] = interval(reference, group);
      expect(mirrorLow).toBeCloseTo(-high, 12);
      expect(mirrorHigh).toBeCloseTo(-low, 12);
    }
  });

  test('carrying between tabled values errs by less than 1e-4', () => {
    for (const df of [8, 14, 33]) {
      for (let t = -15.9; t < 16; t += 0.61) {
        // groups of one SD: n such that df is right, d from t
        const n1 = Math.floor((df + 2) / 2);
        const n2 = df + 2 - n1;
        const scale = Math.sqrt(1 / n1 + 1 / n2);
        const [low] = interval({ n: n1, mean: t * scale, sd: 1 }, { n: n2, mean: 0, sd: 1 });
        expect(Math.abs(low / scale - lowerNoncentrality(t, df))).toBeLessThan(1e-4);
      }
    }
  });

  test('it covers the true effect in 95 % of simulated pairs of groups', () => {
    const random = createRandom(31);
    let covered = 0;
    for (let i = 0; i < 4000; i++) {
      const x = Float64Array.from({ length: 13 }, (_, k) => random.normal() + (k < 5 ? 1.5 : 0));
      const [low, high] = interval(summarise(x, 0, 5), summarise(x, 5));
      if (low <= 1.5 && 1.5 <= high) covered += 1;
    }
    // three standard errors of 4,000
    expect(Math.abs(covered / 4000 - 0.95)).toBeLessThan(0.0104);
  });

  test('without scatter, or with one value, there is none', () => {
    expect(interval({ n: 5, mean: 1, sd: 0 }, { n: 5, mean: 0, sd: 0 })).toEqual([Number.NaN, Number.NaN]);
    expect(interval({ n: 1, mean: 1, sd: Number.NaN }, { n: 5, mean: 0, sd: 1 })).toEqual([Number.NaN, Number.NaN]);
  });
});

describe('bootstrap interval of a difference of means', () => {
  test('equals the steps of the book, taken one by one on the same resamples', () => {
    const group = [11, 14, 12.5, 13, 15.5];
    const reference = [9, 10, 8.5, 11, 9.5, 10.5, 14];
    const resamples = resampleSwings(5, 7, 3, 999);
    const values = Float64Array.from([...group, ...reference]);
    const [low, high] = bcaOfDifference(values, summarise(values, 0, 5), summarise(values, 5), resamples, 0.95);

    const drawn = (of: readonly number[], from: number, r: number): number[] =>
      of.flatMap((x, i) => Array<number>(resamples.draws[r * 12 + from + i]!).fill(x));
    const replicates = Array.from(
      { length: 999 },
      (_, r) => slowMean(drawn(group, 0, r)) - slowMean(drawn(reference, 5, r)),
    ).sort((a, b) => a - b);
    const observed = slowMean(group) - slowMean(reference);
    const below = replicates.filter((d) => d < observed - 1e-9).length;
    const equal = replicates.filter((d) => Math.abs(d - observed) <= 1e-9).length;
    const bias = normalQuantile((below + equal / 2) / 999);
    const effects = [
      ...group.map((x) => (x - slowMean(group)) / 5),
      ...reference.map((x) => -(x - slowMean(reference)) / 7),
    ];
    const sum = (power: number): number => effects.reduce((s, e) => s + (power === 3 ? e * e * e : e * e), 0);
    const a = sum(3) / (6 * Math.sqrt(sum(2) * sum(2) * sum(2)));
    const end = (tail: number): number => {
      const z = bias + normalQuantile(tail);
      const place = 998 * normalCdf(bias + z / (1 - a * z));
      const i = Math.floor(place);
      return replicates[i]! + (place - i) * (replicates[i + 1]! - replicates[i]!);
    };
    expect(low).toBeCloseTo(end(0.025), 9);
    expect(high).toBeCloseTo(end(0.975), 9);
    expect(low).toBeGreaterThan(0);
  });

  test('swings without the value are passed over, and swapped groups mirror the interval', () => {
    const random = createRandom(33);
    const swings = (n: number, mean: number): Record<string, number | null>[] =>
      Array.from({ length: n }, (_, i) => ({
        'pelvis.forward_bend@P4': i === 1 ? null : mean + 2 * random.normal(),
      }));
    const records = twoGroups(swings(7, 18), swings(9, 11));
    const plan = {
      player: { id: 'wren', hand: null },
      clubs: [clubPlan(), clubPlan({ id: 'iron7', kind: 'iron' }), clubPlan({ id: 'iron8', kind: 'iron' })],
      options: DEFAULT_COMPARE,
    };
    const irons = { label: 'irons', kinds: ['iron'] as const };
    const driver = { label: 'driver', kinds: ['driver'] as const };
    const row = compareRecords(records, plan).rows[0]!;
    const swapped = compareRecords(records, { ...plan, group: irons, reference: driver }).rows[0]!;
    expect([row.nGroup, row.nReference]).toEqual([6, 8]);
    expect(row.bcaLow95!).toBeLessThan(row.difference!);
    expect(row.bcaHigh95!).toBeGreaterThan(row.difference!);
    // other resamples: 2,000 of them leave a few hundredths of the interval's width
    const width = row.bcaHigh95! - row.bcaLow95!;
    expect(Math.abs(row.bcaLow95! + swapped.bcaHigh95!)).toBeLessThan(0.15 * width);
    expect(row.gLow95!).toBeCloseTo(-swapped.gHigh95!, 10);
    expect(row.pPermutation).toBe(swapped.pPermutation);
  });
});
