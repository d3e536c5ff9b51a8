import { noncentralTCdf, normalQuantile } from '../numeric/distributions.ts';
import { cohensD } from './effectSize.ts';
import type { Summary } from './twoSamples.ts';

/** The 95 % interval of an effect size, by the non-central t. */

const NORMAL_975 = normalQuantile(0.975);

/**
 * Non-centrality for which P(T ≤ t) is 0.975: the lower end of its 95 % interval. On the normal scale the chance is nearly a line of
 * slope −1 in the non-centrality: the secant settles in a few steps.
 */
export function lowerNoncentrality(t: number, df: number): number {
  const above = (delta: number): number => normalQuantile(noncentralTCdf(t, df, delta)) - NORMAL_975;
  let before = t - NORMAL_975;
  let aboveBefore = above(before);
  let delta = before + aboveBefore;
  for (let i = 0; i < 30; i++) {
    const aboveNow = above(delta);
    if (!Number.isFinite(aboveNow) || Math.abs(aboveNow) < 1e-9 || aboveNow === aboveBefore) break;
    const next = delta - (aboveNow * (delta - before)) / (aboveNow - aboveBefore);
    before = delta;
    aboveBefore = aboveNow;
    delta = next;
  }
  return delta;
}

/** Spacing of t in the table of non-centralities, and the |t| up to which it is used. */
const STEP = 0.25;
const FURTHEST = 16;

export type EffectInterval = (group: Summary, reference: Summary) => [low: number, high: number];

/**
 * 95 % interval of the effect size in the population, both groups with one SD: the non-centralities whose t, with n₁ + n₂ − 2 degrees of
 * freedom, exceeds the observed one in 2.5 % and in 97.5 %, times √(1/n₁ + 1/n₂) (Steiger & Fouladi 1997, from memory). It is of the
 * effect itself and takes no factor J. NaN without scatter or below two values a group.
 * Most rows share their degrees of freedom: non-centralities are kept every quarter of t and carried between by the cubic through four
 * of them, which errs by less than 1e-4.
 */
export function effectIntervals(): EffectInterval {
  const tables = new Map<number, Map<number, number>>();
  const nodeAt = (table: Map<number, number>, index: number, df: number): number => {
    const known = table.get(index);
    if (known !== undefined) return known;
    const made = lowerNoncentrality(STEP * index, df);
    table.set(index, made);
    return made;
  };
  const lower = (t: number, df: number): number => {
    if (Math.abs(t) > FURTHEST) return lowerNoncentrality(t, df);
    const table = tables.get(df) ?? new Map<number, number>();
    tables.set(df, table);
    const place = t / STEP;
    const index = Math.floor(place);
    const u = place - index;
    const [a, b, c, d] = [-1, 0, 1, 2].map((shift) => nodeAt(table, index + shift, df)) as [
      number,
      number,
      number,
      number,
    ];
    return (
      (-u * (u - 1) * (u - 2) * a) / 6 +
      ((u + 1) * (u - 1) * (u - 2) * b) / 2 -
      ((u + 1) * u * (u - 2) * c) / 2 +
      ((u + 1) * u * (u - 1) * d) / 6
    );
  };
  return (group, reference) => {
    const df = group.n + reference.n - 2;
    const scale = Math.sqrt(1 / group.n + 1 / reference.n);
    const t = cohensD(group, reference) / scale;
    if (!(Number.isFinite(t) && group.n >= 2 && reference.n >= 2)) return [Number.NaN, Number.NaN];
    return [scale * lower(t, df), -scale * lower(-t, df)];
  };
}
