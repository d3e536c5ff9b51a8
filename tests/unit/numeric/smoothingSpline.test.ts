import { describe, expect, it } from 'vitest';
import { createRandom } from '../../../src/numeric/random.ts';
import {
  factorSpline,
  smoothSpline,
  splineFreedom,
  splineGain,
  splineLambda,
} from '../../../src/numeric/smoothingSpline.ts';
import { slowQuintic } from '../../support/slowSmoothing.ts';

function smoothed(y: readonly number[], lambda: number, from = 0): number[] {
  const n = y.length;
  const x = new Float64Array(n + 2 * from).fill(1e9);
  x.set(y, from);
  smoothSpline(
    x,
    from,
    factorSpline(n, lambda),
    new Float64Array(n).fill(Number.NaN),
    new Float64Array(n).fill(Number.NaN),
  );
  expect([...x.slice(0, from), ...x.slice(from + n)].every((value) => value === 1e9)).toBe(true);
  return [...x.slice(from, from + n)];
}

const worst = (a: readonly number[], b: readonly number[]): number =>
  a.reduce((most, value, i) => Math.max(most, Math.abs(value - b[i]!)), 0);

describe('quintic smoothing spline', () => {
  it.each([
    [4, 1],
    [5, 0.3],
    [6, 1000],
    [7, 20],
    [40, 0.01],
    [40, 50],
    [60, 2e4],
  ])('is the dense kernel solution for %i samples at λ %d, its freedom too', (n, lambda) => {
    const random = createRandom(n);
    const y = Array.from({ length: n }, (_, i) => Math.sin(i / 5) + 0.1 * random.normal());
    const slow = slowQuintic(y, lambda);
    // the dense system mixes numbers up to n⁵, which costs it nine of its sixteen digits
    expect(worst(smoothed(y, lambda, 3), slow.smoothed)).toBeLessThan(1e-7);
    expect(splineFreedom(factorSpline(n, lambda))).toBeCloseTo(slow.freedom, 6);
  });

  it('leaves a parabola as it is, whatever λ', () => {
    const y = Array.from({ length: 200 }, (_, i) => 3 - 0.2 * i + 0.01 * i * i);
    expect(worst(smoothed(y, 1e7), y)).toBeLessThan(1e-9);
  });

  it('passes 1/√2 of a sine at its cutoff, as the gain says, without delay', () => {
    const rate_Hz = 240;
    const lambda = splineLambda(10, rate_Hz);
    expect(splineGain(lambda, 10, rate_Hz)).toBeCloseTo(Math.SQRT1_2, 12);
    for (const f_Hz of [4, 10, 16]) {
      const y = Array.from({ length: 960 }, (_, i) => Math.sin((2 * Math.PI * f_Hz * i) / rate_Hz));
      const middle = smoothed(y, lambda).slice(240, 720);
      const gain = splineGain(lambda, f_Hz, rate_Hz);
      // ends are a second away, more than eight periods of the cutoff
      expect(
        worst(
          middle,
          y.slice(240, 720).map((value) => gain * value),
        ),
      ).toBeLessThan(1e-6);
    }
  });

  it('spends all parameters at λ → 0 and three at λ → ∞', () => {
    expect(splineFreedom(factorSpline(50, 1e-9))).toBeLessThan(1e-5);
    expect(splineFreedom(factorSpline(50, 1e12))).toBeCloseTo(47, 3);
  });

  it('refuses fewer than four samples and a cutoff at half the rate', () => {
    expect(() => factorSpline(3, 1)).toThrow(RangeError);
    expect(() => splineLambda(120, 240)).toThrow(RangeError);
  });
});
