import { hedgesFactor } from '../numeric/distributions.ts';
import type { Summary } from './twoSamples.ts';

/** Effect size, and the usual spread from swing to swing. */

/** Difference over the SD pooled from both groups, not corrected (Cohen's d). */
export function cohensD(group: Summary, reference: Summary): number {
  const df = group.n + reference.n - 2;
  const pooled = ((group.n - 1) * group.sd * group.sd + (reference.n - 1) * reference.sd * reference.sd) / df;
  return (group.mean - reference.mean) / Math.sqrt(pooled);
}

/**
 * Hedges' g: Cohen's d times the exact factor J(n₁ + n₂ − 2) (Hedges 1981, J Educ Stat 6:107-128).
 * Needs two values in each group, otherwise NaN; no scatter gives NaN or an infinity.
 */
export function hedgesG(group: Summary, reference: Summary): number {
  return cohensD(group, reference) * hedgesFactor(group.n + reference.n - 2);
}

/** SD within the parts of a group, pooled: √(Σ(nᵢ − 1)sᵢ² / Σ(nᵢ − 1)). Parts with one value add nothing; NaN where no part has two. */
export function pooledSd(parts: readonly Summary[]): number {
  let squares = 0;
  let df = 0;
  for (const part of parts) {
    if (part.n < 2) continue;
    squares += (part.n - 1) * part.sd * part.sd;
    df += part.n - 1;
  }
  return df > 0 ? Math.sqrt(squares / df) : Number.NaN;
}

/**
 * Difference between two single swings that scatter alone exceeds once in twenty: 1.96·√2 × the SD within one club length
 * (Weir 2005, J Strength Cond Res 19:231-240, from memory).
 */
export function minimalDetectableChange(sdWithin: number): number {
  return 1.96 * Math.SQRT2 * sdWithin;
}
