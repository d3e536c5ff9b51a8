import { tQuantile } from '../numeric/distributions.ts';

/** Steps of 1/df from 0 to 1 in a table of critical values. */
const STEPS = 256;

/** Bounds of a critical value of t from a table over 1/df: the quantile rises with 1/df, so the entries on both sides enclose it. df ≥ 1. */
export class CriticalT {
  readonly #tail: number;
  /** Filled where it is asked for: the degrees of freedom of one day lie near each other. */
  readonly #table = new Float64Array(STEPS + 1).fill(Number.NaN);

  constructor(tail: number) {
    this.#tail = tail;
  }

  atLeast(df: number): number {
    return this.#at(Math.min(STEPS, Math.floor(STEPS / df)));
  }

  atMost(df: number): number {
    return this.#at(Math.min(STEPS, Math.floor(STEPS / df) + 1));
  }

  #at(step: number): number {
    const known = this.#table[step]!;
    if (!Number.isNaN(known)) return known;
    const made = tQuantile(1 - this.#tail, step === 0 ? Number.POSITIVE_INFINITY : STEPS / step);
    this.#table[step] = made;
    return made;
  }
}
