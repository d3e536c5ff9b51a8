import { describe, expect, it } from 'vitest';
import { normalCdf } from '../../../src/numeric/distributions.ts';
import { shiftedHalfWidth } from '../../../src/numeric/shiftedInterval.ts';

describe('the half-width of a noisy and shifted estimate', () => {
  it.each([0, 0.3, 0.77, 1, 2.2, 2.99, 3, 8])('holds the truth in 95 of 100 cases at a shift of %f sd', (shift) => {
    const h = shiftedHalfWidth(2, 2 * shift) / 2;
    // Between steps of 0.05 a straight line.
    expect(normalCdf(h - shift) - normalCdf(-h - shift)).toBeCloseTo(0.95, 3);
  });

  it('is 1.96 sd without a shift, the shift alone without noise, and unknown where one is', () => {
    expect(shiftedHalfWidth(1, 0)).toBeCloseTo(1.959964, 5);
    expect(shiftedHalfWidth(0, 0.5)).toBe(0.5);
    expect(shiftedHalfWidth(Number.NaN, 0.5)).toBeNaN();
    expect(shiftedHalfWidth(1, Number.NaN)).toBeNaN();
  });
});
