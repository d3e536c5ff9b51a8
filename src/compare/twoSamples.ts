import { tSurvival } from '../numeric/distributions.ts';
import type { PValues } from './families.ts';

/** Two independent samples of swings: Welch's standard error and the three tests on it. */

/** Count, mean and standard deviation (n − 1; NaN below two values) of one group. */
export interface Summary {
  readonly n: number;
  readonly mean: number;
  readonly sd: number;
}

/** Summary of the values that are not NaN in `values[from, to)`. Two passes. No value: n 0, mean and SD NaN. */
export function summarise(values: Float64Array, from = 0, to = values.length): Summary {
  let n = 0;
  let sum = 0;
  for (let i = from; i < to; i++) {
    const x = values[i]!;
    if (Number.isNaN(x)) continue;
    n += 1;
    sum += x;
  }
  if (n === 0) return { n, mean: Number.NaN, sd: Number.NaN };
  const mean = sum / n;
  let squares = 0;
  let rest = 0;
  for (let i = from; i < to; i++) {
    const x = values[i]!;
    if (Number.isNaN(x)) continue;
    squares += (x - mean) * (x - mean);
    rest += x - mean;
  }
  return { n, mean, sd: n < 2 ? Number.NaN : Math.sqrt(Math.max(0, squares - (rest * rest) / n) / (n - 1)) };
}

/** Difference of means with its standard error. */
export interface Difference {
  readonly difference: number;
  readonly se: number;
  readonly df: number;
}

/**
 * Group less reference with Welch's standard error and the Welch–Satterthwaite degrees of freedom (Welch 1947, Biometrika 34:28-35).
 * Needs two values in each group; otherwise se and df are NaN. No scatter at all: se 0, df NaN.
 */
export function welch(group: Summary, reference: Summary): Difference {
  const a = (group.sd * group.sd) / group.n;
  const b = (reference.sd * reference.sd) / reference.n;
  return {
    difference: group.mean - reference.mean,
    se: Math.sqrt(a + b),
    df: ((a + b) * (a + b)) / ((a * a) / (group.n - 1) + (b * b) / (reference.n - 1)),
  };
}

/** P(T > excess / se); without scatter the limit: 1 where excess ≤ 0, else 0; NaN where se is not known. */
function tail(excess: number, se: number, df: number): number {
  if (se > 0) return tSurvival(excess / se, df);
  if (se !== 0) return Number.NaN;
  return excess > 0 ? 0 : 1;
}

/**
 * The three p-values of a difference d against the margin m ≥ 0 (definitions 8), T with df degrees of freedom:
 * p = 2 P(T > |d|/se); p_beyond = P(T > (|d| − m)/se) + P(T > (|d| + m)/se), the test of a minimum effect;
 * p_within = P(T > (m − |d|)/se), the larger of two one-sided tests (Schuirmann 1987, J Pharmacokinet Biopharm 15:657-680, from memory).
 */
export function testDifference({ difference, se, df }: Difference, margin: number): PValues {
  const size = Math.abs(difference);
  return {
    p: Math.min(1, 2 * tail(size, se, df)),
    pBeyond: Math.min(1, tail(size - margin, se, df) + tail(size + margin, se, df)),
    pWithin: tail(margin - size, se, df),
  };
}
