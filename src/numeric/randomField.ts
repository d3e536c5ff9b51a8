/** Maximum of a smooth field of t along one dimension: its threshold from the roughness of the residuals. */

import { tSurvival } from './distributions.ts';

const ROOT_4_LN_2 = Math.sqrt(4 * Math.LN2);

/**
 * Chance that a field of t with `df` degrees of freedom rises above u > 0 somewhere, along `stretches` separate pieces that together are
 * `resels` widths long: 1 − exp(−E), E = stretches · P(T > u) + resels · √(4 ln 2)/(2π) · (1 + u²/df)^(−(df − 1)/2), the expected number
 * of upcrossings (Worsley and others 1996, Hum Brain Mapp 4:58-73, from memory; in one dimension Pataky 2010, J Biomech 43:1976-1982).
 */
export function fieldSurvival(u: number, df: number, resels: number, stretches: number): number {
  const crossings = (ROOT_4_LN_2 / (2 * Math.PI)) * Math.exp(-0.5 * (df - 1) * Math.log1p((u * u) / df));
  return -Math.expm1(-(stretches * tSurvival(u, df) + resels * crossings));
}

/**
 * u that such a field exceeds somewhere with chance `alpha` (one side; halve it for two). `fwhm` in steps; `nodes` in all the stretches
 * together. By bisection; NaN for df ≤ 0, a width that is not above 0, or fewer nodes than stretches.
 */
export function fieldThreshold(df: number, fwhm: number, nodes: number, alpha: number, stretches = 1): number {
  if (!(df > 0 && fwhm > 0 && nodes >= stretches && stretches > 0 && alpha > 0 && alpha < 1)) return Number.NaN;
  const resels = (nodes - stretches) / fwhm;
  let low = 0;
  let high = 4;
  while (fieldSurvival(high, df, resels, stretches) > alpha && high < 1e12) high *= 2;
  for (let i = 0; i < 200; i++) {
    const middle = 0.5 * (low + high);
    if (!(middle > low && middle < high)) break;
    if (fieldSurvival(middle, df, resels, stretches) > alpha) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}

/** d/dq of one row at a step: central where both neighbours are there, else one-sided; NaN without a neighbour. */
function slopeAt(x: Float64Array, at: number, step: number, steps: number): number {
  const before = step > 0 ? x[at + step - 1]! : Number.NaN;
  const after = step + 1 < steps ? x[at + step + 1]! : Number.NaN;
  const here = x[at + step]!;
  if (!Number.isNaN(before) && !Number.isNaN(after)) return 0.5 * (after - before);
  return Number.isNaN(before) ? after - here : here - before;
}

/**
 * Smoothness of residual curves: the full width at half maximum, in steps, of the Gaussian kernel that would make white noise as smooth.
 * At each step v = Σ gradient² / Σ residual² over the curves, and the width is 1 / mean √(v / (4 ln 2)) over the steps
 * (Kiebel and others 1999, NeuroImage 10:756-766, from memory). `residuals`: curve after curve, `steps` each; NaN where a curve has no
 * step. Steps without scatter or without neighbours are passed over; NaN where none is left, ∞ where no curve changes.
 */
export function smoothness(residuals: Float64Array, steps: number): number {
  const curves = residuals.length / steps;
  let sum = 0;
  let n = 0;
  for (let step = 0; step < steps; step++) {
    let gradients = 0;
    let squares = 0;
    for (let c = 0; c < curves; c++) {
      const x = residuals[c * steps + step]!;
      const slope = slopeAt(residuals, c * steps, step, steps);
      if (Number.isNaN(x + slope)) continue;
      gradients += slope * slope;
      squares += x * x;
    }
    if (!(squares > 0)) continue;
    sum += Math.sqrt(gradients / squares) / ROOT_4_LN_2;
    n += 1;
  }
  return n === 0 ? Number.NaN : n / sum;
}
