/** Fills a gap between noisy samples with the smoothest curve that they allow, and says how far off it may be. */

import type { Workspace } from './workspace.ts';

/** Frames on each side of the gap that take part. */
const REACH = 32;
/** Samples that each side needs. */
const FEWEST = 4;
/** Bounds of the penalty on a grid of one frame: below, the samples are met; above, one parabola runs through all. */
const LEAST_LAMBDA = 1e-6;
const MOST_LAMBDA = 1e10;
/** Halvings of the logarithm between the bounds: λ within 0.1 %. */
const STEPS = 16;
/** Third difference. */
const D = [-1, 3, -3, 1] as const;

/**
 * Fills [from, to) of planar columns in place and writes the standard deviation per column of each filled sample to `sd` at its frame.
 *
 * The curve g on the grid of frames makes Σ (y − g)² over the samples there are + λ Σ (Δ³g)² least: the discrete quintic spline of
 * Whittaker (1923, Proc Edinb Math Soc 41:63-75) and Henderson (1924); through the gap only the second sum counts. Read as a prior of
 * independent third differences of variance σ²/λ, what is least has the expectation (n − 3) σ² for each column of n samples, which
 * determines λ where the samples' noise σ is known; the posterior variance is σ² times the diagonal of the inverse.
 *
 * @param good nonzero where a frame has a sample; @param sigma noise of the samples, > 0
 * @returns false, with nothing changed, where a side has fewer than four samples within 32 frames.
 */
export function gapFillSmooth(
  data: Float64Array,
  frames: number,
  columns: number,
  good: ArrayLike<number>,
  from: number,
  to: number,
  sigma: number,
  sd: Float64Array,
  ws: Workspace,
): boolean {
  const first = Math.max(0, from - REACH);
  const last = Math.min(frames, to + REACH);
  const n = last - first;
  let before = 0;
  let after = 0;
  for (let f = first; f < last; f++) {
    if (!good[f]) continue;
    if (f < from) before += 1;
    else if (f >= to) after += 1;
  }
  if (before < FEWEST || after < FEWEST) return false;
  const factor = ws.float64(4 * n);
  const y = ws.float64(columns * n);
  const g = ws.float64(columns * n);
  const has = ws.uint8(n);
  for (let i = 0; i < n; i++) has[i] = good[first + i] && !(first + i >= from && first + i < to) ? 1 : 0;
  let start = 0;
  while (has[start] === 0) start += 1;
  for (let c = 0; c < columns; c++) {
    const origin = data[c * frames + first + start]!;
    for (let i = 0; i < n; i++) y[c * n + i] = has[i] === 1 ? data[c * frames + first + i]! - origin : 0;
  }
  const wanted = columns * (before + after - 3) * sigma * sigma;
  let low = Math.log(LEAST_LAMBDA);
  let high = Math.log(MOST_LAMBDA);
  for (let step = 0; step < STEPS; step++) {
    const middle = (low + high) / 2;
    factorise(factor, has, n, Math.exp(middle));
    if (least(factor, y, g, has, n, columns) > wanted) high = middle;
    else low = middle;
  }
  factorise(factor, has, n, Math.exp(low));
  least(factor, y, g, has, n, columns);
  const column = ws.float64(n);
  for (let f = from; f < to; f++) {
    for (let c = 0; c < columns; c++) {
      data[c * frames + f] = data[c * frames + first + start]! + g[c * n + f - first]!;
    }
    column.fill(0);
    column[f - first] = 1;
    solve(factor, column, 0, n);
    sd[f] = sigma * Math.sqrt(column[f - first]!);
  }
  return true;
}

/** L D Lᵀ of diag(has) + λ ΔᵀΔ: pivots, then the three diagonals of L below the main one, each n long at its row. */
function factorise(factor: Float64Array, has: Uint8Array, n: number, lambda: number): void {
  for (let i = 0; i < n; i++) {
    for (let below = 0; below <= 3 && below <= i; below++) {
      // entry (i, i − below) of ΔᵀΔ: over the differences that hold both samples
      let sum = below === 0 ? has[i]! : 0;
      for (let k = Math.max(0, i - 3); k <= Math.min(i - below, n - 4); k++)
        sum += lambda * D[i - k]! * D[i - below - k]!;
      factor[below * n + i] = sum;
    }
  }
  for (let i = 0; i < n; i++) {
    for (let below = Math.min(3, i); below >= 0; below--) {
      const j = i - below;
      let value = factor[below * n + i]!;
      for (let k = Math.max(0, i - 3); k < j; k++) {
        value -= factor[(i - k) * n + i]! * factor[(j - k) * n + j]! * factor[k]!;
      }
      factor[below * n + i] = below === 0 ? value : value / factor[j]!;
    }
  }
}

/** Solves for the n values of `b` from `at` on, in place. */
function solve(factor: Float64Array, b: Float64Array, at: number, n: number): void {
  for (let i = 0; i < n; i++) {
    let value = b[at + i]!;
    for (let below = 1; below <= 3 && below <= i; below++) value -= factor[below * n + i]! * b[at + i - below]!;
    b[at + i] = value;
  }
  for (let i = 0; i < n; i++) b[at + i] = b[at + i]! / factor[i]!;
  for (let i = n - 1; i >= 0; i--) {
    let value = b[at + i]!;
    for (let above = 1; above <= 3 && i + above < n; above++) {
      value -= factor[above * n + i + above]! * b[at + i + above]!;
    }
    b[at + i] = value;
  }
}

/** Fits every column into `g`; returns what was made least, Σ y (y − g) over the samples. */
function least(
  factor: Float64Array,
  y: Float64Array,
  g: Float64Array,
  has: Uint8Array,
  n: number,
  columns: number,
): number {
  g.set(y);
  let sum = 0;
  for (let c = 0; c < columns; c++) {
    solve(factor, g, c * n, n);
    for (let i = 0; i < n; i++) if (has[i] === 1) sum += y[c * n + i]! * (y[c * n + i]! - g[c * n + i]!);
  }
  return sum;
}
