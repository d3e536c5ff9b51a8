import type { FamilyId, Verdict } from '../model/comparison.ts';
import { adjust, type Correction, LEVEL } from './adjust.ts';

/** Families of tests and the verdict read from them; knows only p-values, so that it can be simulated by itself. */

/**
 * Definitions 8: primary by Holm, everything else by Benjamini–Hochberg; changes since P1 in families of their own. Everything else is two
 * families, since rows that nearly all depart in one would loosen the step of the others (docs/decisions/0009).
 */
export const CORRECTION: Readonly<Record<FamilyId, Correction>> = {
  primary: 'holm',
  screening: 'benjamini-hochberg',
  limbs: 'benjamini-hochberg',
  'change-primary': 'holm',
  'change-screening': 'benjamini-hochberg',
  'change-limbs': 'benjamini-hochberg',
};

export const FAMILIES = Object.keys(CORRECTION) as readonly FamilyId[];

/** The three p-values of a row. */
export interface PValues {
  /** Difference ≠ 0. */
  readonly p: number;
  /** |difference| > margin (minimum effect). */
  readonly pBeyond: number;
  /** |difference| < margin (two one-sided tests, the larger). */
  readonly pWithin: number;
}

export interface Judged {
  readonly pAdjusted: number;
  readonly pBeyondAdjusted: number;
  readonly verdict: Exclude<Verdict, 'none'>;
}

/** Read in this order: departs, matches, differs-slightly, undecided (definitions 8). p_within is not adjusted. */
export function readVerdict(pAdjusted: number, pBeyondAdjusted: number, pWithin: number): Exclude<Verdict, 'none'> {
  if (pBeyondAdjusted < LEVEL) return 'departs';
  if (pWithin < LEVEL) return 'matches';
  if (pAdjusted < LEVEL) return 'differs-slightly';
  return 'undecided';
}

/** Adjusts p and p_beyond, each over the whole family, and reads the verdict of every row, in input order. */
export function judgeFamily(tests: readonly PValues[], correction: Correction): Judged[] {
  const pAdjusted = adjust(
    Float64Array.from(tests, (test) => test.p),
    correction,
  );
  const pBeyondAdjusted = adjust(
    Float64Array.from(tests, (test) => test.pBeyond),
    correction,
  );
  return tests.map((test, i) => ({
    pAdjusted: pAdjusted[i]!,
    pBeyondAdjusted: pBeyondAdjusted[i]!,
    verdict: readVerdict(pAdjusted[i]!, pBeyondAdjusted[i]!, test.pWithin),
  }));
}
