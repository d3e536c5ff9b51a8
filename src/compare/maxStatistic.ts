import type { Labellings } from './labellings.ts';

/** The largest t² over the steps under every labelling. */

/** What one step brings to a test of curves. */
export interface StepColumn {
  readonly step: number;
  /** A curve's value less the mean of all (pairs: the difference itself); NaN where the curve lacks the step. */
  readonly values: Float64Array;
  /** How many have it. */
  readonly present: number;
  /** Σ values². */
  readonly squares: number;
  readonly df: number;
}

/**
 * Sums of the marked curves come from tables: for every pattern of up to eight curves the sum of their rows, so that a labelling of
 * 20 curves costs three additions a step and not ten. Rows are `length` long: `whole` steps that all curves have, then the other steps,
 * then (splits) how many of the marked curves have these.
 */
interface Tables {
  readonly length: number;
  readonly whole: number;
  readonly sums: Float64Array;
  /** Row of zeros, and of what is carried where a labelling has more than three parts. */
  readonly spare: number;
}

/** Steps are scaled so that r² = S² where all curves have the step, and r² = S² / (m₁ (M − m₁)) where M of them have it. */
function buildTables(columns: readonly StepColumn[], labels: Labellings): { tables: Tables; partial: StepColumn[] } {
  const { n, chunks, width, kind } = labels;
  const whole = columns.filter(({ present }) => present === n);
  const partial = columns.filter(({ present }) => present < n);
  const length = whole.length + partial.length * (kind === 'split' ? 2 : 1);
  const patterns = 1 << width;
  const sums = new Float64Array((chunks * patterns + 1) * length);
  const rows = new Float64Array(n * length);
  const marked = labels.masks.subarray(0, chunks);
  let inGroup = 0;
  for (let c = 0; c < n; c++) inGroup += (marked[Math.floor(c / width)]! >> (c % width)) & 1;
  [...whole, ...partial].forEach(({ values, present, squares }, k) => {
    const weight = kind === 'flip' ? 1 / present : present / (k < whole.length ? inGroup * (n - inGroup) : 1);
    // a sign that changes takes twice the difference away from the sum of all
    const scale = Math.sqrt(weight / squares) * (kind === 'flip' ? -2 : 1);
    let total = 0;
    for (let c = 0; c < n; c++) {
      const x = values[c]!;
      if (Number.isNaN(x)) continue;
      rows[c * length + k] = scale * x;
      total += x;
      if (kind === 'split' && k >= whole.length) rows[c * length + k + partial.length] = 1;
    }
    if (kind === 'flip') sums[k] = -0.5 * scale * total;
  });
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
  return { tables: { length, whole: whole.length, sums, spare: chunks * patterns * length }, partial };
}

/** t² = df r² / (1 − r²); without scatter left it is infinite. */
function squareOfT(r2: number, df: number): number {
  return r2 < 1 ? (df * r2) / (1 - r2) : Number.POSITIVE_INFINITY;
}

/** Largest |sum of three rows|. */
function largestSum(sums: Float64Array, a: number, b: number, c: number, length: number): number {
  let most = 0;
  let least = 0;
  for (let k = 0; k < length; k++) {
    const sum = sums[a + k]! + sums[b + k]! + sums[c + k]!;
    if (sum > most) most = sum;
    else if (sum < least) least = sum;
  }
  return Math.max(most, -least);
}

/** Largest t² over the columns, labelling by labelling; the observed one first. A step with all its curves on one side is passed over. */
export function largestSquares(columns: readonly StepColumn[], labels: Labellings): Float64Array {
  const { tables, partial } = buildTables(columns, labels);
  const { length, whole, sums, spare } = tables;
  const { chunks, width, masks, count, n, kind } = labels;
  const out = new Float64Array(count);
  const dfWhole = kind === 'flip' ? n - 1 : n - 2;
  for (let l = 0; l < count; l++) {
    const row = (chunk: number): number => ((chunk << width) + masks[l * chunks + chunk]!) * length;
    const a = row(0);
    const b = chunks > 1 ? row(1) : spare;
    let c = chunks > 2 ? row(2) : spare;
    for (let chunk = 3; chunk < chunks; chunk++) {
      const d = row(chunk);
      for (let k = 0; k < length; k++) sums[spare + k] = sums[c + k]! + sums[d + k]!;
      c = spare;
    }
    const most = largestSum(sums, a, b, c, whole);
    let largest = squareOfT(most * most, dfWhole);
    for (let g = 0; g < partial.length; g++) {
      const k = whole + g;
      const sum = sums[a + k]! + sums[b + k]! + sums[c + k]!;
      const { present, df } = partial[g]!;
      let r2 = sum * sum;
      if (kind === 'split') {
        const at = k + partial.length;
        const marked = sums[a + at]! + sums[b + at]! + sums[c + at]!;
        if (marked === 0 || marked === present) continue;
        r2 /= marked * (present - marked);
      }
      largest = Math.max(largest, squareOfT(r2, df));
    }
    out[l] = largest;
  }
  return out;
}
