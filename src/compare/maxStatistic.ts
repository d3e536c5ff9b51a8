import type { Labellings } from './labellings.ts';
import { type LabelSums, labelSums, rowsOf } from './labelSums.ts';

/** The largest t² over the steps under every labelling, on one scale whatever its degrees of freedom. */

/** What one step brings to a test of curves. */
export interface StepColumn {
  readonly step: number;
  /** A curve's value less the mean of all (pairs: the difference itself); NaN where the curve lacks the step. */
  readonly values: Float64Array;
  /** How many have it. */
  readonly present: number;
  /** Σ values². */
  readonly squares: number;
}

export interface LabelScores {
  /** Labelling by labelling, the observed one first; see `scoreOf`. */
  readonly scores: Float64Array;
  /** Degrees of freedom of the observed labelling. */
  readonly df: number;
}

/** Share of its own size under which a variance is the rounding of sums. */
const ROUNDING = 1e-12;

const factor = (df: number): number => ((8 * df + 1) / (8 * df + 3)) * ((8 * df + 1) / (8 * df + 3));

/**
 * Square of the normal deviate about as rare as t with `df` degrees of freedom: ((8ν + 1)/(8ν + 3))² ν ln(1 + t²/ν)
 * (Wallace 1959, Ann Math Statist 30:1121-1130, from memory).
 */
export function scoreOf(t2: number, df: number): number {
  return t2 < Number.POSITIVE_INFINITY ? factor(df) * df * Math.log1p(t2 / df) : t2;
}

/** t² with that score. */
export function squareOfScore(score: number, df: number): number {
  return df * Math.expm1(score / (factor(df) * df));
}

/** Steps that all curves have, then the others. */
function sorted(columns: readonly StepColumn[], n: number): { columns: readonly StepColumn[]; whole: number } {
  const whole = columns.filter(({ present }) => present === n);
  return { columns: [...whole, ...columns.filter(({ present }) => present < n)], whole: whole.length };
}

/** t² = df r² / (1 − r²); without scatter left it is infinite. */
function squareOfT(r2: number, df: number): number {
  return r2 < 1 ? (df * r2) / (1 - r2) : Number.POSITIVE_INFINITY;
}

/** Signs of differences changed: one-sample t², degrees of freedom those of the step that fewest pairs have. */
export function flipScores(given: readonly StepColumn[], labels: Labellings): LabelScores {
  const { n, count } = labels;
  const { columns, whole } = sorted(given, n);
  const rows = new Float64Array(n * columns.length);
  const start = new Float64Array(columns.length);
  for (const [k, { values, present, squares }] of columns.entries()) {
    // r² = (scaled sum)²; a sign that changes takes twice the difference away from the sum of all
    const scale = 1 / Math.sqrt(present * squares);
    for (let c = 0; c < n; c++) {
      if (Number.isNaN(values[c]!)) continue;
      rows[c * columns.length + k] = -2 * scale * values[c]!;
      start[k]! += scale * values[c]!;
    }
  }
  const tables = labelSums(rows, start, labels);
  const { sums } = tables;
  const df = columns.reduce((least, { present }) => Math.min(least, present), n) - 1;
  const scores = new Float64Array(count);
  const at = new Uint32Array(3);
  for (let l = 0; l < count; l++) {
    rowsOf(tables, labels, l, at);
    const [a, b, c] = [at[0]!, at[1]!, at[2]!];
    let most = 0;
    for (let k = 0; k < whole; k++) most = Math.max(most, Math.abs(sums[a + k]! + sums[b + k]! + sums[c + k]!));
    let largest = squareOfT(most * most, n - 1);
    for (let k = whole; k < columns.length; k++) {
      const sum = sums[a + k]! + sums[b + k]! + sums[c + k]!;
      largest = Math.max(largest, squareOfT(sum * sum, columns[k]!.present - 1));
    }
    scores[l] = scoreOf(largest, df);
  }
  return { scores, df };
}

/** Fewest curves of a side for a step to be tested, of a side of `size`: two, and half of them. */
export const fewestOf = (size: number): number => Math.max(2, Math.ceil(size / 2));

/**
 * A row: of every step the value, of the whole steps what its square adds to the variance of the difference, of the others the square and
 * a mark, last the sum of squares over the whole steps. Values are scaled so that their squares over all curves add up to 1 at each step.
 */
