import { describe, expect, test } from 'vitest';
import { adjust, cutsOf } from '../../../src/compare/adjust.ts';
import { minimalDetectableChange, pooledSd } from '../../../src/compare/effectSize.ts';
import { judgeFamily, readVerdict } from '../../../src/compare/families.ts';
import { permutationPlan, permutationTest } from '../../../src/compare/permutation.ts';
import { detectableDifference, moreSwings, verdictByCuts } from '../../../src/compare/power.ts';
import { summarise, testDifference, welch } from '../../../src/compare/twoSamples.ts';
import { tQuantile } from '../../../src/numeric/distributions.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import {
  slowBhRejects,
  slowHolmRejects,
  slowMean,
  slowPermutation,
  slowSd,
  slowTSurvival,
} from '../../support/slowStatistics.ts';

const CUTS = { p: 0.05, pBeyond: 0.05 };

describe('summaries', () => {
  test('missing values are passed over, one value has no SD, none has no mean', () => {
    const some = summarise(Float64Array.of(Number.NaN, 3, 5, Number.NaN, 10));
    expect([some.n, some.mean]).toEqual([3, 6]);
    expect(some.sd).toBeCloseTo(slowSd([3, 5, 10]), 14);
    expect(summarise(Float64Array.of(7))).toEqual({ n: 1, mean: 7, sd: Number.NaN });
    expect(summarise(Float64Array.of(Number.NaN))).toEqual({ n: 0, mean: Number.NaN, sd: Number.NaN });
  });

  test('a large offset costs no digits of the SD', () => {
    // Adding 1e6 rounds each value by 6e-11; the SD of 1 may move by that.
    expect(Math.abs(summarise(Float64Array.of(1e6 + 1, 1e6 + 2, 1e6 + 3)).sd - 1)).toBeLessThan(1e-9);
  });

  test('SD within parts is pooled by degrees of freedom, and parts of one swing add nothing', () => {
    const parts = [[1, 3], [10, 12, 17], [99]].map((x) => summarise(Float64Array.from(x)));
    // (2 + 26) / (1 + 2), by hand
    expect(pooledSd(parts)).toBeCloseTo(Math.sqrt(28 / 3), 14);
    expect(pooledSd([parts[2]!])).toBeNaN();
    // Weir 2005 (from memory): 1.96 √2 × typical error; for 5 it is 13.859 (confirmed in open code)
    expect(minimalDetectableChange(5)).toBeCloseTo(13.859, 3);
  });
});

describe('tests of a difference', () => {
  test('the three p-values equal tails integrated from the density', () => {
    const group = summarise(Float64Array.of(11, 14, 12.5, 13, 15));
    const reference = summarise(Float64Array.of(9, 10, 8.5, 11, 9.5, 10.5, 12));
    const d = welch(group, reference);
    const t = (excess: number): number => slowTSurvival(excess / d.se, d.df);
    const tests = testDifference(d, 2);
    // Simpson over 20,000 steps is good to 1e-9 here.
    expect(tests.p).toBeCloseTo(2 * t(d.difference), 8);
    expect(tests.pBeyond).toBeCloseTo(t(d.difference - 2) + t(d.difference + 2), 8);
    expect(tests.pWithin).toBeCloseTo(t(2 - d.difference), 8);
  });

  test('p_within is under 0.05 exactly where the 90 % interval lies inside the margin', () => {
    const random = createRandom(5);
    let inside = 0;
    for (let i = 0; i < 500; i++) {
      const d = { difference: 3 * random.normal(), se: 0.3 + random.uniform(), df: 4 + 20 * random.uniform() };
      const half = tQuantile(0.95, d.df) * d.se;
      const isInside = Math.abs(d.difference) + half < 2;
      if (isInside) inside += 1;
      expect(testDifference(d, 2).pWithin < 0.05).toBe(isInside);
    }
    expect(inside).toBeGreaterThan(20);
  });

  test('a margin of zero makes p_beyond the plain p', () => {
    const d = { difference: 1.3, se: 0.7, df: 9 };
    const tests = testDifference(d, 0);
    expect(tests.pBeyond).toBeCloseTo(tests.p, 15);
    expect(tests.pWithin).toBeGreaterThan(0.5);
  });

  test('without any scatter the limits hold: beyond the margin certain, inside it certain, never NaN', () => {
    const still = { se: 0, df: Number.NaN };
    expect(testDifference({ difference: 5, ...still }, 2)).toEqual({ p: 0, pBeyond: 0, pWithin: 1 });
    expect(testDifference({ difference: -1, ...still }, 2)).toEqual({ p: 0, pBeyond: 1, pWithin: 0 });
    expect(testDifference({ difference: 0, ...still }, 2)).toEqual({ p: 1, pBeyond: 1, pWithin: 0 });
  });
});

