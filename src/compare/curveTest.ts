import { fieldThreshold, smoothness } from '../numeric/randomField.ts';
import { LEVEL } from './adjust.ts';
import type { Labellings } from './labellings.ts';
import { fewestOf, flipScores, type LabelScores, type StepColumn, splitScores, squareOfScore } from './maxStatistic.ts';

/**
 * Do two groups of curves, registered at the positions, differ anywhere, and where? Permutation test of the largest |t| over all steps
 * (Nichols & Holmes 2002, Hum Brain Mapp 15:1-25), with the random-field threshold beside it (Pataky 2010, J Biomech 43:1976-1982).
 */

/** Equal up to the rounding of the sums, relative to t² or its score. */
const TIE = 1e-9;

/** A step whose squares are under this share of the largest step's has no scatter but rounding (an angle that is zero by definition). */
const FLAT = 1e-20;

export interface CurveTest {
  /** Welch's t by step, group less reference (pairs: t of the mean difference); NaN where a step was not tested. */
  readonly t: Float64Array;
  /** Of the whole curve; see `splitScores`. */
  readonly df: number;
  /** Largest |t|, and the share of labellings with one at least as rare. */
  readonly largest: number;
  readonly p: number;
  /** |t| beyond which a step differs, at 5 % over all steps together. */
  readonly threshold: number;
  /** The same by random-field theory, for normal, equally smooth residuals. */
  readonly randomField: number;
  /** Of the residuals, steps. */
  readonly fwhm: number;
  readonly labellings: number;
  readonly exact: boolean;
  /** First and last step of each stretch where |t| is beyond the threshold on one side. */
  readonly stretches: readonly { readonly from: number; readonly to: number; readonly sign: 1 | -1 }[];
}

interface Side {
  readonly n: number;
  readonly mean: number;
}

function sideAt(curves: readonly Float64Array[], from: number, to: number, step: number): Side {
  let n = 0;
  let sum = 0;
  for (let c = from; c < to; c++) {
    const x = curves[c]![step]!;
    if (Number.isNaN(x)) continue;
    n += 1;
    sum += x;
  }
  return { n, mean: n === 0 ? Number.NaN : sum / n };
}

function squaresAbout(curves: readonly Float64Array[], from: number, to: number, step: number, centre: number): number {
  let squares = 0;
  for (let c = from; c < to; c++) {
    const e = curves[c]![step]! - centre;
    if (!Number.isNaN(e)) squares += e * e;
  }
  return squares;
}

/** A step is tested where two curves of a side, and half of them, have it: where the means are drawn. */
const isShown = (side: Side, curves: number): boolean => side.n >= fewestOf(curves);

interface Tested {
  readonly t: Float64Array;
  readonly columns: readonly StepColumn[];
  readonly residuals: Float64Array;
}

/**
 * Two groups: Welch's t of the curves that have the step. `curves`: the group's first, all of one length; NaN where a curve lacks a step,
 * which then travels with its curve. Null where no step can be tested.
 */
export function testCurves(curves: readonly Float64Array[], nGroup: number, labels: Labellings): CurveTest | null {
  const n = curves.length;
  if (labels.kind !== 'split' || labels.n !== n)
    throw new RangeError(`the splits are for ${labels.n} curves, not ${n}`);
  const steps = curves[0]!.length;
  const t = new Float64Array(steps).fill(Number.NaN);
  const residuals = new Float64Array(n * steps).fill(Number.NaN);
  const columns: StepColumn[] = [];
  for (let step = 0; step < steps; step++) {
    const a = sideAt(curves, 0, nGroup, step);
    const b = sideAt(curves, nGroup, n, step);
    const m = a.n + b.n;
    // other labellings may show a step that the observed one does not
    if (m < fewestOf(nGroup) + fewestOf(n - nGroup)) continue;
    const centre = ((a.n > 0 ? a.n * a.mean : 0) + (b.n > 0 ? b.n * b.mean : 0)) / m;
    const values = Float64Array.from(curves, (curve) => curve[step]! - centre);
    columns.push({ step, values, present: m, squares: squaresAbout(curves, 0, n, step, centre) });
    if (!isShown(a, nGroup) || !isShown(b, n - nGroup)) continue;
    const se2 =
      squaresAbout(curves, 0, nGroup, step, a.mean) / (a.n * (a.n - 1)) +
      squaresAbout(curves, nGroup, n, step, b.mean) / (b.n * (b.n - 1));
    t[step] = (a.mean - b.mean) / Math.sqrt(se2);
    for (let c = 0; c < n; c++) residuals[c * steps + step] = curves[c]![step]! - (c < nGroup ? a.mean : b.mean);
  }
  return finish({ t, columns, residuals }, labels, (used) => splitScores(used, labels, nGroup));
}

