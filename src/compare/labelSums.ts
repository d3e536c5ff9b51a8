import type { Labellings } from './labellings.ts';

/**
 * Sums over the marked curves come from tables: for every pattern of up to eight curves the sum of their rows, so that a labelling of
 * 20 curves costs three additions a column and not ten.
 */
export interface LabelSums {
  readonly length: number;
  readonly sums: Float64Array;
  /** Row of zeros, and of what is carried where a labelling has more than three parts. */
  readonly spare: number;
}

/** `rows`: curve after curve, `length` columns each. `start`: what the sums of every labelling start from, column by column. */
export function labelSums(rows: Float64Array, start: Float64Array, labels: Labellings): LabelSums {
  const { n, chunks, width } = labels;
  const { length } = start;
  const patterns = 1 << width;
  const sums = new Float64Array((chunks * patterns + 1) * length);
  sums.set(start);
  for (let chunk = 0; chunk < chunks; chunk++) {
    for (let pattern = 1; pattern < patterns; pattern++) {
      const lowest = 31 - Math.clz32(pattern & -pattern);
      const curve = chunk * width + lowest;
      if (curve >= n) continue;
      const to = (chunk * patterns + pattern) * length;
      const from = (chunk * patterns + (pattern & (pattern - 1))) * length;
      for (let k = 0; k < length; k++) sums[to + k] = sums[from + k]! + rows[curve * length + k]!;
    }
  }
  return { length, sums, spare: chunks * patterns * length };
}

/** Where in `sums` the three rows stand that together are those of a labelling; `at` is overwritten, the spare row too. */
export function rowsOf(
  { length, sums, spare }: LabelSums,
  labels: Labellings,
  labelling: number,
  at: Uint32Array,
): void {
  const { chunks, width, masks } = labels;
  for (let part = 0; part < 3; part++) {
    at[part] = part < chunks ? ((part << width) + masks[labelling * chunks + part]!) * length : spare;
  }
  // two rows a pass: half as often written and read again
  for (let chunk = 3; chunk < chunks; chunk += 2) {
    const from = at[2]!;
    const row = ((chunk << width) + masks[labelling * chunks + chunk]!) * length;
    if (chunk + 1 < chunks) {
      const next = (((chunk + 1) << width) + masks[labelling * chunks + chunk + 1]!) * length;
      for (let k = 0; k < length; k++) sums[spare + k] = sums[from + k]! + sums[row + k]! + sums[next + k]!;
    } else {
      for (let k = 0; k < length; k++) sums[spare + k] = sums[from + k]! + sums[row + k]!;
    }
    at[2] = spare;
  }
}