test('one value in a group gives no p-value at all', () => {
  const d = welch(summarise(Float64Array.of(9)), summarise(Float64Array.of(1, 2, 3)));
  expect(testDifference(d, 2)).toEqual({ p: Number.NaN, pBeyond: Number.NaN, pWithin: Number.NaN });
});

describe('families', () => {
  test('adjusted p under 0.05 rejects what the step procedures reject, on 300 random families', () => {
    const random = createRandom(11);
    for (let i = 0; i < 300; i++) {
      const p = Array.from({ length: 1 + random.int(20) }, () => {
        const u = random.uniform();
        return random.uniform() < 0.5 ? u * u * u * 0.1 : u;
      });
      expect([...adjust(p, 'holm')].map((value) => value < 0.05)).toEqual(slowHolmRejects(p, 0.05));
      expect([...adjust(p, 'benjamini-hochberg')].map((value) => value < 0.05)).toEqual(slowBhRejects(p, 0.05));
    }
  });

  test('the cut of a row is the p at which it changes sides, with the rest of its family as it is', () => {
    const random = createRandom(12);
    for (const correction of ['holm', 'benjamini-hochberg'] as const) {
      for (let i = 0; i < 200; i++) {
        const p = Array.from({ length: 2 + random.int(12) }, () => random.uniform() * random.uniform() * 0.2);
        const cuts = cutsOf(p, correction);
        const row = random.int(p.length);
        const rejectedAt = (value: number): boolean => adjust(p.with(row, value), correction)[row]! < 0.05;
        expect(rejectedAt(0.999999 * cuts[row]!)).toBe(true);
        expect(rejectedAt(1.000001 * cuts[row]!)).toBe(false);
      }
    }
  });

  test('the verdict is read in the order departs, matches, differs slightly, undecided', () => {
    expect(readVerdict(0.01, 0.01, 0.01)).toBe('departs');
    expect(readVerdict(0.01, 0.06, 0.01)).toBe('matches');
    expect(readVerdict(0.01, 0.06, 0.2)).toBe('differs-slightly');
    expect(readVerdict(0.05, 0.05, 0.05)).toBe('undecided');
  });

  test('p_within is not adjusted: twelve rows of 0.04 all match', () => {
    const tests = Array.from({ length: 12 }, () => ({ p: 0.5, pBeyond: 1, pWithin: 0.04 }));
    expect(judgeFamily(tests, 'holm').every(({ verdict }) => verdict === 'matches')).toBe(true);
  });

  test('an empty family is judged, a NaN in one is refused', () => {
    expect(judgeFamily([], 'holm')).toEqual([]);
    expect(() => adjust([0.1, Number.NaN], 'holm')).toThrow(RangeError);
  });
});

