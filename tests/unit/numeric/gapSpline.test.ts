import { describe, expect, it } from 'vitest';
import { gapFillSmooth } from '../../../src/numeric/gapSpline.ts';
import { solveSymmetric } from '../../../src/numeric/leastSquares.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';

const ws = createWorkspace({ poison: true });
const FRAMES = 200;

/** Two columns of slow motion, mm, at 240 Hz, with noise. */
function series(noise: number, seed: number, scale = 1) {
  const random = createRandom(seed);
  const truth = Float64Array.from({ length: 2 * FRAMES }, (_, i) => {
    const t = (i % FRAMES) / 240;
    return scale * (i < FRAMES ? 300 * Math.sin(2 * Math.PI * t) : 100 * Math.cos(5 * Math.PI * t) + 40 * t);
  });
  return { truth, data: truth.map((value) => value + noise * random.normal()) };
}

function fill(data: Float64Array, from: number, to: number, sigma: number, lost: readonly number[] = []) {
  const good = new Uint8Array(FRAMES).fill(1);
  const own = data.slice();
  for (const f of [...lost, ...Array.from({ length: to - from }, (_, i) => from + i)]) {
    good[f] = 0;
    own[f] = Number.NaN;
    own[FRAMES + f] = Number.NaN;
  }
  const sd = new Float64Array(FRAMES);
  const done = gapFillSmooth(own, FRAMES, 2, good, from, to, sigma, sd, ws);
  return { own, sd, good, done };
}

/** The same written out: normal equations of the frames within 32 of the gap, dense, λ by halving where what is least has its expectation. */
function slowly(data: Float64Array, good: Uint8Array, from: number, to: number, sigma: number) {
  const first = Math.max(0, from - 32);
  const n = Math.min(FRAMES, to + 32) - first;
  const matrix = (lambda: number): Float64Array => {
    const a = new Float64Array(n * n);
    for (let i = 0; i < n; i++) a[i * n + i] = good[first + i]!;
    for (let k = 0; k + 3 < n; k++) {
      const d = [-1, 3, -3, 1];
      for (let i = 0; i < 4; i++)
        for (let j = 0; j < 4; j++) a[(k + i) * n + k + j] = a[(k + i) * n + k + j]! + lambda * d[i]! * d[j]!;
    }
    return a;
  };
  const fitOf = (lambda: number) => {
    let least = 0;
    const columns = [0, 1].map((c) => {
      const y = Float64Array.from({ length: n }, (_, i) => (good[first + i] ? data[c * FRAMES + first + i]! : 0));
      const g = solveSymmetric(matrix(lambda), y, n)!;
      for (let i = 0; i < n; i++) if (good[first + i]) least += (y[i]! - g[i]!) * (y[i]! - g[i]!);
      for (let k = 0; k + 3 < n; k++) {
        const third = g[k + 3]! - 3 * g[k + 2]! + 3 * g[k + 1]! - g[k]!;
        least += lambda * third * third;
      }
      return g;
    });
    return { least, columns };
  };
  const samples = good.subarray(first, first + n).reduce((sum, one) => sum + one, 0);
  let [low, high] = [-14, 20];
  for (let step = 0; step < 24; step++) {
    const middle = (low + high) / 2;
    if (fitOf(Math.exp(middle)).least > 2 * (samples - 3) * sigma * sigma) high = middle;
    else low = middle;
  }
  const { columns } = fitOf(Math.exp(low));
  const variance = (f: number): number => {
    const unit = new Float64Array(n);
    unit[f - first] = 1;
    return solveSymmetric(matrix(Math.exp(low)), unit, n)![f - first]!;
  };
  return {
    at: (c: number, f: number) => columns[c]![f - first]!,
    sd: (f: number) => sigma * Math.sqrt(variance(f)),
  };
}

describe('gapFillSmooth', () => {
  it.each([
    ['in the middle', 90, 104, []],
    ['near the start, other frames missing too', 20, 25, [10, 11, 30, 40]],
    ['near the end', 180, 192, []],
  ] as const)('is what dense normal equations give: %s', (_name, from, to, lost) => {
    const { data } = series(1, 5);
    const { own, sd, good, done } = fill(data, from, to, 1, lost);
    expect(done).toBe(true);
    const slow = slowly(data, good, from, to, 1);
    for (let f = from; f < to; f++) {
      // λ within 0.1 % against 0.0002 %: a value changes by less than a thousandth of its standard deviation
      for (const c of [0, 1]) expect(Math.abs(own[c * FRAMES + f]! - slow.at(c, f))).toBeLessThan(2e-3 * sd[f]!);
      expect(Math.abs(sd[f]! / slow.sd(f) - 1)).toBeLessThan(2e-3);
    }
    for (let f = 0; f < FRAMES; f++) if (good[f]) expect(own[f]).toBe(data[f]);
  });

  it('a parabola without noise comes back', () => {
    const data = Float64Array.from({ length: 2 * FRAMES }, (_, i) => 3 - 0.2 * i + 0.001 * (i % FRAMES) * (i % FRAMES));
    const { own } = fill(data, 80, 100, 1e-6);
    for (let f = 80; f < 100; f++) expect(Math.abs(own[f]! - data[f]!)).toBeLessThan(1e-5);
  });

  it('errs as it states: error over standard deviation is 1 in the root mean square, over 200 gaps of 12 frames', () => {
    let sum = 0;
    let sdSum = 0;
    for (let seed = 1; seed <= 200; seed++) {
      const { truth, data } = series(1, seed);
      const from = 40 + (seed % 100);
      const { own, sd } = fill(data, from, from + 12, 1);
      const f = from + 6;
      for (const c of [0, 1]) {
        const z = (own[c * FRAMES + f]! - truth[c * FRAMES + f]!) / sd[f]!;
        sum += z * z;
      }
      sdSum += sd[f]!;
    }
    // the motion is no random walk of third differences: smoother between its bends than the prior takes it to be, never worse by half
    expect(Math.sqrt(sum / 400)).toBeGreaterThan(0.5);
    expect(Math.sqrt(sum / 400)).toBeLessThan(1.5);
    expect(sdSum / 200).toBeLessThan(2);
  });

  it('the uncertainty grows with the gap and is largest in its middle', () => {
    const { data } = series(1, 9);
    const middle = [4, 8, 16, 24].map((length) => {
      const { sd } = fill(data, 90, 90 + length, 1);
      expect(sd[90 + length / 2]!).toBeGreaterThan(sd[90]!);
      return sd[90 + length / 2]!;
    });
    expect([...middle].sort((a, b) => a - b)).toEqual(middle);
  });

  it('leaves a gap with fewer than four samples on a side as it was', () => {
    const { data } = series(1, 2);
    const { own, sd, done } = fill(data, 3, 10, 1);
    expect(done).toBe(false);
    expect(own[5]).toBeNaN();
    expect(sd.every((value) => value === 0)).toBe(true);
  });
});
