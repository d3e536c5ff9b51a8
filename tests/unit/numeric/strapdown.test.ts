import { describe, expect, it } from 'vitest';
import { createRandom } from '../../../src/numeric/random.ts';
import {
  expRotation,
  logRotation,
  mul3,
  mulT3,
  quaternionFromRotation,
  rotationAngle,
} from '../../../src/numeric/rotation.ts';
import { rateWithin, stepDoubt, stepVector, strapDown, strapDownWithin } from '../../../src/numeric/strapdown.ts';

const DEG = Math.PI / 180;

/** A swing-like turn in all three axes: Ry(turn) · Rx(side) · Rz(bend); `size` 1 peaks at 600°/s, 2.3 at 1,375°/s. */
function truth(t: number, size: number, out: Float64Array, offset = 0): void {
  const bump = (centre: number, width: number): number => Math.exp(-((t - centre) * (t - centre)) / (width * width));
  const turn = (-90 * bump(0.9, 0.35) + 90 / (1 + Math.exp(-(t - 1.2) / 0.06))) * size * DEG;
  const side = (20 * bump(1.2, 0.15) - 10 * bump(0.8, 0.3)) * size * DEG;
  const bend = (10 * bump(1, 0.25) - 35) * DEG;
  const a = new Float64Array(9);
  const b = new Float64Array(9);
  const c = new Float64Array(9);
  expRotation([0, turn, 0], a, 0);
  expRotation([side, 0, 0], b, 0);
  mul3(a, 0, b, 0, c, 0);
  expRotation([0, 0, bend], b, 0);
  mul3(c, 0, b, 0, out, offset);
}

/** Body rates of the truth: rotation over ± 10 µs, whose own error is below 1e-6 rad/s. */
function rates(times: Float64Array, size: number): Float64Array {
  const n = times.length;
  const w = new Float64Array(3 * n);
  const before = new Float64Array(9);
  const after = new Float64Array(9);
  const d = new Float64Array(9);
  const v = new Float64Array(3);
  for (let k = 0; k < n; k++) {
    truth(times[k]! - 1e-5, size, before);
    truth(times[k]! + 1e-5, size, after);
    mulT3(before, 0, after, 0, d, 0);
    logRotation(d, 0, v);
    for (let c = 0; c < 3; c++) w[c * n + k] = v[c]! / 2e-5;
  }
  return w;
}

function grid(rate_Hz: number, seconds: number): Float64Array {
  return Float64Array.from({ length: Math.round(seconds * rate_Hz) + 1 }, (_, k) => k / rate_Hz);
}

/** Largest angle to the truth, degrees. */
function worst(times: Float64Array, w: Float64Array, size: number, anchor = 0): number {
  const n = times.length;
  const R = new Float64Array(9 * n);
  truth(times[anchor]!, size, R, 9 * anchor);
  strapDown(times, w, n, anchor, R);
  const there = new Float64Array(9);
  const d = new Float64Array(9);
  let most = 0;
  for (let k = 0; k < n; k++) {
    truth(times[k]!, size, there);
    mulT3(there, 0, R, 9 * k, d, 0);
    most = Math.max(most, rotationAngle(d, 0) / DEG);
  }
  return most;
}

