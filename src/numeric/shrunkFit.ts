/** Polynomials of time through a few columns of samples, shrunk toward smoothness, carried a little beyond their end. */

import { choleskyInPlace, choleskySolveInPlace, invertSymmetric } from './leastSquares.ts';

/** Prior standard deviations of the coefficients of degree 2 to 5 of time in units of `unit_s`, in the unit of the columns; mean 0. */
export interface ShrunkPriors {
  readonly unit_s: number;
  readonly sds: readonly [number, number, number, number];
  /** Smallest standard deviation of a sample. */
  readonly sigmaFloor: number;
}

export interface ShrunkFit {
  readonly to_s: number;
  /** Residual against the given noise: variances are multiplied by this where it is above 1. */
  readonly chiSquareRatio: number;
  /** The columns at t. */
  valueAt(t_s: number, out: Float64Array): void;
  /** Standard deviation of one column at t: the same for all. */
  spread(t_s: number): number;
}

const TERMS = 6;
const FREE = 2;

/**
 * Fits `columns` columns of `n` samples (planar: all of the first column, then the second) at ascending `times_s`, noise `sigma` alike in
 * every sample: least squares plus (coefficient / prior SD)² on degrees 2 to 5 (Tikhonov). Null with fewer than six samples.
 */
export function fitShrunk(
  times_s: Float64Array,
  values: Float64Array,
  columns: number,
  n: number,
  sigma: number,
  priors: ShrunkPriors,
): ShrunkFit | null {
  if (n < TERMS) return null;
  const { unit_s } = priors;
  const to_s = times_s[n - 1]!;
  const least = Math.max(Number.isFinite(sigma) ? sigma : 0, priors.sigmaFloor);
  const weight = 1 / (least * least);
  const a = new Float64Array(TERMS * TERMS);
  const p = new Float64Array(columns * TERMS);
  for (let k = FREE; k < TERMS; k++) a[k * (TERMS + 1)] = 1 / (priors.sds[k - FREE]! * priors.sds[k - FREE]!);
  for (let i = 0; i < n; i++) {
    const s = (times_s[i]! - to_s) / unit_s;
    let row = weight;
    for (let r = 0; r < TERMS; r++) {
      let at = row;
      for (let c = 0; c < TERMS; c++) {
        a[r * TERMS + c] = a[r * TERMS + c]! + at;
        at *= s;
      }
      for (let c = 0; c < columns; c++) p[c * TERMS + r] = p[c * TERMS + r]! + row * values[c * n + i]!;
      row *= s;
    }
  }
  const covariance = invertSymmetric(a, TERMS);
  if (covariance === null || !choleskyInPlace(a, TERMS)) return null;
  for (let c = 0; c < columns; c++) choleskySolveInPlace(a, TERMS, p.subarray(c * TERMS, (c + 1) * TERMS));
  const at = (column: number, s: number): number => {
    let sum = 0;
    for (let k = TERMS - 1; k >= 0; k--) sum = sum * s + p[column * TERMS + k]!;
    return sum;
  };
  let squares = 0;
  for (let i = 0; i < n; i++) {
    for (let c = 0; c < columns; c++) {
      const residual = values[c * n + i]! - at(c, (times_s[i]! - to_s) / unit_s);
      squares += weight * residual * residual;
    }
  }
  const ratio = squares / Math.max(1, columns * (n - FREE));
  return {
    to_s,
    chiSquareRatio: ratio,
    valueAt: (t_s, out) => {
      for (let c = 0; c < columns; c++) out[c] = at(c, (t_s - to_s) / unit_s);
    },
    spread: (t_s) => {
      const s = (t_s - to_s) / unit_s;
      let sum = 0;
      let pr = 1;
      for (let r = 0; r < TERMS; r++) {
        let pc = pr;
        for (let c = 0; c < TERMS; c++) {
          sum += covariance[r * TERMS + c]! * pc;
          pc *= s;
        }
        pr *= s;
      }
      return Math.sqrt(sum * Math.max(1, ratio));
    },
  };
}
