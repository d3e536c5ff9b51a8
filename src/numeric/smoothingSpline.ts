/** Natural quintic smoothing spline of evenly spaced samples, and the trace that generalised cross-validation needs. */

/**
 * Gram matrix of the quadratic B-splines on unit steps (the quintic B-spline at whole numbers) and the squares of the third difference,
 * by distance from the diagonal.
 */
const GRAM = [66 / 120, 26 / 120, 1 / 120] as const;
const DIFFERENCE = [20, -15, 6, -1] as const;

/** Fewest samples: three give a parabola, which nothing smooths. */
export const FEWEST_FOR_SPLINE = 4;

/**
 * R + λ QᵀQ of a run of `n` samples as L D Lᵀ: n − 3 pivots, then the three diagonals of L below the main one, each at its row and
 * followed by zeros up to n.
 */
export interface SplineFactor {
  readonly n: number;
  readonly lambda: number;
  readonly pivots: Float64Array;
  readonly low1: Float64Array;
  readonly low2: Float64Array;
  readonly low3: Float64Array;
}

/** What λ is multiplied by at an angular frequency w (radians a sample): w⁶ but for the sampling. */
function penaltyAt(w: number): number {
  const s = 2 * Math.sin(w / 2);
  const square = s * s;
  return (square * square * square) / (GRAM[0] + 2 * GRAM[1] * Math.cos(w) + 2 * GRAM[2] * Math.cos(2 * w));
}

/** Gain of the spline at `f_Hz` inside a long run: 1 / (1 + λ w⁶), no phase (Woltring 1986, Adv Eng Software 8:104-113). */
export function splineGain(lambda: number, f_Hz: number, fs_Hz: number): number {
  return 1 / (1 + lambda * penaltyAt((2 * Math.PI * f_Hz) / fs_Hz));
}

/** The λ at which the spline's gain is 1/√2 at `fc_Hz`, as that of the low-pass filters. Throws RangeError unless 0 < fc < fs / 2. */
export function splineLambda(fc_Hz: number, fs_Hz: number): number {
  if (!(fc_Hz > 0 && fc_Hz < fs_Hz / 2)) {
    throw new RangeError(`a cutoff of ${fc_Hz} Hz is not between 0 and half the rate of ${fs_Hz} Hz`);
  }
  return (Math.SQRT2 - 1) / penaltyAt((2 * Math.PI * fc_Hz) / fs_Hz);
}

/**
 * The spline g of half order 3 that makes Σ (y − g)² + λ ∫ (g‴)² least on unit steps is g = y − λ Q γ with (R + λ QᵀQ) γ = Qᵀ y
 * (Reinsch 1967, Numer Math 10:177-183, carried on to higher order by Hutchinson and de Hoog 1985, Numer Math 47:99-106). This is the
 * factor of its matrix for runs of `n` samples. Throws RangeError under four samples.
 */
export function factorSpline(n: number, lambda: number): SplineFactor {
  if (n < FEWEST_FOR_SPLINE) throw new RangeError(`a smoothing spline needs at least 4 samples, not ${n}`);
  const m = n - 3;
  const pivots = new Float64Array(m);
  const low1 = new Float64Array(m + 3);
  const low2 = new Float64Array(m + 3);
  const low3 = new Float64Array(m + 3);
  const a0 = GRAM[0] + lambda * DIFFERENCE[0];
  const a1 = GRAM[1] + lambda * DIFFERENCE[1];
  const a2 = GRAM[2] + lambda * DIFFERENCE[2];
  const a3 = lambda * DIFFERENCE[3];
  for (let i = 0; i < m; i++) {
    const d1 = i > 0 ? pivots[i - 1]! : 0;
    const d2 = i > 1 ? pivots[i - 2]! : 0;
    const d3 = i > 2 ? pivots[i - 3]! : 0;
    const l3 = i > 2 ? a3 / d3 : 0;
    const l2 = i > 1 ? (a2 - (i > 2 ? l3 * d3 * low1[i - 2]! : 0)) / d2 : 0;
    let rest = a1;
    if (i > 1) rest -= l2 * d2 * low1[i - 1]!;
    if (i > 2) rest -= l3 * d3 * low2[i - 1]!;
    const l1 = i > 0 ? rest / d1 : 0;
    low1[i] = l1;
    low2[i] = l2;
    low3[i] = l3;
    pivots[i] = a0 - l1 * l1 * d1 - l2 * l2 * d2 - l3 * l3 * d3;
  }
  return { n, lambda, pivots, low1, low2, low3 };
}

