import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { differentiate, differentiateColumns } from '../../../src/numeric/derivative.ts';
import {
  evaluateSpline,
  findCrossings,
  findExtremum,
  gapFillCubic,
  interpolateDerivative,
  interpolatePoint,
  interpolatePointVelocity,
  interpolateValue,
  type SplineEnd,
  splineSlopes,
} from '../../../src/numeric/interpolate.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { slowSpline, worstDifference } from '../../support/numericOracles.ts';

const SEED = { seed: 21, numRuns: 200 };
const coefficient = fc.double({ min: -1, max: 1, noNaN: true });

/** Value and slope of a polynomial in (t − 10) / 10, so that coefficients keep their size over frames 0 to 20. */
function polynomial(c: readonly number[], t: number): number {
  return c.reduceRight((sum, v) => (sum * (t - 10)) / 10 + v, 0);
}

function polynomialSlope(c: readonly number[], t: number): number {
  return (
    polynomial(
      c.slice(1).map((v, i) => v * (i + 1)),
      t,
    ) / 10
  );
}

function sampled(f: (t: number) => number, frames: number): Float64Array {
  return Float64Array.from({ length: frames }, (_, t) => f(t));
}

describe('cubic splines', () => {
  it.each<SplineEnd>(['natural', 'not-a-knot'])('%s: agree with all their conditions solved at once', (end) => {
    const random = createRandom(8);
    for (const n of [4, 5, 7, 12]) {
      const x: number[] = [random.uniform()];
      while (x.length < n) x.push(x[x.length - 1]! + 0.2 + 2 * random.uniform());
      const y = x.map(() => random.normal());
      const slopes = new Float64Array(n);
      const X = Float64Array.from(x);
      const Y = Float64Array.from(y);
      splineSlopes(X, Y, n, end, slopes, new Float64Array(3 * n));
      const slow = slowSpline(x, y, end);
      for (let i = 0; i <= 60; i++) {
        const t = x[0]! + ((x[n - 1]! - x[0]!) * i) / 60;
        expect(Math.abs(evaluateSpline(X, Y, slopes, n, t) - slow(t))).toBeLessThan(1e-10);
      }
    }
  });

  it('are exact for cubics (not-a-knot), the parabola through three and the line through two', () => {
    const x = Float64Array.of(0, 1, 2.5, 3, 7, 8);
    const cubic = (t: number): number => 1 - 2 * t + 0.3 * t * t - 0.05 * t * t * t;
    const parabola = (t: number): number => 2 + t - 0.7 * t * t;
    const line = (t: number): number => 2 + t;
    for (const [f, n] of [
      [cubic, 6],
      [cubic, 4],
      [parabola, 3],
      [line, 2],
    ] as const) {
      const y = x.map(f);
      const slopes = new Float64Array(n);
      splineSlopes(x, y, n, 'not-a-knot', slopes, new Float64Array(18));
      for (const t of [-0.5, 0, 0.4, 1, 2, x[n - 1]! + 0.3]) {
        expect(evaluateSpline(x, y, slopes, n, t)).toBeCloseTo(f(t), 12);
      }
    }
    expect(() => splineSlopes(x, x, 1, 'natural', new Float64Array(1), new Float64Array(3))).toThrow(RangeError);
  });
});

describe('gap filling', () => {
  it('uses measured samples only, all columns alike, and other gaps stay open', () => {
    const frames = 80;
    const truth = new Float64Array(3 * frames);
    for (let f = 0; f < frames; f++) {
      truth[f] = 1 + 0.1 * f;
      truth[frames + f] = 0.001 * f * f;
      truth[2 * frames + f] = 1e-5 * f * f * f;
    }
    const data = truth.slice();
    const good = new Uint8Array(frames).fill(1);
    for (const [a, b] of [
      [20, 25],
      [28, 40],
      [60, 61],
    ] as const) {
      good.fill(0, a, b);
      for (let c = 0; c < 3; c++) data.fill(Number.NaN, c * frames + a, c * frames + b);
    }
    const filled = gapFillCubic(data, frames, 3, good, [20, 25, 60, 61], createWorkspace({ poison: true }));
    expect(filled).toBe(2);
    for (let c = 0; c < 3; c++) {
      for (let f = 0; f < frames; f++) {
        if (f >= 28 && f < 40) expect(data[c * frames + f]).toBeNaN();
        // Cubics are in the spline's family.
        else expect(Math.abs(data[c * frames + f]! - truth[c * frames + f]!)).toBeLessThan(1e-11);
      }
    }
  });

  it('leaves gaps at the ends and gaps with fewer than four samples around them alone', () => {
    const ws = createWorkspace({ poison: true });
    const x = Float64Array.of(Number.NaN, 1, 2, 3, Number.NaN);
    const good = Uint8Array.of(0, 1, 1, 1, 0);
    expect(gapFillCubic(x, 5, 1, good, [0, 1, 4, 5], ws)).toBe(0);
    expect([x[0], x[4]]).toEqual([Number.NaN, Number.NaN]);
    const few = Float64Array.of(1, Number.NaN, 3, 4);
    expect(gapFillCubic(few, 4, 1, Uint8Array.of(1, 0, 1, 1), [1, 2], ws)).toBe(0);
    expect(few[1]).toBeNaN();
  });

  it('does not notice samples further than its reach', () => {
    const ws = createWorkspace();
    const a = sampled((t) => Math.sin(0.1 * t), 200);
    const b = a.map((v, t) => (t < 40 || t > 160 ? v + 1 : v));
    const good = new Uint8Array(200).fill(1).fill(0, 98, 103);
    gapFillCubic(a, 200, 1, good, [98, 103], ws);
    gapFillCubic(b, 200, 1, good, [98, 103], ws);
    expect(worstDifference(a.subarray(98, 103), b.subarray(98, 103))).toBe(0);
  });
});

