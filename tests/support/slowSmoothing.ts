/** Slow and obvious versions of the filters and of what chooses their cutoff, written apart from the program's. */

import { Matrix, solve } from 'ml-matrix';
import { createRandom } from '../../src/numeric/random.ts';

/** One pass by the difference equation, as if the first sample had stood there for ever. */
function onePass(x: readonly number[], b: readonly number[], a: readonly number[]): number[] {
  const y: number[] = [];
  for (let i = 0; i < x.length; i++) {
    const xAt = (k: number): number => x[Math.max(0, k)]!;
    const yAt = (k: number): number => (k < 0 ? x[0]! : y[k]!);
    y.push(b[0]! * xAt(i) + b[1]! * xAt(i - 1) + b[2]! * xAt(i - 2) - a[1]! * yAt(i - 1) - a[2]! * yAt(i - 2));
  }
  return y;
}

/**
 * Winter's zero-lag second-order Butterworth with his own coefficients (Winter 2009, section 3.4.4.2: K1 = √2 ωc, K2 = ωc², ωc the tangent
 * over 0.802), on the series continued by point reflection for one period of the cutoff.
 */
export function slowZeroLag(y: readonly number[], cutoff_Hz: number, rate_Hz: number): number[] {
  const wc = Math.tan((Math.PI * cutoff_Hz) / rate_Hz) / (Math.SQRT2 - 1) ** 0.25;
  const k1 = Math.SQRT2 * wc;
  const k2 = wc ** 2;
  const a0 = k2 / (1 + k1 + k2);
  const k3 = (2 * a0) / k2;
  const b = [a0, 2 * a0, a0];
  const a = [1, -(-2 * a0 + k3), -(1 - 2 * a0 - k3)];
  const pad = Math.min(y.length - 1, Math.max(9, Math.ceil(rate_Hz / cutoff_Hz)));
  const before = Array.from({ length: pad }, (_, i) => 2 * y[0]! - y[pad - i]!);
  const after = Array.from({ length: pad }, (_, i) => 2 * y.at(-1)! - y.at(-2 - i)!);
  const forward = onePass([...before, ...y, ...after], b, a);
  return onePass(forward.reverse(), b, a)
    .reverse()
    .slice(pad, pad + y.length);
}

/** ∫ of (s − u)₊² (t − u)₊² / 4 over u from 0. */
function kernel(s: number, t: number): number {
  const low = Math.min(s, t);
  const d = Math.abs(s - t);
  return (low ** 5 / 5 + (d * low ** 4) / 2 + (d ** 2 * low ** 3) / 3) / 4;
}

/**
 * The natural quintic smoothing spline by its reproducing kernel, one dense system (Wahba 1990, Spline Models for Observational Data,
 * section 1.3), and the trace of I − H from the spline of every unit vector.
 */
export function slowQuintic(y: readonly number[], lambda: number): { smoothed: number[]; freedom: number } {
  const n = y.length;
  const system = Matrix.zeros(n + 3, n + 3);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) system.set(i, j, kernel(i, j) + (i === j ? lambda : 0));
    for (let k = 0; k < 3; k++) {
      system.set(i, n + k, (i / n) ** k);
      system.set(n + k, i, (i / n) ** k);
    }
  }
  const right = Matrix.zeros(n + 3, n + 1);
  for (let i = 0; i < n; i++) {
    right.set(i, 0, y[i]!);
    right.set(i, i + 1, 1);
  }
  // y − g = λ c
  const c = solve(system, right);
  let freedom = 0;
  for (let i = 0; i < n; i++) freedom += lambda * c.get(i, i + 1);
  return { smoothed: y.map((value, i) => value - lambda * c.get(i, 0)), freedom };
}

/** Autocorrelations at lags 1 … lags of one series. */
export function slowAutocorrelation(r: readonly number[], lags: number): number[] {
  const total = r.reduce((sum, value) => sum + value ** 2, 0);
  return Array.from(
    { length: lags },
    (_, k) => r.reduce((sum, value, i) => sum + value * (r[i + k + 1] ?? 0), 0) / total,
  );
}

/** Intercept of the line of least squares, by the normal equations. */
export function slowIntercept(x: readonly number[], y: readonly number[]): number {
  const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);
  const n = x.length;
  const xx = sum(x.map((value) => value ** 2));
  const xy = sum(x.map((value, i) => value * y[i]!));
  return (sum(y) * xx - sum(x) * xy) / (n * xx - sum(x) ** 2);
}

export interface KnownSeries {
  readonly truth: number[];
  readonly measured: number[];
}

/** Lines of the spectrum, Hz and metres: falls off as the place of a marker in a swing does; nothing above 9 Hz. */
export const SPECTRUM = [
  [0.7, 0.2],
  [1.5, 0.1],
  [2.5, 0.05],
  [4, 0.02],
  [6, 0.006],
  [9, 0.002],
] as const;

/** A series of that spectrum with seeded phases, and the same with white noise. */
export function knownSeries(seed: number, samples: number, rate_Hz: number, noise_m: number): KnownSeries {
  const random = createRandom(seed);
  const phases = SPECTRUM.map(() => 2 * Math.PI * random.uniform());
  const truth = Array.from({ length: samples }, (_, i) =>
    SPECTRUM.reduce(
      (sum, [f_Hz, size], k) => sum + size * Math.sin((2 * Math.PI * f_Hz * i) / rate_Hz + phases[k]!),
      0,
    ),
  );
  return { truth, measured: truth.map((value) => value + noise_m * random.normal()) };
}
