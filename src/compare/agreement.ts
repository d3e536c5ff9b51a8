import { fQuantile, fSurvival, tQuantile } from '../numeric/distributions.ts';
import { mean, rms, sd, sumOfSquares } from '../numeric/statistics.ts';

/** Agreement of repeated measurements of several players: analysis of variance, intraclass correlation, limits of agreement. */

export interface Anova {
  readonly n: number;
  readonly k: number;
  /** Mean squares between the rows, within them, between the columns, and of what is left. */
  readonly between: number;
  readonly within: number;
  readonly columns: number;
  readonly error: number;
}

/** Two-way analysis of variance of a table with n rows (players) and k columns (their first, second … swing), without gaps; n, k ≥ 2. */
export function anovaOf(table: readonly ArrayLike<number>[]): Anova {
  const n = table.length;
  const k = table[0]!.length;
  const rowMeans = table.map((row) => mean(row));
  const columnMeans = Array.from({ length: k }, (_, j) => mean(table.map((row) => row[j]!)));
  const squaresWithin = table.reduce((sum, row) => sum + sumOfSquares(row), 0);
  const squaresColumns = n * sumOfSquares(columnMeans);
  return {
    n,
    k,
    between: (k * sumOfSquares(rowMeans)) / (n - 1),
    within: squaresWithin / (n * (k - 1)),
    columns: squaresColumns / (k - 1),
    error: Math.max(0, squaresWithin - squaresColumns) / ((n - 1) * (k - 1)),
  };
}

/** Intraclass correlations of Shrout & Fleiss 1979, Psychol Bull 86:420-428: one swing, and the mean of k; each with its case 1, 2 and 3. */
export function intraclass({ n, k, between, within, columns, error }: Anova): {
  readonly single: readonly [number, number, number];
  readonly mean: readonly [number, number, number];
} {
  const byColumns = (k * (columns - error)) / n;
  return {
    single: [
      (between - within) / (between + (k - 1) * within),
      (between - error) / (between + (k - 1) * error + byColumns),
      (between - error) / (between + (k - 1) * error),
    ],
    mean: [
      (between - within) / between,
      (between - error) / (between + (columns - error) / n),
      (between - error) / between,
    ],
  };
}

/** 95 % interval of the single-swing correlation of case 1 (against what is within) or 3 (against the error), as in the same paper. */
export function intraclassInterval(
  { n, k, between, within, error }: Anova,
  shroutCase: 1 | 3,
): readonly [low: number, high: number] {
  const df = shroutCase === 1 ? n * (k - 1) : (n - 1) * (k - 1);
  const f = between / (shroutCase === 1 ? within : error);
  const low = f / fQuantile(0.975, n - 1, df);
  const high = f * fQuantile(0.975, df, n - 1);
  return [(low - 1) / (low + k - 1), (high - 1) / (high + k - 1)];
}

/** F and p of rows that do not differ (case 3). */
export function rowsTest({ n, k, between, error }: Anova): { readonly f: number; readonly p: number } {
  const f = between / error;
  return { f, p: fSurvival(f, n - 1, (n - 1) * (k - 1)) };
}

/**
 * Whether the columns differ: F with its plain p, and with the degrees of freedom times the Greenhouse–Geisser ε for columns that do not all
 * correlate alike (Greenhouse & Geisser 1959, Psychometrika 24:95-112): ε = (tr C)² / ((k − 1) Σ C²), C the covariances of the columns
 * with the means of their rows and columns taken out.
 */
export function columnsTest(table: readonly ArrayLike<number>[]): {
  readonly f: number;
  readonly p: number;
  readonly epsilon: number;
  readonly pCorrected: number;
} {
  const { n, k, columns, error } = anovaOf(table);
  const centred = Array.from({ length: k }, (_, j) => {
    const values = table.map((row) => row[j]!);
    const centre = mean(values);
    return values.map((value) => value - centre);
  });
  const covariance = centred.map((a) => centred.map((b) => a.reduce((sum, x, i) => sum + x * b[i]!, 0) / (n - 1)));
  const means = covariance.map((row) => mean(row));
  const all = mean(means);
  let trace = 0;
  let squares = 0;
  covariance.forEach((row, i) => {
    row.forEach((value, j) => {
      const c = value - means[i]! - means[j]! + all;
      if (i === j) trace += c;
      squares += c * c;
    });
  });
  const epsilon = (trace * trace) / ((k - 1) * squares);
  const f = columns / error;
  const [d1, d2] = [k - 1, (n - 1) * (k - 1)];
  return { f, p: fSurvival(f, d1, d2), epsilon, pCorrected: fSurvival(f, epsilon * d1, epsilon * d2) };
}

/** Swings whose mean reaches a reliability of `wanted`, from that of one swing (Spearman 1910, Brown 1910); not rounded. */
export function swingsFor(wanted: number, single: number): number {
  return (wanted * (1 - single)) / (single * (1 - wanted));
}

/** Standard error of measurement from the spread between players and a reliability (Weir 2005, J Strength Cond Res 19:231-240, from memory). */
export function errorOfMeasurement(sdBetween: number, reliability: number): number {
  return sdBetween * Math.sqrt(1 - reliability);
}

/** Two measurements of each player (Bland & Altman 1986, Lancet 327:307-310). */
export interface PairAgreement {
  readonly bias: number;
  readonly sd: number;
  readonly biasSe: number;
  /** Of bias + 1.96 SD and bias − 1.96 SD, roughly √(3 SD²/n). */
  readonly limitSe: number;
  /** 95 %, t with n − 1 degrees of freedom. */
  readonly biasInterval: readonly [number, number];
  readonly limits: readonly [number, number];
  /** Twice the root mean square of the differences. */
  readonly repeatability: number;
  /** Of one player's measurements, √(Σ d² / 2n), a bias included. */
  readonly withinSd: number;
  /** SD / √2, a bias left out (Hopkins 2000, Sports Med 30:1-15). */
  readonly typicalError: number;
}

/** From the differences, second less first; two or more. */
export function pairAgreement(differences: ArrayLike<number>): PairAgreement {
  const n = differences.length;
  const bias = mean(differences);
  const spread = sd(differences);
  const biasSe = spread / Math.sqrt(n);
  const half = tQuantile(0.975, n - 1) * biasSe;
  return {
    bias,
    sd: spread,
    biasSe,
    limitSe: Math.sqrt((3 * spread * spread) / n),
    biasInterval: [bias - half, bias + half],
    limits: [bias - 1.96 * spread, bias + 1.96 * spread],
    repeatability: 2 * rms(differences),
    withinSd: rms(differences) / Math.SQRT2,
    typicalError: spread / Math.SQRT2,
  };
}