describe('values between frames', () => {
  it('are exact for polynomials of degree 5, value and derivative, anywhere in the series', () => {
    fc.assert(
      fc.property(
        fc.array(coefficient, { minLength: 6, maxLength: 6 }),
        fc.double({ min: -1, max: 21, noNaN: true }),
        (c, t) => {
          const x = sampled((f) => polynomial(c, f), 21);
          // Beyond an end the weights grow to some 30.
          expect(Math.abs(interpolateValue(x, 0, 21, t) - polynomial(c, t))).toBeLessThan(1e-12);
          expect(Math.abs(interpolateDerivative(x, 0, 21, t) - polynomialSlope(c, t))).toBeLessThan(1e-12);
        },
      ),
      SEED,
    );
  });

  it('return the samples themselves on a frame', () => {
    const x = sampled((f) => Math.sin(f), 12);
    for (let f = 0; f < 12; f++) expect(interpolateValue(x, 0, 12, f)).toBeCloseTo(x[f]!, 14);
  });

  it('err by less than 0.001° on a swing-like turn at 240 Hz, where a line errs by 0.01°', () => {
    // 90° of turn in 0.25 s with a peak rate near 650°/s.
    const turn = (t: number): number => 45 * (1 - Math.cos((2 * Math.PI * 1.15 * t) / 240)) * 2;
    const x = sampled(turn, 60);
    let worst = 0;
    let line = 0;
    for (let t = 3; t < 56; t += 0.37) {
      worst = Math.max(worst, Math.abs(interpolateValue(x, 0, 60, t) - turn(t)));
      const f = Math.floor(t);
      line = Math.max(line, Math.abs(x[f]! + (t - f) * (x[f + 1]! - x[f]!) - turn(t)));
    }
    expect(worst).toBeLessThan(1e-6);
    expect(line).toBeGreaterThan(0.005);
  });

  it('never look past bounds or missing samples, and fall back to fewer points', () => {
    const x = sampled((f) => 1 + f * f, 20);
    x[10] = Number.NaN;
    x.fill(1e9, 15);
    expect(interpolateValue(x, 0, 20, 8.5, 0, 15)).toBeCloseTo(1 + 8.5 * 8.5, 10);
    expect(interpolateValue(x, 0, 20, 13.5, 0, 15)).toBeCloseTo(1 + 13.5 * 13.5, 10);
    expect(interpolateValue(x, 0, 20, 9.5)).toBeNaN();
    expect(interpolateValue(x, 0, 20, 10)).toBeNaN();
    expect(interpolateValue(x, 0, 20, 9)).toBeCloseTo(82, 10);
    expect(interpolateValue(x, 0, 20, 16.1, 0, 15)).toBeNaN();
    expect(interpolateValue(x, 0, 20, -1.1)).toBeNaN();
    expect(interpolateValue(x, 0, 20, Number.NaN)).toBeNaN();
    expect(interpolateValue(x, 0, 20, 3, 5, 5)).toBeNaN();
    expect(interpolateDerivative(x, 0, 20, 3, 3, 4)).toBeNaN();
  });

  it('serve planar points, with velocity per second', () => {
    const frames = 10;
    const track = new Float64Array(30);
    for (let f = 0; f < frames; f++) {
      track[f] = f;
      track[frames + f] = 2 * f * f;
      track[2 * frames + f] = -3;
    }
    const p = [0, 0, 0];
    expect(interpolatePoint(track, frames, 4.5, p)).toBe(true);
    expect(worstDifference(p, [4.5, 40.5, -3])).toBeLessThan(1e-12);
    expect(interpolatePointVelocity(track, frames, 4.5, 100, p)).toBe(true);
    expect(worstDifference(p, [100, 1800, 0])).toBeLessThan(1e-10);
    expect(interpolatePoint(track, frames, 12, p)).toBe(false);
    expect(p.every(Number.isNaN)).toBe(true);
  });
});

