/** Derivatives of evenly sampled series by differences. */

/** `2`: (x₊₁ − x₋₁) / 2dt, second order. `5`: (x₋₂ − 8 x₋₁ + 8 x₊₁ − x₊₂) / 12dt, fourth order. */
export type Stencil = 2 | 5;

/**
 * First derivative per second over [from, to) into the same places of `out`, which may not be `x`. Central inside; at the ends of the run
 * one-sided of the same order, from the samples inside only. Runs too short for the stencil use the longest that fits; a lone sample gives NaN.
 */
export function differentiate(
  out: Float64Array,
  x: Float64Array,
  from: number,
  to: number,
  rate_Hz: number,
  stencil: Stencil,
): void {
  const n = to - from;
  if (n <= 0) return;
  if (n === 1) {
    out[from] = Number.NaN;
  } else if (n === 2) {
    out[from] = (x[from + 1]! - x[from]!) * rate_Hz;
    out[from + 1] = out[from]!;
  } else if (stencil === 2 || n < 5) {
    const half = rate_Hz / 2;
    for (let i = from + 1; i < to - 1; i++) out[i] = (x[i + 1]! - x[i - 1]!) * half;
    out[from] = (-3 * x[from]! + 4 * x[from + 1]! - x[from + 2]!) * half;
    out[to - 1] = (3 * x[to - 1]! - 4 * x[to - 2]! + x[to - 3]!) * half;
  } else {
    const twelfth = rate_Hz / 12;
    for (let i = from + 2; i < to - 2; i++) {
      out[i] = (x[i - 2]! - x[i + 2]! + 8 * (x[i + 1]! - x[i - 1]!)) * twelfth;
    }
    for (const way of [1, -1]) {
      const e = way === 1 ? from : to - 1;
      const x0 = x[e]!;
      const x1 = x[e + way]!;
      const x2 = x[e + 2 * way]!;
      const x3 = x[e + 3 * way]!;
      const x4 = x[e + 4 * way]!;
      out[e] = way * twelfth * (-25 * x0 + 48 * x1 - 36 * x2 + 16 * x3 - 3 * x4);
      out[e + way] = way * twelfth * (-3 * x0 - 10 * x1 + 18 * x2 - 6 * x3 + x4);
    }
  }
}

/** As `differentiate` for planar columns and runs listed as from0, to0, from1, to1 …; frames outside the runs become NaN. */
export function differentiateColumns(
  out: Float64Array,
  data: Float64Array,
  frames: number,
  columns: number,
  segments: ArrayLike<number>,
  rate_Hz: number,
  stencil: Stencil,
): void {
  out.fill(Number.NaN, 0, columns * frames);
  for (let c = 0; c < columns; c++) {
    for (let g = 0; g + 1 < segments.length; g += 2) {
      differentiate(out, data, c * frames + segments[g]!, c * frames + segments[g + 1]!, rate_Hz, stencil);
    }
  }
}
