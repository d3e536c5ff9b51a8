import { describe, expect, test } from 'vitest';
import { acceleration, bcaInterval } from '../../src/compare/bca.ts';
import { createRandom } from '../../src/numeric/random.ts';

/** Check values D22 and D23: 26 spatial-test values of Efron & Tibshirani 1993, An Introduction to the Bootstrap, chapter 14 (data from open code; the interval from memory). */
const A = [48, 36, 20, 29, 42, 42, 20, 42, 22, 41, 45, 14, 6, 0, 33, 28, 34, 4, 32, 24, 47, 41, 24, 26, 30, 41];

/** Divided by n, as the book has it. */
function plugInVariance(x: readonly number[]): number {
  const mean = x.reduce((sum, value) => sum + value, 0) / x.length;
  return x.reduce((sum, value) => sum + (value - mean) * (value - mean), 0) / x.length;
}

/** Mean of the leave-one-out estimates less each of them. */
function jackknife(x: readonly number[]): number[] {
  const left = x.map((_, i) => plugInVariance(x.filter((_value, k) => k !== i)));
  const mean = left.reduce((sum, value) => sum + value, 0) / left.length;
  return left.map((value) => mean - value);
}

describe('bias-corrected and accelerated interval of published data', () => {
  test('D22: the variance, and its acceleration from the jackknife', () => {
    expect(Math.abs(plugInVariance(A) - 171.5340236686)).toBeLessThanOrEqual(1e-9);
    expect(Math.abs(acceleration(jackknife(A)) - 0.0612401198)).toBeLessThanOrEqual(1e-9);
  });

  test('D23: the 90 % interval of the variance is about 115.5 to 260.9', () => {
    const random = createRandom(23);
    const replicates = Float64Array.from({ length: 20_000 }, () =>
      plugInVariance(A.map(() => A[random.int(A.length)]!)),
    ).sort();
    const [low, high] = bcaInterval(replicates, plugInVariance(A), acceleration(jackknife(A)), 0.9);
    // The check value allows 4, which is also what 20,000 resamples leave; the percentile interval would be 101 … 233.
    expect(Math.abs(low - 115.5)).toBeLessThan(4);
    expect(Math.abs(high - 260.9)).toBeLessThan(4);
  });
});
