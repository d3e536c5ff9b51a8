import type { Correction } from '../../src/compare/adjust.ts';
import { judgeFamily, type PValues } from '../../src/compare/families.ts';
import { summarise, testDifference, welch } from '../../src/compare/twoSamples.ts';
import { createRandom, type Random } from '../../src/numeric/random.ts';

export interface FamilySettings {
  readonly families: number;
  readonly nGroup: number;
  readonly nReference: number;
  /** Of a swing, in degrees. */
  readonly sd: number;
  readonly margin: number;
  /** True difference of each test; its length is the size of the family. */
  readonly truth: readonly number[];
  readonly correction: Correction;
}

export interface FamilyResult {
  /** Share of families that call *departs* at least once where |true| ≤ margin. */
  readonly falseAny: number;
  /** Mean over families of (false departs) / max(1, departs). */
  readonly falseShare: number;
  /** Share of tests with |true| > margin called *departs*. */
  readonly power: number;
  /** Share of tests with a true difference of 0 called *matches*. */
  readonly matches: number;
}

/** Normal, independent swings; the verdicts by the family function alone. */
export function simulateFamilies(random: Random, settings: FamilySettings): FamilyResult {
  const { families, nGroup, nReference, sd, margin, truth, correction } = settings;
  const values = new Float64Array(nGroup + nReference);
  const tests: PValues[] = [];
  let falseAny = 0;
  let falseShare = 0;
  let called = 0;
  let matched = 0;
  for (let family = 0; family < families; family++) {
    truth.forEach((difference, t) => {
      for (let i = 0; i < values.length; i++) values[i] = sd * random.normal() + (i < nGroup ? difference : 0);
      tests[t] = testDifference(welch(summarise(values, 0, nGroup), summarise(values, nGroup)), margin);
    });
    const judged = judgeFamily(tests, correction);
    let right = 0;
    let wrong = 0;
    judged.forEach(({ verdict }, t) => {
      if (verdict === 'matches' && truth[t] === 0) matched += 1;
      if (verdict !== 'departs') return;
      if (Math.abs(truth[t]!) <= margin) wrong += 1;
      else right += 1;
    });
    called += right;
    if (wrong > 0) falseAny += 1;
    falseShare += wrong / Math.max(1, wrong + right);
  }
  const different = truth.filter((difference) => Math.abs(difference) > margin).length;
  const equal = truth.filter((difference) => difference === 0).length;
  return {
    falseAny: falseAny / families,
    falseShare: falseShare / families,
    power: called / (families * different),
    matches: matched / (families * equal),
  };
}

/** The same margin for all, as definitions 8 has it for angles. */
export const MARGIN_DEG = 2;
/** 5 % and two standard errors of a share of 5 % over so many families. */
export const allowed = (families: number): number => 0.05 + 2 * Math.sqrt((0.05 * 0.95) / families);
export const SIZES = [5, 6, 8] as const;
export const SDS_DEG = [1, 2, 4] as const;

/** The primary list of twelve by Holm, `n` swings on each side: every true difference on the margin, and none at all. Seeded by n and SD. */
export function simulatePrimary(families: number, n: number, sd: number): { on: FamilyResult; none: FamilyResult } {
  const settings = { families, nGroup: n, nReference: n, sd, margin: MARGIN_DEG, correction: 'holm' } as const;
  return {
    on: simulateFamilies(createRandom(100 * n + sd), {
      ...settings,
      truth: Array.from({ length: 12 }, (_, i) => (i % 2 === 0 ? MARGIN_DEG : -MARGIN_DEG)),
    }),
    none: simulateFamilies(createRandom(7000 + 100 * n + sd), { ...settings, truth: Array(12).fill(0) }),
  };
}
