import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  detectableDifference,
  erfc,
  fCdf,
  fQuantile,
  fSurvival,
  incompleteBeta,
  logBeta,
  logGamma,
  noncentralTCdf,
  normalCdf,
  normalQuantile,
  normalSurvival,
  powerOfTTest,
  tCdf,
  tDensity,
  tQuantile,
  tSurvival,
} from '../../../src/numeric/distributions.ts';
import { integrate } from '../../../src/numeric/quadrature.ts';
import {
  circularMean,
  fitLine,
  MAD_TO_SD,
  mad,
  mean,
  median,
  percentile,
  rms,
  sd,
  sumOfSquares,
  variance,
} from '../../../src/numeric/statistics.ts';
import { slowIntegral } from '../../support/numericOracles.ts';

const SEED = { seed: 77, numRuns: 200 };

describe('distributions', () => {
  it('t with 1 and 2 degrees of freedom has its closed form, far into the tail', () => {
    for (const t of [0, 1e-8, 0.3, 1, 4, 60, 1e4, 1e8]) {
      expect(tSurvival(t, 1)).toBeCloseTo(0.5 - Math.atan(t) / Math.PI, 14);
      const closed = 1 / ((Math.sqrt(2 + t * t) + t) * Math.sqrt(2 + t * t));
      expect(Math.abs(tSurvival(t, 2) / closed - 1)).toBeLessThan(1e-12);
    }
  });

  it('t is the integral of its density', () => {
    for (const df of [1.3, 4, 17.5, 240]) {
      const area = slowIntegral((t) => tDensity(t, df), -1.7, 2.3);
      // Trapezium rule with 100,000 steps of 4e-5.
      expect(tCdf(2.3, df) - tCdf(-1.7, df)).toBeCloseTo(area, 9);
    }
  });

  it('t becomes normal, without losing digits at ten million degrees of freedom', () => {
    const z = 1.959963984540054;
    // First term of the expansion in 1/df (Abramowitz & Stegun 26.7.5).
    const first = (z * z * z + z) / 4;
    for (const df of [1e4, 1e5, 1e6, 1e7]) expect((tQuantile(0.975, df) - z) * df).toBeCloseTo(first, 2);
    expect(tQuantile(0.975, Number.POSITIVE_INFINITY)).toBeCloseTo(z, 13);
    expect(tSurvival(2, Number.POSITIVE_INFINITY)).toBe(normalSurvival(2));
  });

  it('quantiles invert their functions', () => {
    const p = fc.double({ min: 1e-9, max: 1 - 1e-9, noNaN: true });
    const df = fc.double({ min: 0.4, max: 400, noNaN: true });
    fc.assert(
      fc.property(p, df, df, (q, a, b) => {
        expect(tCdf(tQuantile(q, a), a)).toBeCloseTo(q, 11);
        expect(fCdf(fQuantile(q, a, b), a, b)).toBeCloseTo(q, 11);
        expect(normalCdf(normalQuantile(q))).toBeCloseTo(q, 12);
      }),
      SEED,
    );
  });

  it('the two sides of a distribution add up to one', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 30, noNaN: true }),
        fc.double({ min: 0.5, max: 90, noNaN: true }),
        (x, df) => {
          expect(tCdf(x, df) + tSurvival(x, df)).toBeCloseTo(1, 13);
          expect(fCdf(x, df, 7) + fSurvival(x, df, 7)).toBeCloseTo(1, 12);
          // F with 1 and df is t squared.
          expect(fSurvival(x * x, 1, df)).toBeCloseTo(2 * tSurvival(x, df), 12);
          expect(normalCdf(x) + normalSurvival(x)).toBeCloseTo(1, 14);
          expect(incompleteBeta(2, df, 0.3) + incompleteBeta(df, 2, 0.7)).toBeCloseTo(1, 12);
        },
      ),
      SEED,
    );
  });

  it('gamma, beta and error functions have their exact values', () => {
    expect(logGamma(0.5)).toBeCloseTo(0.5 * Math.log(Math.PI), 14);
    let factorial = 1;
    for (let n = 1; n < 20; n++) {
      expect(logGamma(n)).toBeCloseTo(Math.log(factorial), 12);
      factorial *= n;
    }
    for (const [a, b] of [
      [0.5, 0.5],
      [2, 3],
      [12, 0.5],
      [4, 30],
      [15, 20],
    ] as const) {
      expect(logBeta(a, b)).toBeCloseTo(logGamma(a) + logGamma(b) - logGamma(a + b), 12);
    }
    // I_x(1, n) = 1 − (1 − x)ⁿ.
    expect(incompleteBeta(1, 3, 0.2)).toBeCloseTo(1 - 0.8 * 0.8 * 0.8, 14);
    // Abramowitz & Stegun 1964, table 7.1: erf 0.5 = 0.5204998778, erf 2 = 0.9953222650.
    expect(1 - erfc(0.5)).toBeCloseTo(0.5204998778, 10);
    expect(1 - erfc(2)).toBeCloseTo(0.995322265, 10);
    expect(Math.abs(erfc(2 - 1e-12) / erfc(2 + 1e-12) - 1)).toBeLessThan(1e-11);
    expect(erfc(-1)).toBeCloseTo(2 - erfc(1), 15);
    expect(erfc(40)).toBe(0);
  });

  it('answer nonsense with NaN and certainty with infinity', () => {
    for (const bad of [
      tQuantile(0.5, 0),
      tQuantile(1.2, 5),
      tSurvival(1, -1),
      fSurvival(1, 0, 3),
      normalQuantile(-0.1),
      logGamma(-1),
      incompleteBeta(1, 1, 2),
      detectableDifference(5, 0.05, 0.01),
    ]) {
      expect(bad).toBeNaN();
    }
    expect([tQuantile(0, 5), tQuantile(1, 5), normalQuantile(0), normalQuantile(1)]).toEqual([
      Number.NEGATIVE_INFINITY,
      Number.POSITIVE_INFINITY,
      Number.NEGATIVE_INFINITY,
      Number.POSITIVE_INFINITY,
    ]);
    expect([fQuantile(0, 2, 3), fSurvival(-1, 2, 3), fCdf(-1, 2, 3)]).toEqual([0, 1, 0]);
    expect(tQuantile(0.5, 9)).toBe(0);
  });
});

