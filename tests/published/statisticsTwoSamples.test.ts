import { describe, expect, test } from 'vitest';
import { cohensD, hedgesG } from '../../src/compare/effectSize.ts';
import { permutationPlan, permutationTest } from '../../src/compare/permutation.ts';
import { resampleSwings } from '../../src/compare/resampling.ts';
import { summarise, testDifference, welch } from '../../src/compare/twoSamples.ts';
import { hedgesFactor, normalQuantile, tQuantile, tSurvival } from '../../src/numeric/distributions.ts';
import { sortedPercentile } from '../../src/numeric/statistics.ts';

/**
 * Check values D15–D20 and D32. Survival times of seven treated and nine control mice, Efron & Tibshirani 1993, An Introduction to the
 * Bootstrap, table 2.1 (as in open code, recomputed). Tolerances are those of the check values.
 */
const TREATED = [94, 197, 16, 38, 99, 141, 23];
const CONTROL = [52, 104, 146, 10, 51, 30, 40, 27, 46];
const BOTH = Float64Array.from([...TREATED, ...CONTROL]);
const treated = summarise(BOTH, 0, 7);
const control = summarise(BOTH, 7);

describe('two samples of published mice', () => {
  test('D15: the mean difference is 30.635 and 1613 of 11440 splits are at least as large', () => {
    expect(treated.mean - control.mean).toBeCloseTo(30.6349206349, 9);
    const result = permutationTest(BOTH, 7, permutationPlan(7, 9, 1, 2000));
    expect([result.exact, result.upper, result.total]).toEqual([true, 1613, 11440]);
    expect(result.upper / result.total).toBeCloseTo(0.1409965035, 9);
  });

  test('D16: 3184 of 11440 splits are at least as large on either side', () => {
    const result = permutationTest(BOTH, 7, permutationPlan(7, 9, 1, 2000));
    expect(result.count).toBe(3184);
    expect(result.p).toBeCloseTo(0.2783216783, 9);
  });

  test('D17: Welch t, degrees of freedom and p', () => {
    const { difference, se, df } = welch(treated, control);
    expect(Math.abs(difference / se - 1.0587105874)).toBeLessThanOrEqual(1e-8);
    expect(Math.abs(df - 9.65449005)).toBeLessThanOrEqual(1e-8);
    expect(Math.abs(testDifference({ difference, se, df }, 5).p - 0.3155006541)).toBeLessThanOrEqual(1e-8);
  });

  test('D17: pooled t and its p with 14 degrees of freedom follow from the pooled effect size', () => {
    const t = cohensD(treated, control) / Math.sqrt(1 / 7 + 1 / 9);
    expect(Math.abs(t - 1.1208453991)).toBeLessThanOrEqual(1e-8);
    expect(Math.abs(2 * tSurvival(t, 14) - 0.2812125848)).toBeLessThanOrEqual(1e-8);
  });

  test('D18: Cohen’s d and Hedges’ g with the exact factor, not its approximation', () => {
    expect(Math.abs(cohensD(treated, control) - 0.5648529875)).toBeLessThanOrEqual(1e-9);
    expect(Math.abs(hedgesG(treated, control) - 0.5339485979)).toBeLessThanOrEqual(1e-9);
    // 1 − 3/(4ν − 1) would give 0.5340428246
    expect(Math.abs(hedgesG(treated, control) - 0.5340428246)).toBeGreaterThan(5e-5);
  });

  test('D19: the exact factor by degrees of freedom (Hedges 1981, J Educ Stat 6:107-128)', () => {
    const rows: readonly (readonly [number, number])[] = [
      [4, 0.7978845608028653],
      [8, 0.90270333367641],
      [9, 0.9138748917925524],
      [10, 0.922745608053087],
      [14, 0.9452877293068114],
      [18, 0.9576464270237195],
      [20, 0.9619445337407481],
    ];
    for (const [df, factor] of rows) expect(Math.abs(hedgesFactor(df) - factor)).toBeLessThanOrEqual(1e-10);
  });

  test('D20: resampled means of the treated mice scatter by the plug-in standard error 23.36 and span the book’s interval', () => {
    const { draws, n, count } = resampleSwings(7, 9, 20, 20_000);
    const means = new Float64Array(count);
    for (let r = 0; r < count; r++) {
      for (let i = 0; i < 7; i++) means[r]! += (draws[r * n + i]! * TREATED[i]!) / 7;
    }
    const spread = summarise(means);
    const plugIn = (treated.sd * Math.sqrt(6 / 7)) / Math.sqrt(7);
    expect(Math.abs(treated.mean - 86.8571428571)).toBeLessThanOrEqual(1e-9);
    expect(Math.abs(plugIn - 23.3635234373)).toBeLessThanOrEqual(1e-9);
    // 20,000 resamples: the mean errs by 0.17, the SD by 0.12 (one standard error); four of them are allowed.
    expect(Math.abs(spread.mean - 86.857)).toBeLessThan(0.7);
    expect(Math.abs(spread.sd - plugIn)).toBeLessThan(0.5);
    // The book's 1,000 resamples gave 45.9 … 135.4; their own percentiles scatter by about 3.
    means.sort();
    expect(Math.abs(sortedPercentile(means, 2.5) - 45.9)).toBeLessThan(6);
    expect(Math.abs(sortedPercentile(means, 97.5) - 135.4)).toBeLessThan(6);
  });

  test('D32: quantiles of t at 0.975, and of the normal', () => {
    const rows: readonly (readonly [number, number])[] = [
      [2, 4.302652729749462],
      [4, 2.7764451051977934],
      [7, 2.364624251592784],
      [9, 2.262157162798205],
      [14, 2.144786687917804],
      [18, 2.1009220402410382],
    ];
    for (const [df, t] of rows) expect(Math.abs(tQuantile(0.975, df) - t)).toBeLessThanOrEqual(1e-9);
    expect(Math.abs(normalQuantile(0.975) - 1.959963984540054)).toBeLessThanOrEqual(1e-9);
  });
});
