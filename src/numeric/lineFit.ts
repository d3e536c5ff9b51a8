/** A straight line through scattered values and what it says at a place beyond them. */

import { fSurvival } from './distributions.ts';
import { mean } from './statistics.ts';

export interface LineAt {
  /** The line at the place asked for, its standard error, and the degrees of freedom n − 2. */
  readonly value: number;
  readonly se: number;
  readonly df: number;
  readonly slope: number;
  readonly slopeSe: number;
  /** Different places, exactly equal ones being one. */
  readonly places: number;
  /**
   * Whether the means of the places lie on a line, beside the scatter within places: p of F with places − 2 and n − places degrees of freedom
   * (Draper & Smith 1998, Applied Regression Analysis, section 2.1, from memory); NaN where either is 0.
   */
  readonly bentP: number;
}

/** Least squares; all NaN below three values or two places. No scatter about the line: se 0. */
export function lineAt(x: ArrayLike<number>, y: ArrayLike<number>, at: number): LineAt {
  const n = x.length;
  const byPlace = new Map<number, number[]>();
  for (let i = 0; i < n; i++) {
    const values = byPlace.get(x[i]!);
    if (values === undefined) byPlace.set(x[i]!, [y[i]!]);
    else values.push(y[i]!);
  }
  const places = byPlace.size;
  if (n < 3 || places < 2) {
    const none = Number.NaN;
    return { value: none, se: none, df: n - 2, slope: none, slopeSe: none, places, bentP: none };
  }
  const mx = mean(x);
  const my = mean(y);
  let sxx = 0;
  let sxy = 0;
  for (let i = 0; i < n; i++) {
    sxx += (x[i]! - mx) * (x[i]! - mx);
    sxy += (x[i]! - mx) * (y[i]! - my);
  }
  const slope = sxy / sxx;
  let about = 0;
  for (let i = 0; i < n; i++) {
    const e = y[i]! - my - slope * (x[i]! - mx);
    about += e * e;
  }
  let within = 0;
  for (const values of byPlace.values()) {
    const centre = mean(values);
    for (const value of values) within += (value - centre) * (value - centre);
  }
  const variance = about / (n - 2);
  const bent = Math.max(0, about - within) / (places - 2);
  return {
    value: my + slope * (at - mx),
    se: Math.sqrt(variance * (1 / n + ((at - mx) * (at - mx)) / sxx)),
    df: n - 2,
    slope,
    slopeSe: Math.sqrt(variance / sxx),
    places,
    bentP: places < 3 || n <= places ? Number.NaN : fSurvival(bent / (within / (n - places)), places - 2, n - places),
  };
}
