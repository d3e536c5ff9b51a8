/** Samples at the range limit of a sensor: at the limit the day file states, or flat tops at a repeated extreme. */

/** Smallest ranges that such sensors have: 250 °/s and 2 g (common practice, no source); a flat top below is no limit. */
export const SMALLEST_GYRO_RANGE_radPerS = 4.3;
export const SMALLEST_ACC_RANGE_mPerS2 = 19;

/** This near the limit counts as at it: scale and bias move tops by less. */
const AT_LIMIT = 0.002;

/**
 * Per sample of a planar 3 × rows array 1 where any axis is at its limit, else 0. `range` is the declared limit, or null: then tops of at least
 * three equal samples at the largest or smallest value of an axis, beyond `smallest` and left by a step of more than four times the resolution.
 */
export function clippedSamples(planar: Float64Array, rows: number, range: number | null, smallest: number): Uint8Array {
  const out = new Uint8Array(rows);
  for (let axis = 0; axis < 3; axis += 1) {
    const column = planar.subarray(axis * rows, (axis + 1) * rows);
    if (range !== null) {
      markBeyond(out, column, range * (1 - AT_LIMIT), 1);
      markBeyond(out, column, range * (1 - AT_LIMIT), -1);
      continue;
    }
    for (const sign of [1, -1] as const) {
      const top = flatTop(column, sign);
      if (top !== null && top >= smallest) markBeyond(out, column, top * (1 - 1e-9), sign);
    }
  }
  return out;
}

function markBeyond(out: Uint8Array, column: Float64Array, limit: number, sign: 1 | -1): void {
  for (let i = 0; i < column.length; i += 1) if (sign * column[i]! >= limit) out[i] = 1;
}

/** The extreme of sign · column where a flat top of three samples or more lies on it; null otherwise. */
function flatTop(column: Float64Array, sign: 1 | -1): number | null {
  let extreme = Number.NEGATIVE_INFINITY;
  let finest = Number.POSITIVE_INFINITY;
  for (let i = 0; i < column.length; i += 1) {
    const value = sign * column[i]!;
    if (value > extreme) extreme = value;
    if (i > 0) {
      const step = Math.abs(column[i]! - column[i - 1]!);
      if (step > 0 && step < finest) finest = step;
    }
  }
  for (let i = 0; i < column.length; i += 1) {
    if (sign * column[i]! !== extreme) continue;
    let end = i;
    while (end < column.length && sign * column[end]! === extreme) end += 1;
    if (end - i >= 3) {
      const before = i > 0 ? extreme - sign * column[i - 1]! : 0;
      const after = end < column.length ? extreme - sign * column[end]! : 0;
      if (Math.max(before, after) > 4 * finest) return extreme;
    }
    i = end;
  }
  return null;
}

/** First and last times of runs of marked samples, at most `most` runs, and the number of all runs. */
export function runsOf(
  marks: Uint8Array,
  times_s: Float64Array,
  most: number,
): { readonly runs: readonly (readonly [number, number])[]; readonly all: number } {
  const runs: (readonly [number, number])[] = [];
  let all = 0;
  for (let i = 0; i < marks.length; i += 1) {
    if (marks[i] === 0) continue;
    let end = i;
    while (end + 1 < marks.length && marks[end + 1] !== 0) end += 1;
    all += 1;
    if (runs.length < most) runs.push([times_s[i]!, times_s[end]!]);
    i = end;
  }
  return { runs, all };
}
