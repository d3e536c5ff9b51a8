import { describe, expect, test } from 'vitest';
import { testPairedCurves } from '../../src/compare/curveTest.ts';
import { cohensD } from '../../src/compare/effectSize.ts';
import { flipLabellings } from '../../src/compare/labellings.ts';
import { interval } from '../../src/compare/rows.ts';
import { summarise, welch } from '../../src/compare/twoSamples.ts';
import { hedgesFactor, tSurvival } from '../../src/numeric/distributions.ts';
import { lineAt } from '../../src/numeric/lineFit.ts';

/**
 * Check values D21, D24–D29 and D31: a curve of one step is one number, and its test is the t test and the permutation test of textbooks. Data of D24–D29
 * from open code (its data of one number a subject), values recomputed; D21 Darwin's maize in Fisher 1935, The Design of Experiments (data from memory, recomputed).
 * Tolerances are those of the check values.
 */

/** t of the mean, and the exact p of the sign changes. */
function paired(differences: readonly number[]): { t: number; p: number } {
  const { t, p } = testPairedCurves(
    differences.map((x) => Float64Array.of(x)),
    flipLabellings(differences.length, 1, 100),
  )!;
  return { t: t[0]!, p };
}

const less = (a: readonly number[], b: readonly number[]): number[] => a.map((x, i) => x - b[i]!);

/** 95 % interval of a mean by t. */
function meanInterval(x: readonly number[]): readonly [number, number] {
  const { n, mean, sd } = summarise(Float64Array.from(x));
  const [low, high] = interval({ difference: mean, se: sd / Math.sqrt(n), df: n - 1 }, 0.95);
  return [low!, high!];
}

const close = (actual: number, expected: number, tolerance: number): void =>
  expect(Math.abs(actual - expected)).toBeLessThanOrEqual(tolerance);

describe('pairs and single samples of published data', () => {
  test('D21: of 32,768 changes of sign of the maize differences 1,726 are at least as large', () => {
    const maize = [49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48];
    const { t, p } = paired(maize);
    close(t, 2.1479874613, 1e-9);
    close(2 * tSurvival(t, 14), 0.049702944, 1e-9);
    expect(p).toBe(1726 / 32768);
  });

  const before = [210, 205, 193, 182, 259, 239, 164, 197, 222, 211, 187, 175, 186, 243, 246];
  const after = [197, 195, 191, 174, 236, 226, 157, 196, 201, 196, 181, 164, 181, 229, 231];

  test('D24: t, degrees of freedom and p of fifteen pairs', () => {
    const { t } = paired(less(before, after));
    close(t, 6.6896995349, 1e-8);
    close(2 * tSurvival(t, 14), 1.0275656e-5, 1e-11);
  });

  test('D25: their mean difference, SD, effect size with the exact factor, and interval', () => {
    const differences = less(before, after);
    const { mean, sd } = summarise(Float64Array.from(differences));
    close(mean, 10.9333333333, 1e-8);
    close(sd, 6.3298235889, 1e-8);
    close(mean / sd, 1.7272729926, 1e-8);
    close((mean / sd) * hedgesFactor(14), 1.6327699651, 1e-8);
    const [low, high] = meanInterval(differences);
    close(low, 7.4279938684, 1e-8);
    close(high, 14.4386727982, 1e-8);
  });

  test('D26: ten pairs', () => {
    const { t } = paired(less([19, 22, 24, 24, 25, 25, 26, 26, 28, 32], [16, 20, 21, 22, 23, 22, 27, 25, 27, 28]));
    close(t, 4.472135955, 1e-9);
    close(tSurvival(t, 9), 0.000774942951, 1e-9);
  });

  test('D27: two samples: pooled t, one-sided p, Welch degrees of freedom', () => {
    const a = summarise(Float64Array.of(13, 17, 19, 11, 20, 15, 18, 9, 12, 16));
    const b = summarise(Float64Array.of(12, 8, 6, 16, 12, 14, 10, 18, 4, 11));
    const t = cohensD(a, b) / Math.sqrt(1 / 10 + 1 / 10);
    close(t, 2.1767677315, 1e-8);
    close(tSurvival(t, 18), 0.0215263583, 1e-8);
    close(welch(a, b).df, 17.4986655317, 1e-8);
  });

  test('D28: one sample against 0', () => {
    const { t } = paired([23, 15, -5, 7, 1, -10, 12, -8, 20, 8, -2, -5]);
    close(t, 1.4492553138, 1e-8);
    close(tSurvival(t, 11), 0.0875847278, 1e-8);
  });

  test('D29: the t interval of a mean of eighteen', () => {
    const [low, high] = meanInterval([29, 27, 34, 40, 22, 28, 14, 35, 26, 35, 12, 30, 23, 18, 11, 22, 23, 33]);
    close(low, 21.5270852695, 1e-8);
    close(high, 29.8062480638, 1e-8);
  });
});

test('D31: slope, intercept, correlation and t of a regression of published data', () => {
  const x = [5, 23, 25, 48, 17, 8, 4, 26, 11, 19, 14, 35, 29, 4, 23];
  const y = [80, 78, 60, 53, 85, 84, 73, 79, 81, 75, 68, 72, 58, 92, 65];
  const line = lineAt(x, y, 0);
  const t = line.slope / line.slopeSe;
  close(line.slope, -0.6282004052, 1e-8);
  close(line.value, 85.7204211948, 1e-8);
  close(t / Math.sqrt(t * t + line.df), -0.7134301744, 1e-8);
  close(t, -3.6709182653, 1e-8);
});