describe('strap-down', () => {
  it('of a constant rate is the exponential of rate times time, at any steps', () => {
    const times = Float64Array.of(0, 0.004, 0.0141, 0.05, 0.0507, 0.3, 1);
    const n = times.length;
    const w = Float64Array.from({ length: 3 * n }, (_, i) => Math.floor(i / n) + 1);
    const R = new Float64Array(9 * n);
    R[0] = R[4] = R[8] = 1;
    strapDown(times, w, n, 0, R);
    const expected = new Float64Array(9);
    expRotation([1, 2, 3], expected, 0);
    for (let i = 0; i < 9; i++) expect(R[9 * (n - 1) + i]).toBeCloseTo(expected[i]!, 13);
  });

  it('runs backward over the same path as forward', () => {
    const times = grid(240, 2);
    const n = times.length;
    const w = rates(times, 1);
    const forward = new Float64Array(9 * n);
    truth(0, 1, forward);
    strapDown(times, w, n, 0, forward);
    const backward = new Float64Array(9 * n);
    backward.set(forward.subarray(9 * (n - 1)), 9 * (n - 1));
    strapDown(times, w, n, n - 1, backward);
    for (let i = 0; i < 9 * n; i++) expect(Math.abs(forward[i]! - backward[i]!)).toBeLessThan(1e-12);
  });

  // The midpoint rule alone is 0.05°, 0.009° (600°/s) and 0.17°, 0.03° (1,375°/s) away: the limits would fail without either of the two terms.
  it.each([
    [1, 100, 0.0004],
    [1, 240, 0.0001],
    [2.3, 100, 0.002],
    [2.3, 240, 0.0002],
  ])('of a swing %d times as fast as a thorax, at %d Hz, stays within %d°', (size, rate_Hz, limit) => {
    const times = grid(rate_Hz, 2);
    expect(worst(times, rates(times, size), size)).toBeLessThan(limit);
    expect(worst(times, rates(times, size), size, Math.floor(times.length / 3))).toBeLessThan(limit);
  });

  it('uses recorded times: jittered stamps cost less than 0.01°, taken for even ones more than 0.5°', () => {
    const random = createRandom(7);
    const times = grid(100, 2).map((t) => t + (random.uniform() - 0.5) * 0.006);
    const w = rates(times, 2.3);
    expect(worst(times, w, 2.3)).toBeLessThan(0.01);
    const n = times.length;
    const R = new Float64Array(9 * n);
    truth(0, 2.3, R);
    strapDown(grid(100, 2), w, n, 0, R);
    const there = new Float64Array(9);
    const d = new Float64Array(9);
    let most = 0;
    for (let k = 0; k < n; k++) {
      truth(times[k]!, 2.3, there);
      mulT3(there, 0, R, 9 * k, d, 0);
      most = Math.max(most, rotationAngle(d, 0) / DEG);
    }
    expect(most).toBeGreaterThan(0.5);
  });

  it('bridges a gap of 40 ms in the downswing, with what it cannot know stated', () => {
    const whole = grid(240, 2);
    const all = Array.from(whole).filter((t) => t < 1.15 || t > 1.19);
    const times = Float64Array.from(all);
    const w = rates(times, 1);
    const long = times.findIndex((t, k) => k > 0 && t - times[k - 1]! > 0.02);
    const doubt = stepDoubt(times, w, times.length, long) / DEG;
    const error = worst(times, w, 1);
    expect(doubt).toBeGreaterThan(error);
    expect(doubt).toBeLessThan(2);
    expect(error).toBeLessThan(0.2);
  });

  it('between samples lies on the path: continuous, and within 0.002° of the truth at 100 Hz', () => {
    const times = grid(100, 2);
    const n = times.length;
    const w = rates(times, 1);
    const R = new Float64Array(9 * n);
    truth(0, 1, R);
    strapDown(times, w, n, 0, R);
    const there = new Float64Array(9);
    const at = new Float64Array(9);
    const d = new Float64Array(9);
    const rate = new Float64Array(3);
    let most = 0;
    for (let k = 1; k < n; k++) {
      for (const s of [0.25, 0.5, 0.9]) {
        const t = times[k - 1]! + s * 0.01;
        strapDownWithin(times, w, n, R, k, s, at, 0);
        truth(t, 1, there);
        mulT3(there, 0, at, 0, d, 0);
        most = Math.max(most, rotationAngle(d, 0) / DEG);
        rateWithin(times, w, n, k, s, rate);
        const exact = rates(Float64Array.of(t), 1);
        for (let c = 0; c < 3; c++) expect(Math.abs(rate[c]! - exact[c]!)).toBeLessThan(0.05);
      }
      strapDownWithin(times, w, n, R, k, 1, at, 0);
      for (let i = 0; i < 9; i++) expect(at[i]).toBeCloseTo(R[9 * k + i]!, 14);
    }
    expect(most).toBeLessThan(0.002);
  });

  it('has two samples as its least, and refuses an anchor outside', () => {
    const times = Float64Array.of(0, 0.5);
    const w = Float64Array.of(0, 2, 0, 0, 0, 0);
    const v = new Float64Array(3);
    stepVector(times, w, 2, 1, 1, v);
    expect(Array.from(v)).toEqual([0.5, 0, 0]);
    const R = new Float64Array(18);
    R[0] = R[4] = R[8] = 1;
    strapDown(times, w, 2, 0, R);
    const q = new Float64Array(4);
    quaternionFromRotation(R, 9, q);
    expect(q[1]).toBeCloseTo(Math.sin(0.25), 14);
    expect(() => strapDown(times, w, 2, 2, R)).toThrow(RangeError);
  });
});
