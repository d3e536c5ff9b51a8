import { createRandom } from '../numeric/random.ts';

/** Resampling of whole swings: drawn once, used for every quantity, so that all are seen in the same imagined day. */

export interface Resamples {
  readonly count: number;
  readonly nGroup: number;
  readonly n: number;
  /** How often each swing was drawn: `n` numbers a resample, the group's swings first. */
  readonly draws: Float64Array;
}

/** `count` seeded resamples with replacement, each group from itself and of its own size (Efron & Tibshirani 1993). */
export function resampleSwings(nGroup: number, nReference: number, seed: number, count: number): Resamples {
  const random = createRandom(seed);
  const n = nGroup + nReference;
  const draws = new Float64Array(count * n);
  for (let r = 0; r < count; r++) {
    const at = r * n;
    for (let i = 0; i < nGroup; i++) draws[at + random.int(nGroup)]! += 1;
    for (let i = 0; i < nReference; i++) draws[at + nGroup + random.int(nReference)]! += 1;
  }
  return { count, nGroup, n, draws };
}