describe('power', () => {
  /** P(T ≤ t) by integrating the normal over the chi distribution of the estimated SD. */
  function slowNoncentral(t: number, df: number, delta: number): number {
    const log = (df / 2) * Math.log(df) - (df / 2 - 1) * Math.log(2) - logGamma(df / 2);
    const density = (s: number): number => (s <= 0 ? 0 : Math.exp(log + (df - 1) * Math.log(s) - (df * s * s) / 2));
    return slowIntegral((s) => normalCdf(t * s - delta) * density(s), 0, 6, 6000);
  }

  it('the non-central t agrees with an integral over the estimated SD', () => {
    for (const [t, df, delta] of [
      [2, 10, 1],
      [-1, 5, 0.7],
      [2.2, 11.4, 3.1],
      [4, 8, -2],
      [12, 9, 10],
      [0, 6, 1.5],
    ] as const) {
      expect(noncentralTCdf(t, df, delta)).toBeCloseTo(slowNoncentral(t, df, delta), 8);
    }
    expect(noncentralTCdf(1.3, 7, 0)).toBeCloseTo(tCdf(1.3, 7), 12);
  });

  it('is alpha for no difference, grows with the difference, and its inverse gives it back', () => {
    expect(powerOfTTest(0, 11, 0.05)).toBeCloseTo(0.05, 12);
    let last = 0.05;
    for (let d = 0.5; d < 9; d += 0.5) {
      const power = powerOfTTest(d, 11, 0.05);
      expect(power).toBeGreaterThan(last);
      expect(powerOfTTest(-d, 11, 0.05)).toBeCloseTo(power, 11);
      last = power;
    }
    for (const df of [4, 9.7, 11, 60]) {
      expect(powerOfTTest(detectableDifference(df, 0.05, 0.8), df, 0.05)).toBeCloseTo(0.8, 10);
    }
    // Large samples: z(0.975) + z(0.8).
    expect(detectableDifference(1e6, 0.05, 0.8)).toBeCloseTo(1.959963985 + 0.841621234, 4);
  });
});

describe('descriptive statistics', () => {
  it('handle unequal, single, empty and missing samples', () => {
    const x = [4, 1, 7];
    expect([mean(x), median(x), percentile(x, 0), percentile(x, 100)]).toEqual([4, 4, 1, 7]);
    expect(sumOfSquares(x)).toBe(18);
    expect([variance(x), sd(x), rms([3, 4])]).toEqual([9, 3, Math.sqrt(12.5)]);
    expect(percentile([1, 2, 3, 4], 25)).toBe(1.75);
    expect(mad([1, 1, 2, 2, 4, 6, 9])).toBe(1);
    expect([mean([5]), median([5]), mad([5]), sumOfSquares([5])]).toEqual([5, 5, 0, 0]);
    for (const nothing of [
      mean([]),
      median([]),
      sd([5]),
      sd([]),
      rms([]),
      mad([]),
      mean([1, Number.NaN]),
      median([1, Number.NaN]),
      sd([1, Number.NaN]),
    ]) {
      expect(nothing).toBeNaN();
    }
    expect(() => percentile(x, 101)).toThrow(RangeError);
    expect(x).toEqual([4, 1, 7]);
  });

  it('keep their digits far from zero', () => {
    const x = Float64Array.from({ length: 1000 }, (_, i) => 1e9 + (i % 2));
    expect(sd(x)).toBeCloseTo(Math.sqrt(0.25 * (1000 / 999)), 12);
    expect(mean(x)).toBe(1e9 + 0.5);
  });

  it('scale the median deviation to a normal SD', () => {
    expect(MAD_TO_SD * normalQuantile(0.75)).toBeCloseTo(1, 14);
  });

  it('fit a line exactly and refuse x without spread', () => {
    const line = fitLine([1, 2, 5], [3, 5, 11]);
    expect(line.slope).toBeCloseTo(2, 14);
    expect(line.intercept).toBeCloseTo(1, 14);
    expect(fitLine([2, 2], [1, 3]).slope).toBeNaN();
  });

  it('find no mean direction of opposite angles', () => {
    expect(circularMean([0, Math.PI]).length).toBeLessThan(1e-15);
    expect(circularMean([3.1, -3.1]).mean_rad).toBeCloseTo(Math.PI, 14);
  });
});

describe('five-point Gauss–Legendre', () => {
  it('is exact up to degree 9 and not beyond', () => {
    for (let degree = 0; degree <= 10; degree++) {
      const f = (t: number): number => {
        let v = 1;
        for (let i = 0; i < degree; i++) v *= t;
        return v;
      };
      const error = Math.abs(integrate(f, -1, 1) - (degree % 2 === 0 ? 2 / (degree + 1) : 0));
      if (degree < 10) expect(error).toBeLessThan(1e-15);
      else expect(error).toBeGreaterThan(1e-4);
    }
    expect(integrate(Math.cos, 0, 0.5)).toBeCloseTo(Math.sin(0.5), 14);
    expect(integrate(Math.cos, 0.5, 0)).toBeCloseTo(-Math.sin(0.5), 14);
  });
});
