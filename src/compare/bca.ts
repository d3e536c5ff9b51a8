import { normalCdf, normalQuantile } from '../numeric/distributions.ts';
import { sortedPercentile } from '../numeric/statistics.ts';
import type { Resamples } from './resampling.ts';
import type { Summary } from './twoSamples.ts';

/**
 * Bias-corrected and accelerated bootstrap interval (Efron & Tibshirani 1993, An Introduction to the Bootstrap, chapter 14): a check
 * beside the t interval. With five to ten swings it is too narrow.
 */

/**
 * Acceleration from what each observation adds to the estimate, e: Σ e³ / (6 (Σ e²)^1.5). For the jackknife e is the mean of the
 * leave-one-out estimates less each of them; for means of several samples the deviation from the sample's mean over its size
 * (Davison & Hinkley 1997, Bootstrap Methods and their Application, 5.3, from memory). 0 without scatter.
 */
export function acceleration(effects: ArrayLike<number>): number {
  let squares = 0;
  let cubes = 0;
  for (let i = 0; i < effects.length; i++) {
    const e = effects[i]!;
    squares += e * e;
    cubes += e * e * e;
  }
  return squares > 0 ? cubes / (6 * squares * Math.sqrt(squares)) : 0;
}

/**
 * Ends of the interval from ascending replicates of an estimate. `level` e.g. 0.95. Replicates equal to the estimate count half.
 * NaN where all replicates lie on one side of the estimate.
 */
export function bcaInterval(
  ascending: ArrayLike<number>,
  estimate: number,
  accelerated: number,
  level: number,
): [low: number, high: number] {
  let below = 0;
  for (let i = 0; i < ascending.length; i++) {
    if (ascending[i]! < estimate) below += 1;
    else if (ascending[i] === estimate) below += 0.5;
  }
  const bias = normalQuantile(below / ascending.length);
  const end = (tail: number): number => {
    const z = bias + normalQuantile(tail);
    const share = normalCdf(bias + z / (1 - accelerated * z));
    return Number.isNaN(share) ? Number.NaN : sortedPercentile(ascending, 100 * share);
  };
  return [end(0.5 - 0.5 * level), end(0.5 + 0.5 * level)];
}

/** Interval of the difference of means, group less reference; `values` as in Sample, NaN where a swing has none. */
export function bcaOfDifference(
  values: Float64Array,
  group: Summary,
  reference: Summary,
  { draws, n, nGroup, count }: Resamples,
  level: number,
): [low: number, high: number] {
  const x = values.map((value, i) => (Number.isNaN(value) ? 0 : value - (i < nGroup ? group.mean : reference.mean)));
  const present = values.map((value) => (Number.isNaN(value) ? 0 : 1));
  // a resample that ties with the estimate is off by the rounding of the sums only
  const tie = 1e-13 * x.reduce((size, value) => size + Math.abs(value), 0);
  const replicates = new Float64Array(count);
  const all = group.n + reference.n === n;
  let kept = 0;
  for (let r = 0; r < count; r++) {
    const at = r * n;
    let n1 = all ? group.n : 0;
    let s1 = 0;
    for (let i = 0; i < nGroup; i++) s1 += draws[at + i]! * x[i]!;
    let n2 = all ? reference.n : 0;
    let s2 = 0;
    for (let i = nGroup; i < n; i++) s2 += draws[at + i]! * x[i]!;
    if (!all) {
      for (let i = 0; i < nGroup; i++) n1 += draws[at + i]! * present[i]!;
      for (let i = nGroup; i < n; i++) n2 += draws[at + i]! * present[i]!;
    }
    if (n1 === 0 || n2 === 0) continue;
    const replicate = s1 / n1 - s2 / n2;
    replicates[kept++] = Math.abs(replicate) <= tie ? 0 : replicate;
  }
  const ascending = replicates.subarray(0, kept).sort();
  const effects = x.map((value, i) => (i < nGroup ? value / group.n : -value / reference.n));
  const [low, high] = bcaInterval(ascending, 0, acceleration(effects), level);
  const difference = group.mean - reference.mean;
  return [difference + low, difference + high];
}
