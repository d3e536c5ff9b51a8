import { noncentralTCdf, normalQuantile, tQuantile } from '../numeric/distributions.ts';
import { type PValues, readVerdict } from './families.ts';
import { type Summary, testDifference, welch } from './twoSamples.ts';

/** What these swings could have found, and how many more would settle what they did not. */

/** Φ⁻¹(0.8), for the chance with which a detectable difference is found. */
const POWER_NORMAL = normalQuantile(0.8);

/** Largest number of further swings that is looked at; one more stands for "more than". */
export const MOST_MORE_SWINGS = 40;

/**
 * True difference that would be called *departs* four times in five: D with P(T′ > t) = 0.8, T′ non-central t with `df` degrees of
 * freedom and non-centrality (D − margin)/se, t the 1 − `cut` quantile of t; `cut` is the unadjusted p the row needs in its family.
 * The second tail of p_beyond is left out. Unit of `se`; NaN where there is no scatter to reckon with.
 */
export function detectableDifference(se: number, df: number, margin: number, cut: number): number {
  if (!(se > 0 && df > 0)) return Number.NaN;
  const critical = tQuantile(1 - cut, df);
  // On the normal scale the power is nearly a line of slope 1 in the non-centrality: the secant settles in a few steps.
  const short = (delta: number): number => normalQuantile(1 - noncentralTCdf(critical, df, delta)) - POWER_NORMAL;
  let before = critical + POWER_NORMAL;
  let shortBefore = short(before);
  let delta = before - shortBefore;
  for (let i = 0; i < 20; i++) {
    const shortNow = short(delta);
    if (Math.abs(shortNow) < 1e-9 || shortNow === shortBefore) break;
    const next = delta - (shortNow * (delta - before)) / (shortNow - shortBefore);
    before = delta;
    shortBefore = shortNow;
    delta = next;
  }
  return margin + delta * se;
}

/** The unadjusted p-values that the row needs in its family, beside what else is rejected there. */
export interface Cuts {
  readonly p: number;
  readonly pBeyond: number;
}

/** The verdict if a row's p-values were these and the rest of its family stayed as it is. */
export function verdictByCuts(values: PValues, cuts: Cuts): ReturnType<typeof readVerdict> {
  const adjusted = (p: number, cut: number): number => (p < cut ? 0 : 1);
  return readVerdict(adjusted(values.p, cuts.p), adjusted(values.pBeyond, cuts.pBeyond), values.pWithin);
}

/**
 * Fewest further swings of one of the two groups with which the row would be no longer undecided, if the means and SDs stayed what they
 * are: the standard error is carried on to the larger n. The group that needs fewer is named, of equal ones the smaller.
 * 41 where 40 are not enough; then of the group that adds more to the standard error.
 */
export function moreSwings(
  group: Summary,
  reference: Summary,
  margin: number,
  cuts: Cuts,
): { readonly count: number; readonly of: 'group' | 'reference' } {
  const settles = (more: number, of: 'group' | 'reference'): boolean => {
    const a = of === 'group' ? { ...group, n: group.n + more } : group;
    const b = of === 'reference' ? { ...reference, n: reference.n + more } : reference;
    return verdictByCuts(testDifference(welch(a, b), margin), cuts) !== 'undecided';
  };
  const fewest = (of: 'group' | 'reference'): number => {
    if (!settles(MOST_MORE_SWINGS, of)) return MOST_MORE_SWINGS + 1;
    let low = 0;
    let high = MOST_MORE_SWINGS;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (settles(middle, of)) high = middle;
      else low = middle;
    }
    return high;
  };
  const ofGroup = fewest('group');
  const ofReference = fewest('reference');
  if (ofGroup !== ofReference) {
    return ofGroup < ofReference ? { count: ofGroup, of: 'group' } : { count: ofReference, of: 'reference' };
  }
  const share = (s: Summary): number => (s.sd * s.sd) / s.n;
  const groupFirst = ofGroup > MOST_MORE_SWINGS ? share(group) >= share(reference) : group.n <= reference.n;
  return { count: ofGroup, of: groupFirst ? 'group' : 'reference' };
}
