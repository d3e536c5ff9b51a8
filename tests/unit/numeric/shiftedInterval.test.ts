import { describe, expect, it } from 'vitest';
import { normalCdf } from '../../../src/numeric/distributions.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { halfWidthWithShift, shiftedHalfWidth } from '../../../src/numeric/shiftedInterval.ts';

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

describe('the half-width of a value whose shift is estimated from the same noise', () => {
  // Noise w of the value, u of the estimate, both of the shift b: the value errs by w + b, the estimate is b + u. 20,000 draws hold to 3 · 0.15 %.
  it.each([
    { size: 0, sd: 0.35, correlation: -0.49 },
    { size: 0.5, sd: 0.35, correlation: -0.49 },
    { size: 3, sd: 0.35, correlation: -0.49 },
    { size: 0.3, sd: 0.75, correlation: -0.74 },
    { size: 1, sd: 0.75, correlation: -0.74 },
    { size: 1, sd: 0.75, correlation: 0 },
    { size: 1, sd: 0, correlation: 0 },
  ])('holds the truth in 95 of 100 cases: shifts of $size sd, estimated to $sd sd, correlation $correlation', (one) => {
    const { size, sd, correlation } = one;
    const random = createRandom(3);
    let inside = 0;
    for (let i = 0; i < 20000; i++) {
      const b = size * random.normal();
      const w = random.normal();
      const u = sd * (correlation * w + Math.sqrt(1 - correlation * correlation) * random.normal());
      const h = halfWidthWithShift({
        variance: 1,
        estimate: b + u,
        estimateVariance: sd * sd,
        covariance: correlation * sd,
        size2: size * size,
      });
      if (Math.abs(w + b) <= h) inside += 1;
    }
    expect(Math.abs(inside / 20000 - 0.95)).toBeLessThan(0.0047);
  });

  it('is 1.96 sd where nothing is shifted and nothing estimated, and unknown where one is', () => {
    const none = { variance: 4, estimate: 0, estimateVariance: 0, covariance: 0, size2: 0 };
    expect(halfWidthWithShift(none)).toBeCloseTo(3.919928, 5);
    expect(halfWidthWithShift({ ...none, variance: Number.NaN })).toBeNaN();
    expect(halfWidthWithShift({ ...none, size2: Number.NaN })).toBeNaN();
    expect(halfWidthWithShift({ ...none, size2: 1, estimate: Number.NaN })).toBeNaN();
  });
});