describe('crossings and extremes', () => {
  it('lie where a fine sine crosses and turns', () => {
    const f = (t: number): number => Math.sin(0.07 * t - 0.5);
    const x = sampled(f, 120);
    const crossings = findCrossings(x, 0.3);
    const first = (Math.asin(0.3) + 0.5) / 0.07;
    const second = (Math.PI - Math.asin(0.3) + 0.5) / 0.07;
    // Six-point error 0.07⁶ · (225/64) / 6! = 5.7e-10 in value; over a slope of 0.067, 9e-9 frames.
    expect(
      worstDifference(
        crossings.map((c) => c.t_frames),
        [first, second, first + (2 * Math.PI) / 0.07],
      ),
    ).toBeLessThan(1e-8);
    expect(crossings.map((c) => c.rising)).toEqual([true, false, true]);
    const top = findExtremum(x, 'max', 0, 60)!;
    expect(top.t_frames).toBeCloseTo((Math.PI / 2 + 0.5) / 0.07, 5);
    expect(Math.abs(top.value - 1)).toBeLessThan(6e-10);
    const bottom = findExtremum(x, 'min', 30, 110)!;
    expect(bottom.t_frames).toBeCloseTo((1.5 * Math.PI + 0.5) / 0.07, 5);
    expect(bottom.atEnd).toBe(false);
  });

  it('are exact on a parabola wherever its top lies between frames', () => {
    fc.assert(
      fc.property(fc.double({ min: 4, max: 16, noNaN: true }), (top) => {
        const x = sampled((t) => 3 - 0.2 * (t - top) * (t - top), 21);
        const found = findExtremum(x, 'max')!;
        expect(found.t_frames).toBeCloseTo(top, 10);
        expect(found.value).toBeCloseTo(3, 12);
        const [up, down] = findCrossings(x, 2.9);
        expect(up!.t_frames).toBeCloseTo(top - Math.sqrt(0.5), 9);
        expect(down!.t_frames).toBeCloseTo(top + Math.sqrt(0.5), 9);
      }),
      SEED,
    );
  });

  it('respect bounds and gaps, count a sample on the level as above, and say when the extreme is at an end', () => {
    const x = Float64Array.of(-1, 0, 1, Number.NaN, -1, -2);
    expect(findCrossings(x, 0)).toEqual([{ t_frames: 1, rising: true }]);
    expect(findCrossings(x, 0, 1)).toEqual([]);
    expect(findExtremum(x, 'max')).toEqual({ t_frames: 2, value: 1, atEnd: true });
    expect(findExtremum(x, 'min')).toEqual({ t_frames: 5, value: -2, atEnd: true });
    expect(findExtremum(new Float64Array(3).fill(Number.NaN), 'max')).toBeNull();
    expect(findCrossings(new Float64Array(0), 0)).toEqual([]);
    const flat = new Float64Array(9).fill(2);
    expect(findExtremum(flat, 'max')).toEqual({ t_frames: 0, value: 2, atEnd: true });
    expect(findCrossings(flat, 2)).toEqual([]);
  });
});

describe('differences', () => {
  it('are exact for polynomials of degree 2 and 4, ends included', () => {
    fc.assert(
      fc.property(fc.array(coefficient, { minLength: 5, maxLength: 5 }), (c) => {
        const out = new Float64Array(21);
        const slope = (k: readonly number[]): Float64Array => sampled((t) => 240 * polynomialSlope(k, t), 21);
        differentiate(
          out,
          sampled((t) => polynomial(c, t), 21),
          0,
          21,
          240,
          5,
        );
        expect(worstDifference(out, slope(c))).toBeLessThan(1e-11);
        const three = c.slice(0, 3);
        differentiate(
          out,
          sampled((t) => polynomial(three, t), 21),
          0,
          21,
          240,
          2,
        );
        expect(worstDifference(out, slope(three))).toBeLessThan(1e-11);
      }),
      SEED,
    );
  });

  it('stay inside their run and shrink with it', () => {
    const x = Float64Array.of(1, 2, 4, 7, 11, 16, 22);
    const out = new Float64Array(7).fill(9);
    differentiate(out, x, 2, 4, 10, 5);
    expect([...out]).toEqual([9, 9, 30, 30, 9, 9, 9]);
    differentiate(out, x, 0, 1, 10, 2);
    expect(out[0]).toBeNaN();
    differentiate(out, x, 3, 3, 10, 2);
    differentiate(out, x, 3, 6, 1, 5);
    expect([...out.subarray(3, 6)]).toEqual([3.5, 4.5, 5.5]);
    const both = new Float64Array(14);
    differentiateColumns(both, Float64Array.of(...x, ...x), 7, 2, [0, 3, 4, 7], 1, 2);
    expect(both[3]).toBeNaN();
    expect(both[10]).toBeNaN();
    expect(both.slice(0, 3)).toEqual(both.slice(7, 10));
    expect([...both.subarray(4, 7)]).toEqual([4.5, 5.5, 6.5]);
  });
});
