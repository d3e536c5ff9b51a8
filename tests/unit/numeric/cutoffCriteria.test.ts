import { describe, expect, it } from 'vitest';
import {
  addLaggedProducts,
  leastOf,
  residualCutoff,
  tailLine,
  unlikeWhite,
} from '../../../src/numeric/cutoffCriteria.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { slowAutocorrelation, slowIntercept } from '../../support/slowSmoothing.ts';

describe('residual analysis', () => {
  const frequencies = [2, 4, 6, 8, 10, 12];
  it('takes the line of least squares through the tail alone', () => {
    const curve = [9, 5, 3, 2.2, 2.1, 1.7];
    const { intercept, slope } = tailLine(frequencies, curve, 8, 12);
    expect(intercept).toBeCloseTo(slowIntercept([8, 10, 12], [2.2, 2.1, 1.7]), 12);
    expect(slope).toBeCloseTo(-0.125, 12);
    expect(() => tailLine(frequencies, curve, 11, 12)).toThrow(RangeError);
  });

  it('crosses the intercept between two points of the curve, or says on which side of it the curve lies', () => {
    expect(residualCutoff(frequencies, [9, 5, 3, 2, 1, 1], 4)).toBeCloseTo(5, 12);
    expect(residualCutoff(frequencies, [9, 5, 3, 2, 1, 1], 3)).toBe(6);
    expect(residualCutoff(frequencies, [4, 3, 2, 1, 1, 1], 4)).toBe(Number.NEGATIVE_INFINITY);
    expect(residualCutoff(frequencies, [9, 8, 8, 7, 7, 7], 4)).toBe(Number.POSITIVE_INFINITY);
  });
});

describe('autocorrelation of the residual', () => {
  it('is the plain sum of squares at the lags, of one series', () => {
    const random = createRandom(4);
    const r = Array.from({ length: 80 }, () => random.normal());
    const sums = new Float64Array(11);
    addLaggedProducts(sums, Float64Array.from([5, 5, ...r, 5]), 2, 80, 3);
    const slow = slowAutocorrelation(r, 10).reduce((total, value) => total + value * value, 0);
    expect(unlikeWhite(sums)).toBeCloseTo(slow, 12);
  });

  it.each([1, 2, 3, 4, 5, 6, 7, 9])(
    'adds weighted products at every lag of a run of %i, longer lags than the run being 0',
    (n) => {
      const r = Array.from({ length: n }, (_, i) => i + 1);
      const sums = new Float64Array(7).fill(100);
      addLaggedProducts(sums, Float64Array.from([99, ...r, 99, 99, 99, 99]), 1, n, 2);
      const slow = Array.from({ length: 7 }, (_, k) => 100 + 2 * r.reduce((sum, v, i) => sum + v * (r[i + k] ?? 0), 0));
      expect([...sums]).toEqual(slow);
    },
  );

  it('is 0 where there is no residual', () => {
    expect(unlikeWhite(new Float64Array(5))).toBe(0);
  });

  it('looks for the least value past what is missing', () => {
    expect(leastOf([Number.NaN, 3, 1, 2])).toBe(2);
    expect(leastOf([])).toBe(-1);
  });
});
