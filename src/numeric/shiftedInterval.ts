/** The interval of an estimate that is noisy and shifted by a known amount. */

import { normalCdf, normalQuantile } from './distributions.ts';

const LEVEL = 0.95;
/** Beyond this shift, in standard deviations, one side decides alone. */
const ONE_SIDED_FROM = 3;
const STEP = 0.05;
const ONE_SIDED = normalQuantile(LEVEL);

/** Half-widths by steps of the shift, both in standard deviations. */
const TABLE = Array.from({ length: ONE_SIDED_FROM / STEP + 1 }, (_, i) => solved(i * STEP));

function solved(shift: number): number {
  let low = 0;
  let high = shift + 3;
  for (let i = 0; i < 60; i++) {
    const h = (low + high) / 2;
    if (normalCdf(h - shift) - normalCdf(-h - shift) < LEVEL) low = h;
    else high = h;
  }
  return (low + high) / 2;
}

/**
 * Smallest h for which an estimate with normal noise of standard deviation `sd` and a shift of size `shift` lies within ± h of the truth in 95
 * of 100 cases: Φ((h − shift) / sd) − Φ(−(h + shift) / sd) = 0.95. 1.96 sd without a shift, shift + 1.645 sd with a large one.
 */
export function shiftedHalfWidth(sd: number, shift: number): number {
  if (!(sd > 0)) return shift + 0 * sd;
  const ratio = shift / sd;
  if (!(ratio < ONE_SIDED_FROM)) return shift + ONE_SIDED * sd;
  const at = ratio / STEP;
  const i = Math.floor(at);
  const low = TABLE[i]!;
  return sd * (low + (at - i) * (TABLE[i + 1]! - low));
}
