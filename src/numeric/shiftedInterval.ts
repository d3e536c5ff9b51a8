/** The interval of an estimate that is noisy and shifted by a known amount. */

import { normalCdf, normalQuantile } from './distributions.ts';

const LEVEL = 0.95;
/** Beyond this shift, in standard deviations, one side decides alone. */
const ONE_SIDED_FROM = 3;
const STEP = 0.05;
const ONE_SIDED = normalQuantile(LEVEL);

/** Half-widths by steps of the shift, both in standard deviations. */
const TABLE = Array.from({ length: ONE_SIDED_FROM / STEP + 1 }, (_, i) => solved(i * STEP));

function solved(shift: number): number {
  let low = 0;
  let high = shift + 3;
  for (let i = 0; i < 60; i++) {
    const h = (low + high) / 2;
    if (normalCdf(h - shift) - normalCdf(-h - shift) < LEVEL) low = h;
    else high = h;
  }
  return (low + high) / 2;
}

/**
 * Smallest h for which an estimate with normal noise of standard deviation `sd` and a shift of size `shift` lies within ± h of the truth in 95
 * of 100 cases: Φ((h − shift) / sd) − Φ(−(h + shift) / sd) = 0.95. 1.96 sd without a shift, shift + 1.645 sd with a large one.
 */
export function shiftedHalfWidth(sd: number, shift: number): number {
  if (!(sd > 0)) return shift + 0 * sd;
  const ratio = shift / sd;
  if (!(ratio < ONE_SIDED_FROM)) return shift + ONE_SIDED * sd;
  const at = ratio / STEP;
  const i = Math.floor(at);
  const low = TABLE[i]!;
  return sd * (low + (at - i) * (TABLE[i + 1]! - low));
}

/** What is known of a shift beside a noisy value; all in the unit of the value (or its square). */
export interface ShiftEvidence {
  /** Variance of the noise of the value. */
  readonly variance: number;
  /** The shift as estimated from the same samples, the variance of the noise in that, and its covariance with the noise of the value. */
  readonly estimate: number;
  readonly estimateVariance: number;
  readonly covariance: number;
  /** Mean square of true shifts like this one: how large they are, whatever their sign. */
  readonly size2: number;
}

/**
 * Smallest h for which a value with normal noise and a normal, unknown shift lies within ± h of the truth in 95 of 100 cases, given an
 * estimate of the shift that rests on the same noise. Value and estimate are jointly normal, so that the error of the value given the
 * estimate has mean (size² + covariance) / (size² + estimateVariance) · estimate, variance + size² less what the estimate tells
 * (conditional normal distribution, any textbook of multivariate statistics). Were the covariance left out, noise would count twice: the
 * sample that it throws far looks shifted as well.
 */
export function halfWidthWithShift(known: ShiftEvidence): number {
  const { variance, estimate, estimateVariance, covariance, size2 } = known;
  const spread = size2 + estimateVariance;
  if (!(spread > 0)) return shiftedHalfWidth(Math.sqrt(variance), 0 * spread);
  const joint = size2 + covariance;
  const left = variance + size2 - (joint * joint) / spread;
  return shiftedHalfWidth(Math.sqrt(Math.max(0, left)), Math.abs((joint / spread) * estimate));
}
