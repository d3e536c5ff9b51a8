/** Cubic splines through unevenly spaced samples, and the filling of short gaps with them. */

import type { Workspace } from './workspace.ts';

/** `natural`: no curvature at the ends. `not-a-knot`: the first two and the last two pieces are one cubic each. */
export type SplineEnd = 'natural' | 'not-a-knot';

/**
 * Slopes at the knots of the C² cubic spline through (x, y), n knots with x ascending (de Boor 1978, ch. IV). Two knots give a line;
 * three with `not-a-knot` the parabola. `scratch` needs 3 n places.
 */
export function splineSlopes(
  x: Float64Array,
  y: Float64Array,
  n: number,
  end: SplineEnd,
  slopes: Float64Array,
  scratch: Float64Array,
): void {
  if (n < 2) throw new RangeError(`a spline needs at least 2 knots, not ${n}`);
  const chord = (i: number): number => (y[i + 1]! - y[i]!) / (x[i + 1]! - x[i]!);
  if (n === 2) {
    slopes[0] = chord(0);
    slopes[1] = chord(0);
    return;
  }
  const h0 = x[1]! - x[0]!;
  const h1 = x[2]! - x[1]!;
  if (n === 3 && end === 'not-a-knot') {
    const curve = (chord(1) - chord(0)) / (h0 + h1);
    slopes[0] = chord(0) - curve * h0;
    slopes[1] = chord(0) + curve * h0;
    slopes[2] = chord(1) + curve * h1;
    return;
  }
  // Rows: upper[i] above the diagonal after elimination, slopes[i] the right-hand side.
  const upper = scratch.subarray(0, n);
  const diagonal = scratch.subarray(n, 2 * n);
  if (end === 'natural') {
    diagonal[0] = 2;
    upper[0] = 1;
    slopes[0] = 3 * chord(0);
  } else {
    diagonal[0] = h1;
    upper[0] = h0 + h1;
    slopes[0] = ((h0 + 2 * (h0 + h1)) * h1 * chord(0) + h0 * h0 * chord(1)) / (h0 + h1);
  }
  for (let i = 1; i < n - 1; i++) {
    const before = x[i]! - x[i - 1]!;
    const after = x[i + 1]! - x[i]!;
    const factor = after / diagonal[i - 1]!;
    diagonal[i] = 2 * (before + after) - factor * upper[i - 1]!;
    upper[i] = before;
    slopes[i] = 3 * (after * chord(i - 1) + before * chord(i)) - factor * slopes[i - 1]!;
  }
  const g0 = x[n - 1]! - x[n - 2]!;
  const g1 = x[n - 2]! - x[n - 3]!;
  let below = 1;
  let last = 2;
  let right = 3 * chord(n - 2);
  if (end === 'not-a-knot') {
    below = g0 + g1;
    last = g1;
    right = (g0 * g0 * chord(n - 3) + (2 * (g0 + g1) + g0) * g1 * chord(n - 2)) / (g0 + g1);
  }
  const factor = below / diagonal[n - 2]!;
  slopes[n - 1] = (right - factor * slopes[n - 2]!) / (last - factor * upper[n - 2]!);
  for (let i = n - 2; i >= 0; i--) slopes[i] = (slopes[i]! - upper[i]! * slopes[i + 1]!) / diagonal[i]!;
}

/** Value at `t` of the cubic with the given end values and slopes on [x0, x1] (Hermite form). */
export function hermite(
  x0: number,
  x1: number,
  y0: number,
  y1: number,
  slope0: number,
  slope1: number,
  t: number,
): number {
  const h = x1 - x0;
  const u = (t - x0) / h;
  const v = 1 - u;
  return v * v * ((1 + 2 * u) * y0 + u * h * slope0) + u * u * ((1 + 2 * v) * y1 - v * h * slope1);
}

/** Value at `t` of the spline; beyond the ends the outer pieces are carried on. */
export function evaluateSpline(x: Float64Array, y: Float64Array, slopes: Float64Array, n: number, t: number): number {
  let low = 0;
  let high = n - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (x[middle]! <= t) low = middle;
    else high = middle;
  }
  return hermite(x[low]!, x[low + 1]!, y[low]!, y[low + 1]!, slopes[low]!, slopes[low + 1]!, t);
}

/** Good samples taken from each side of a gap: a sample this far off moves the filled values by less than 1e-17 of its own change. */
const REACH = 32;

/**
 * Fills gaps of planar columns in place with the not-a-knot cubic spline through the good samples around each gap.
 * `data` holds `columns` columns of `frames` samples; `good[f]` is nonzero where a frame was measured (all columns share it);
 * `gaps` lists the gaps to fill as from0, to0, from1, to1 … (half open). `good` is not changed, and what was filled is never used.
 * A gap with no good sample on one side, or with fewer than four around it, is left alone. Returns the number of gaps filled.
 */
export function gapFillCubic(
  data: Float64Array,
  frames: number,
  columns: number,
  good: ArrayLike<number>,
  gaps: ArrayLike<number>,
  ws: Workspace,
): number {
  const x = ws.float64(2 * REACH);
  const y = ws.float64(2 * REACH);
  const slopes = ws.float64(2 * REACH);
  const scratch = ws.float64(6 * REACH);
  let filled = 0;
  for (let g = 0; g + 1 < gaps.length; g += 2) {
    const from = gaps[g]!;
    const to = gaps[g + 1]!;
    let left = 0;
    let first = from;
    for (let f = from - 1; f >= 0 && left < REACH; f--) {
      if (good[f]) {
        left += 1;
        first = f;
      }
    }
    let n = 0;
    for (let f = first; f < from; f++) if (good[f]) x[n++] = f;
    for (let f = to; f < frames && n < left + REACH; f++) if (good[f]) x[n++] = f;
    if (left === 0 || n === left || n < 4) continue;
    const before = x[left - 1]!;
    const after = x[left]!;
    for (let c = 0; c < columns; c++) {
      const o = c * frames;
      for (let i = 0; i < n; i++) y[i] = data[o + x[i]!]!;
      splineSlopes(x, y, n, 'not-a-knot', slopes, scratch);
      for (let f = from; f < to; f++) {
        data[o + f] = hermite(before, after, y[left - 1]!, y[left]!, slopes[left - 1]!, slopes[left]!, f);
      }
    }
    filled += 1;
  }
  return filled;
}
