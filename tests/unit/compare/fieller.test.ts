import { describe, expect, it } from 'vitest';
import { closedShare } from '../../../src/compare/fieller.ts';
import { summarise, welch } from '../../../src/compare/twoSamples.ts';
import { tQuantile } from '../../../src/numeric/distributions.ts';
import { createRandom } from '../../../src/numeric/random.ts';

describe('the share of a gap that has closed', () => {
  const after = { difference: 4.1, se: 0.7, df: 12.3 };
  const before = { difference: 9.4, se: 0.9, df: 13.8 };

  it('ends where a − r·b lies just t standard errors from 0: the definition, solved by bisection', () => {
    const { value, low95, high95 } = closedShare(after, before);
    const r = after.difference / before.difference;
    const [va, vb] = [after.se ** 2, (r * before.se) ** 2];
    const t = tQuantile(0.975, (va + vb) ** 2 / (va ** 2 / after.df + vb ** 2 / before.df));
    const excess = (ratio: number) =>
      Math.abs(after.difference - ratio * before.difference) - t * Math.hypot(after.se, ratio * before.se);
    const root = (inside: number, outside: number): number => {
      let [a, b] = [inside, outside];
      for (let i = 0; i < 200; i++) {
        const middle = (a + b) / 2;
        if (excess(middle) < 0) a = middle;
        else b = middle;
      }
      return a;
    };
    expect(value).toBeCloseTo(1 - r, 14);
    expect(low95).toBeCloseTo(1 - root(r, 3), 10);
    expect(high95).toBeCloseTo(1 - root(r, -3), 10);
  });
  it('with a gap known exactly is the t interval of the later gap over it', () => {
    const half = (tQuantile(0.975, after.df) * after.se) / 10;
    expect(closedShare(after, { difference: 10, se: 0, df: Number.NaN })).toEqual({
      value: expect.closeTo(1 - 0.41, 12),
      low95: expect.closeTo(1 - 0.41 - half, 12),
      high95: expect.closeTo(1 - 0.41 + half, 12),
    });
  });
  it('is the same for gaps of the other sign and in other units', () => {
    const by = (factor: number) =>
      closedShare(
        { ...after, difference: factor * after.difference, se: Math.abs(factor) * after.se },
        { ...before, difference: factor * before.difference, se: Math.abs(factor) * before.se },
      );
    for (const factor of [-1, 1000, -0.01]) {
      expect(by(factor)).toEqual({
        value: expect.closeTo(by(1).value!, 10),
        low95: expect.closeTo(by(1).low95!, 10),
        high95: expect.closeTo(by(1).high95!, 10),
      });
    }
  });
  it('is none where the first gap is not certain, or a day has no scatter to reckon with', () => {
    const none = { value: null, low95: null, high95: null };
    expect(closedShare(after, { difference: 1.7, se: 0.9, df: 13.8 })).toEqual(none);
    expect(closedShare({ ...after, se: Number.NaN }, before)).toEqual(none);
    expect(closedShare(after, { ...before, difference: 0 })).toEqual(none);
    expect(closedShare({ difference: 2, se: 0, df: Number.NaN }, { difference: 8, se: 0, df: Number.NaN })).toEqual({
      value: 0.75,
      low95: 0.75,
      high95: 0.75,
    });
  });
  it('covers the true share in 95 % of 2,000 seeded pairs of days of unequal sizes and scatter', () => {
    const random = createRandom(20261129);
    const gap = (mean: number): ReturnType<typeof welch> => {
      const draw = (n: number, centre: number, sd: number) =>
        summarise(Float64Array.from({ length: n }, () => centre + sd * random.normal()));
      return welch(draw(6, mean, 2), draw(9, 0, 1.2));
    };
    let covered = 0;
    let given = 0;
    for (let i = 0; i < 2000; i++) {
      const before = gap(8);
      const { low95, high95 } = closedShare(gap(3), before);
      if (low95 === null || high95 === null) continue;
      given += 1;
      if (low95 <= 0.625 && 0.625 <= high95) covered += 1;
    }
    expect(given).toBeGreaterThan(1990);
    // 95 % ± 4 standard errors of 2,000 draws (0.49 % each)
    expect(covered / given).toBeGreaterThan(0.93);
    expect(covered / given).toBeLessThan(0.97);
  });
});