describe('permutation', () => {
  test('counting through subset sums equals visiting every split, for shapes even and uneven, with ties', () => {
    const random = createRandom(3);
    for (const [n1, n2] of [
      [5, 5],
      [6, 7],
      [2, 9],
      [9, 2],
      [1, 6],
      [3, 8],
    ] as const) {
      const plan = permutationPlan(n1, n2, 1, 100);
      for (let i = 0; i < 6; i++) {
        // Every other sample of small whole numbers, so that many splits tie with the observed one.
        const x = Array.from({ length: n1 + n2 }, () => (i % 2 === 0 ? random.normal() : random.int(4)));
        const slow = slowPermutation(x.slice(0, n1), x.slice(n1));
        const fast = permutationTest(Float64Array.from(x), n1, plan);
        expect([fast.count, fast.total]).toEqual([slow.two, slow.total]);
        if (Math.abs(slowMean(x.slice(0, n1)) - slowMean(x.slice(n1))) > 1e-9) expect(fast.upper).toBe(slow.one);
      }
    }
  });

  test('five against five separated gives 2 of 252, the smallest two-sided p there is', () => {
    const x = Float64Array.of(1, 2, 3, 4, 5, 11, 12, 13, 14, 15);
    expect(permutationTest(x, 5, permutationPlan(5, 5, 1, 100)).p).toBeCloseTo(2 / 252, 15);
  });

  test('from 200,000 splits on they are sampled: near the exact p, the same for the same seed', () => {
    const random = createRandom(8);
    const x = Float64Array.from({ length: 26 }, (_, i) => random.normal() + (i < 13 ? 0.7 : 0));
    const plan = permutationPlan(13, 13, 4, 20_000);
    expect(plan.exact).toBe(false);
    const sampled = permutationTest(x, 13, plan).p;
    expect(permutationTest(x, 13, permutationPlan(13, 13, 4, 20_000)).p).toBe(sampled);
    // With 26 near-normal values the permutation p is close to the t test's; four standard errors of sampling are 0.008.
    const d = welch(summarise(x, 0, 13), summarise(x, 13));
    expect(Math.abs(sampled - testDifference(d, 0).p)).toBeLessThan(0.015);
  });

  test('of sampled splits every one is counted, of an even and of an odd number', () => {
    const random = createRandom(31);
    for (const [n1, n2, samples] of [
      [20, 11, 999],
      [13, 14, 100],
      [12, 40, 1],
    ] as const) {
      const n = n1 + n2;
      const x = Float64Array.from({ length: n }, (_, i) => random.normal() + (i < n1 ? 0.6 : 0));
      const plan = permutationPlan(n1, n2, 3, samples);
      const mean = x.reduce((sum, value) => sum + value, 0) / n;
      const sumOf = (isIn: (i: number) => boolean): number =>
        x.reduce((sum, value, i) => sum + (isIn(i) ? value - mean : 0), 0);
      const observed = Math.abs(sumOf((i) => (n1 <= n2 ? i < n1 : i >= n1)));
      let count = 0;
      for (let s = 0; s < samples; s++) {
        const marked = (i: number): boolean => ((plan.masks[s * plan.chunks + (i >> 3)]! >> (i & 7)) & 1) === 1;
        if (Math.abs(sumOf(marked)) >= observed) count += 1;
      }
      const found = permutationTest(x, n1, plan);
      expect([found.count, found.total]).toEqual([count, samples]);
    }
  });

  test('10 + 10 is still exact and 5 against 40 is not', () => {
    expect(permutationPlan(10, 10, 1, 10).exact).toBe(true);
    expect(permutationPlan(5, 40, 1, 10).exact).toBe(false);
  });
});

describe('power', () => {
  test('a detectable difference is called departs in 80 % of simulated pairs of groups', () => {
    const random = createRandom(21);
    for (const [n1, n2, cut] of [
      [6, 7, 0.05 / 12],
      [8, 8, 0.05],
      [5, 12, 0.01],
    ] as const) {
      const { se, df } = welch({ n: n1, mean: 0, sd: 2 }, { n: n2, mean: 0, sd: 2 });
      const d = detectableDifference(se, df, 2, cut);
      let found = 0;
      const runs = 4000;
      for (let i = 0; i < runs; i++) {
        const x = Float64Array.from({ length: n1 + n2 }, (_, k) => 2 * random.normal() + (k < n1 ? d : 0));
        if (testDifference(welch(summarise(x, 0, n1), summarise(x, n1)), 2).pBeyond < cut) found += 1;
      }
      // Four standard errors of the simulation are 0.025; that Welch's df are themselves estimated costs about as much.
      expect(Math.abs(found / runs - 0.8)).toBeLessThan(0.05);
    }
  });

  test('the suggested number of swings settles the row, one fewer does not', () => {
    const group = { n: 6, mean: 14, sd: 2 };
    const reference = { n: 9, mean: 11, sd: 1.5 };
    const verdict = (n1: number, n2: number): string =>
      verdictByCuts(testDifference(welch({ ...group, n: n1 }, { ...reference, n: n2 }), 1), CUTS);
    const cuts = { p: 1e-6, pBeyond: 0.01 };
    const more = moreSwings(group, reference, 1, cuts);
    const verdictAfter = (k: number): string => {
      const a = more.of === 'group' ? { ...group, n: group.n + k } : group;
      const b = more.of === 'reference' ? { ...reference, n: reference.n + k } : reference;
      return verdictByCuts(testDifference(welch(a, b), 1), cuts);
    };
    expect(verdict(6, 9)).not.toBe('matches');
    expect(more.count).toBeGreaterThan(1);
    expect(more.count).toBeLessThanOrEqual(40);
    expect(verdictAfter(more.count)).toBe('departs');
    expect(verdictAfter(more.count - 1)).toBe('undecided');
  });

  test('a difference on the margin is never settled: 41, of the group that scatters more', () => {
    const more = moreSwings({ n: 8, mean: 12, sd: 3 }, { n: 8, mean: 10, sd: 1 }, 2, { p: 1e-9, pBeyond: 0.01 });
    expect(more).toEqual({ count: 41, of: 'group' });
  });
});
