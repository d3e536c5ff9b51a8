import type { CurveStretch, CurveSummary } from '../model/comparison.ts';
import type { CompareOptions } from '../model/dayPlan.ts';
import { FULL_CURVE_ROWS, REDUCED_CURVE_ROWS } from '../model/sheetCurves.ts';
import { CURVE_STEPS } from '../model/swingRecord.ts';
import { testCurves, testPairedCurves } from './curveTest.ts';
import { flipLabellings, type Labellings, splitLabellings } from './labellings.ts';
import { FEWEST_SWINGS } from './methods.ts';

/** Where the curves of two groups differ, named by position. */

/** Of five pairs the smallest p is 1/16. */
const FEWEST_PAIRS = 6;

const TESTED: ReadonlySet<string> = new Set([...FULL_CURVE_ROWS, ...REDUCED_CURVE_ROWS].flat());

/**
 * 'P4', 'shortly after P4', 'half-way P4–P5', 'shortly before P5': a step by the share of the time to the next position. Not 'P4.3': a
 * fraction of a position is a share of the shaft's rotation (definitions 6). Steps as in CurveRecord.
 */
export function stepName(step: number): string {
  const before = 1 + Math.floor(step / 10);
  const tenths = step % 10;
  if (tenths === 0) return `P${before}`;
  if (tenths <= 3) return `shortly after P${before}`;
  return tenths <= 6 ? `half-way P${before}–P${before + 1}` : `shortly before P${before + 1}`;
}

/** 'P4 to half-way P5–P6', or one name where both ends have the same. */
function stretchName(from: number, to: number): string {
  const [first, last] = [stepName(from), stepName(to)];
  return first === last ? first : `${first} to ${last}`;
}

export type CurveDifference = Pick<
  CurveSummary,
  'stretches' | 'thresholdPermutation' | 'thresholdRandomField' | 'p' | 'pPaired' | 't'
>;

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);

/**
 * Tests the curves of one comparison, each quantity by itself at 5 %; labellings are made once for each pair of numbers of swings.
 * Not tested: curves that the sheet does not draw, and fewer than five of a side.
 */
export class CurveTester {
  readonly #plans = new Map<string, Labellings>();
  #flips: Labellings | null = null;
  readonly #options: Pick<CompareOptions, 'seed' | 'resamples'>;

  constructor(options: Pick<CompareOptions, 'seed' | 'resamples'>) {
    this.#options = options;
  }

  /** Curves of 81 steps, NaN where missing. Curves without any step are passed over. `pairs` gives the differences of neighbouring blocks. */
  compare(
    quantity: string,
    group: readonly Float64Array[],
    reference: readonly Float64Array[],
    pairs: () => readonly Float64Array[] = () => [],
  ): CurveDifference {
    const none: CurveDifference = {
      stretches: [],
      thresholdPermutation: null,
      thresholdRandomField: null,
      p: null,
      pPaired: null,
      t: new Float64Array(CURVE_STEPS).fill(Number.NaN),
    };
    if (!TESTED.has(quantity)) return none;
    const has = (curve: Float64Array): boolean => curve.some((value) => !Number.isNaN(value));
    const a = group.filter(has);
    const b = reference.filter(has);
    if (Math.min(a.length, b.length) < FEWEST_SWINGS) return none;
    const test = testCurves([...a, ...b], a.length, this.#plan(a.length, b.length));
    if (test === null) return none;
    return {
      stretches: test.stretches.map(
        ({ from, to, sign }): CurveStretch => ({ from, to, sign, name: stretchName(from, to) }),
      ),
      thresholdPermutation: finite(test.threshold),
      thresholdRandomField: finite(test.randomField),
      p: test.p,
      pPaired: this.#paired(pairs().filter(has)),
      t: test.t,
    };
  }

  #paired(differences: readonly Float64Array[]): number | null {
    const n = differences.length;
    if (n < FEWEST_PAIRS) return null;
    this.#flips ??= flipLabellings(n, this.#options.seed, this.#options.resamples);
    const labels = this.#flips.n === n ? this.#flips : flipLabellings(n, this.#options.seed, this.#options.resamples);
    return testPairedCurves(differences, labels)?.p ?? null;
  }

  #plan(n1: number, n2: number): Labellings {
    const key = `${n1}+${n2}`;
    const known = this.#plans.get(key);
    if (known !== undefined) return known;
    const made = splitLabellings(n1, n2, this.#options.seed, this.#options.resamples);
    this.#plans.set(key, made);
    return made;
  }
}