/**
 * Pairs: one-sample t of the differences with n − 1 degrees of freedom, the signs of whole curves changed. `differences`: one curve a
 * pair; NaN as in `testCurves`. Null where no step can be tested.
 */
export function testPairedCurves(differences: readonly Float64Array[], labels: Labellings): CurveTest | null {
  const n = differences.length;
  if (labels.kind !== 'flip' || labels.n !== n) throw new RangeError(`the signs are for ${labels.n} pairs, not ${n}`);
  const steps = differences[0]!.length;
  const t = new Float64Array(steps).fill(Number.NaN);
  const residuals = new Float64Array(n * steps).fill(Number.NaN);
  const columns: StepColumn[] = [];
  for (let step = 0; step < steps; step++) {
    const { n: m, mean } = sideAt(differences, 0, n, step);
    if (!isShown({ n: m, mean }, n)) continue;
    const values = Float64Array.from(differences, (curve) => curve[step]!);
    columns.push({ step, values, present: m, squares: squaresAbout(differences, 0, n, step, 0) });
    t[step] = mean / Math.sqrt(squaresAbout(differences, 0, n, step, mean) / (m - 1) / m);
    for (let c = 0; c < n; c++) residuals[c * steps + step] = values[c]! - mean;
  }
  return finish({ t, columns, residuals }, labels, (used) => flipScores(used, labels));
}

function finish(
  { t, columns, residuals }: Tested,
  labels: Labellings,
  score: (columns: readonly StepColumn[]) => LabelScores,
): CurveTest | null {
  const steps = t.length;
  const most = columns.reduce((size, column) => Math.max(size, column.squares), 0);
  const used = columns.filter((column) => column.squares > FLAT * most);
  const scattered = new Set(used.map(({ step }) => step));
  let largest = Number.NEGATIVE_INFINITY;
  let nodes = 0;
  let pieces = 0;
  for (let step = 0; step < steps; step++) {
    if (!scattered.has(step)) {
      t[step] = Number.NaN;
      for (let c = 0; c < labels.n; c++) residuals[c * steps + step] = Number.NaN;
    }
    if (Number.isNaN(t[step]!)) continue;
    largest = Math.max(largest, Math.abs(t[step]!));
    nodes += 1;
    if (step === 0 || Number.isNaN(t[step - 1]!)) pieces += 1;
  }
  if (nodes === 0) return null;
  const { scores, df } = score(used);
  const observed = scores[0]!;
  let beyond = 0;
  for (let l = 0; l < scores.length; l++) if (scores[l]! >= observed * (1 - TIE)) beyond += 1;
  scores.sort();
  const critical = squareOfScore(scores[scores.length - 1 - Math.floor(LEVEL * scores.length)]!, df);
  const fwhm = smoothness(residuals, steps);
  return {
    t,
    df,
    largest,
    p: beyond / scores.length,
    threshold: Math.sqrt(critical),
    randomField: fieldThreshold(df, fwhm, nodes, LEVEL / 2, pieces),
    fwhm,
    labellings: labels.count,
    exact: labels.exact,
    stretches: stretchesOf(t, critical),
  };
}

function stretchesOf(t: Float64Array, critical: number): CurveTest['stretches'] {
  const out: { from: number; to: number; sign: 1 | -1 }[] = [];
  for (let step = 0; step < t.length; step++) {
    // false for NaN
    if (!(t[step]! * t[step]! > critical * (1 + TIE))) continue;
    const sign = t[step]! > 0 ? 1 : -1;
    const last = out[out.length - 1];
    if (last !== undefined && last.to === step - 1 && last.sign === sign) last.to = step;
    else out.push({ from: step, to: step, sign });
  }
  return out;
}