function splitSums(columns: readonly StepColumn[], whole: number, labels: Labellings, nGroup: number): LabelSums {
  const { n } = labels;
  const steps = columns.length;
  const length = 3 * steps - whole + 1;
  const rows = new Float64Array(n * length);
  const start = new Float64Array(length);
  const one = 1 / (nGroup * (nGroup - 1));
  const two = 1 / ((n - nGroup) * (n - nGroup - 1));
  start.fill(two, steps, steps + whole);
  for (const [k, { values, squares }] of columns.entries()) {
    const scale = 1 / Math.sqrt(squares);
    for (let c = 0; c < n; c++) {
      const x = scale * values[c]!;
      if (Number.isNaN(x)) continue;
      const at = c * length;
      rows[at + k] = x;
      rows[at + steps + k] = k < whole ? (one - two) * x * x : x * x;
      if (k < whole) rows[at + length - 1]! += x * x;
      else rows[at + 2 * steps + k - whole] = 1;
    }
  }
  return labelSums(rows, start, labels);
}

/**
 * Curves exchanged between the groups: Welch's t² (studentised, so that unequal scatter does not pass for a difference: Janssen 1997,
 * Statist Probab Lett 36:9-21; Chung & Romano 2013, Ann Statist 41:484-507; both from memory), the largest put on one scale by the
 * Welch–Satterthwaite degrees of freedom of the labelling (prepivoting: Beran 1988, J Am Stat Assoc 83:687-697, from memory). They are
 * those of the mean over the steps of the two variances, each relative to the scatter of all curves there: one number a curve, as few
 * swings do not tell them step by step. A step counts in a labelling where each side has as many curves as `fewestOf` asks.
 */
export function splitScores(given: readonly StepColumn[], labels: Labellings, nGroup: number): LabelScores {
  const { n, count } = labels;
  const [n1, n2] = [nGroup, n - nGroup];
  const [least1, least2] = [fewestOf(n1), fewestOf(n2)];
  const { columns, whole } = sorted(given, n);
  const steps = columns.length;
  const tables = splitSums(columns, whole, labels, nGroup);
  const { length, sums } = tables;
  const both = 1 / n1 + 1 / n2;
  const ofMeans = 1 / (n1 * n1 * (n1 - 1)) + 1 / (n2 * n2 * (n2 - 1));
  const scores = new Float64Array(count);
  const at = new Uint32Array(3);
  let observedDf = Number.NaN;
  for (let l = 0; l < count; l++) {
    rowsOf(tables, labels, l, at);
    const [a, b, c] = [at[0]!, at[1]!, at[2]!];
    let over = 1;
    let best = 0;
    let squares = 0;
    for (let k = 0; k < whole; k++) {
      const sum = sums[a + k]! + sums[b + k]! + sums[c + k]!;
      const about = sums[a + steps + k]! + sums[b + steps + k]! + sums[c + steps + k]!;
      const square = sum * sum;
      squares += square;
      // the largest square / about, without dividing
      if (square * over > best * about) {
        best = square;
        over = about;
      }
    }
    const rest = over - ofMeans * best;
    let largest = rest > ROUNDING * over ? (both * both * best) / rest : Number.POSITIVE_INFINITY;
    const marked = sums[a + length - 1]! + sums[b + length - 1]! + sums[c + length - 1]!;
    let v1 = (marked - squares / n1) / (n1 * (n1 - 1));
    let v2 = (whole - marked - squares / n2) / (n2 * (n2 - 1));
    let curves1 = whole * n1;
    let curves2 = whole * n2;
    let counted = whole;
    for (let k = whole; k < steps; k++) {
      const places = 2 * steps + k - whole;
      const m1 = sums[a + places]! + sums[b + places]! + sums[c + places]!;
      const m2 = columns[k]!.present - m1;
      if (m1 < least1 || m2 < least2) continue;
      const sum = sums[a + k]! + sums[b + k]! + sums[c + k]!;
      const own = sums[a + steps + k]! + sums[b + steps + k]! + sums[c + steps + k]!;
      const s1 = (own - (sum * sum) / m1) / (m1 * (m1 - 1));
      const s2 = (1 - own - (sum * sum) / m2) / (m2 * (m2 - 1));
      const difference = sum / m1 + sum / m2;
      const t2 =
        s1 + s2 > ROUNDING * (1 / (m1 * m1) + 1 / (m2 * m2))
          ? (difference * difference) / (s1 + s2)
          : Number.POSITIVE_INFINITY;
      largest = Math.max(largest, t2);
      v1 += s1;
      v2 += s2;
      curves1 += m1;
      curves2 += m2;
      counted += 1;
    }
    if (counted === 0) continue;
    const df = welchDf(Math.max(0, v1), curves1 / counted - 1, Math.max(0, v2), curves2 / counted - 1);
    scores[l] = scoreOf(largest, df);
    if (l === 0) observedDf = df;
  }
  return { scores, df: observedDf };
}

/** Welch–Satterthwaite; without scatter those of both samples together. */
function welchDf(v1: number, df1: number, v2: number, df2: number): number {
  if (v1 + v2 === 0) return df1 + df2;
  return ((v1 + v2) * (v1 + v2)) / ((v1 * v1) / df1 + (v2 * v2) / df2);
}