/** λ Q γ, the residual y − g, of the run of `factor.n` samples at `from`. `out` and `scratch` hold at least as many, from 0 on. */
export function splineResidualInto(
  out: Float64Array,
  x: Float64Array,
  from: number,
  factor: SplineFactor,
  scratch: Float64Array,
): void {
  const { n, lambda, pivots, low1, low2, low3 } = factor;
  const m = n - 3;
  let z1 = 0;
  let z2 = 0;
  let z3 = 0;
  for (let i = 0; i < m; i++) {
    const o = from + i;
    const z = x[o + 3]! - x[o]! - 3 * (x[o + 2]! - x[o + 1]!) - low1[i]! * z1 - low2[i]! * z2 - low3[i]! * z3;
    scratch[i] = z;
    z3 = z2;
    z2 = z1;
    z1 = z;
  }
  // Row i of Lᵀ holds low1[i + 1], low2[i + 2], low3[i + 3]; Q spreads the solution out on the way back.
  let g1 = 0;
  let g2 = 0;
  let g3 = 0;
  for (let i = m - 1; i >= 0; i--) {
    const g = scratch[i]! / pivots[i]! - low1[i + 1]! * g1 - low2[i + 2]! * g2 - low3[i + 3]! * g3;
    out[i + 3] = lambda * (g - 3 * g1 + 3 * g2 - g3);
    g3 = g2;
    g2 = g1;
    g1 = g;
  }
  out[2] = lambda * (-3 * g1 + 3 * g2 - g3);
  out[1] = lambda * (3 * g1 - g2);
  out[0] = -lambda * g1;
}

/** Smooths the run of `factor.n` samples at `from` in place. `residual` and `scratch` hold at least as many. */
export function smoothSpline(
  x: Float64Array,
  from: number,
  factor: SplineFactor,
  residual: Float64Array,
  scratch: Float64Array,
): void {
  splineResidualInto(residual, x, from, factor, scratch);
  for (let i = 0; i < factor.n; i++) x[from + i] = x[from + i]! - residual[i]!;
}

/**
 * Trace of I − H, where g = H y: samples less the parameters that the spline spends. n − 3 − tr((R + λ QᵀQ)⁻¹ R), from the diagonals of the
 * inverse that R reaches (Hutchinson and de Hoog 1985, section 3).
 */
export function splineFreedom({ n, pivots, low1, low2, low3 }: SplineFactor): number {
  const m = n - 3;
  // Of row i + 1, i + 2, i + 3 of the inverse: the diagonal and what stands right of it.
  let p0 = 0;
  let p1 = 0;
  let p2 = 0;
  let q0 = 0;
  let q1 = 0;
  let r0 = 0;
  let spent = 0;
  for (let i = m - 1; i >= 0; i--) {
    const l1 = low1[i + 1]!;
    const l2 = low2[i + 2]!;
    const l3 = low3[i + 3]!;
    const s1 = -l1 * p0 - l2 * p1 - l3 * p2;
    const s2 = -l1 * p1 - l2 * q0 - l3 * q1;
    const s3 = -l1 * p2 - l2 * q1 - l3 * r0;
    const s0 = 1 / pivots[i]! - l1 * s1 - l2 * s2 - l3 * s3;
    spent += GRAM[0] * s0 + 2 * GRAM[1] * s1 + 2 * GRAM[2] * s2;
    r0 = q0;
    q0 = p0;
    q1 = p1;
    p0 = s0;
    p1 = s1;
    p2 = s2;
  }
  return m - spent;
}
