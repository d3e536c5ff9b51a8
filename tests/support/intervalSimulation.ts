import { bcaOfDifference } from '../../src/compare/bca.ts';
import { testCurves } from '../../src/compare/curveTest.ts';
import { type Labellings, splitLabellings } from '../../src/compare/labellings.ts';
import { permutationPlan, permutationTest } from '../../src/compare/permutation.ts';
import { resampleSwings } from '../../src/compare/resampling.ts';
import { interval } from '../../src/compare/rows.ts';
import { summarise, welch } from '../../src/compare/twoSamples.ts';
import type { Random } from '../../src/numeric/random.ts';
import { smoothCurve } from './smoothCurves.ts';

/** `n` normal swings of variance 1 one after the other, neighbours correlated by `lag1` (a first-order autoregression from its start on). */
function swings(random: Random, n: number, lag1: number, out: Float64Array, from: number): void {
  const rest = Math.sqrt(1 - lag1 * lag1);
  let before = random.normal();
  for (let i = 0; i < n; i++) {
    out[from + i] = before;
    before = lag1 * before + rest * random.normal();
  }
}

export interface Coverage {
  /** Share of 95 % t intervals that hold the true difference. */
  readonly t: number;
  /** The same of the bootstrap interval; NaN where no resamples were asked for. */
  readonly bca: number;
  /** Share of equal groups whose permutation p is at most 0.05. */
  readonly permutation: number;
}

/** Families of one difference each: groups of n₁ and n₂ swings, SD 1 and `sd2`, a true difference of 1.7. */
export function simulateCoverage(
  random: Random,
  families: number,
  [n1, n2]: readonly [number, number],
  { lag1 = 0, sd2 = 1, resamples = 0 }: { lag1?: number; sd2?: number; resamples?: number } = {},
): Coverage {
  const truth = 1.7;
  const x = new Float64Array(n1 + n2);
  const plan = permutationPlan(n1, n2, 1, 999);
  const drawn = resamples === 0 ? null : resampleSwings(n1, n2, 1, resamples);
  let t = 0;
  let bca = 0;
  let permutation = 0;
  for (let family = 0; family < families; family++) {
    swings(random, n1, lag1, x, 0);
    swings(random, n2, lag1, x, n1);
    for (let i = n1; i < x.length; i++) x[i]! *= sd2;
    if (permutationTest(x, n1, plan).p <= 0.05) permutation += 1;
    for (let i = 0; i < n1; i++) x[i]! += truth;
    const [group, reference] = [summarise(x, 0, n1), summarise(x, n1)];
    const [low, high] = interval(welch(group, reference), 0.95);
    if (low! <= truth && truth <= high!) t += 1;
    if (drawn === null) continue;
    const [from, to] = bcaOfDifference(x, group, reference, drawn, 0.95);
    if (from <= truth && truth <= to) bca += 1;
  }
  return { t: t / families, bca: drawn === null ? Number.NaN : bca / families, permutation: permutation / families };
}

const STEPS = 81;

/** A smooth bump as wide as from one position to the next but one, `size` SD high, in the middle of the curve. */
const bump = (step: number, size: number): number => size * Math.exp((-0.5 * (step - 40) * (step - 40)) / 36);

export interface CurveSimulation {
  /** Share of pairs of groups with any stretch by permutation. */
  readonly found: number;
  /** Share with |t| beyond the random-field threshold somewhere. */
  readonly randomField: number;
  /** Share of all with a stretch where the bump is above half of its height. */
  readonly foundThere: number;
}

/** Families of two groups of smooth curves, of SD 1 with a bump of `size` SD and of SD `sd2`. */
export function simulateCurves(
  random: Random,
  families: number,
  [n1, n2]: readonly [number, number],
  size: number,
  { fwhm = 20, sd2 = 1 }: { fwhm?: number; sd2?: number } = {},
): CurveSimulation {
  const labels: Labellings = splitLabellings(n1, n2, 1, 1999);
  let found = 0;
  let randomField = 0;
  let foundThere = 0;
  for (let family = 0; family < families; family++) {
    const curves = Array.from({ length: n1 + n2 }, (_, i) => {
      const curve = smoothCurve(random, STEPS, fwhm);
      return curve.map((value, step) => (i < n1 ? value + bump(step, size) : sd2 * value));
    });
    const result = testCurves(curves, n1, labels)!;
    if (result.stretches.length > 0) found += 1;
    if (result.largest > result.randomField) randomField += 1;
    if (result.stretches.some(({ from, to }) => from <= 47 && to >= 33)) foundThere += 1;
  }
  return { found: found / families, randomField: randomField / families, foundThere: foundThere / families };
}

/** Two standard errors of a share over so many families. */
export const twoErrors = (share: number, families: number): number => 2 * Math.sqrt((share * (1 - share)) / families);
