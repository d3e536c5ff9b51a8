/** Least squares: dense symmetric systems, Levenberg–Marquardt with priors; planes through points come from planeFit. */

export { fitPlane, type PlaneFit } from './planeFit.ts';
export { symmetricEigen3 } from './svd3.ts';

/** A pivot below this share of its own diagonal element means the matrix is singular to working precision. */
const PIVOT_FLOOR = 1e-14;

/**
 * Cholesky factor of a symmetric positive definite n × n matrix (row-major), in place: the lower triangle becomes L with A = L · Lᵀ;
 * the strict upper triangle is left. Returns false, with the matrix spoiled, where it is not positive definite to working precision.
 */
export function choleskyInPlace(a: Float64Array, n: number): boolean {
  for (let j = 0; j < n; j++) {
    const diagonal = a[j * n + j]!;
    let pivot = diagonal;
    for (let k = 0; k < j; k++) pivot -= a[j * n + k]! * a[j * n + k]!;
    if (!(pivot > PIVOT_FLOOR * diagonal)) return false;
    const root = Math.sqrt(pivot);
    a[j * n + j] = root;
    for (let i = j + 1; i < n; i++) {
      let sum = a[i * n + j]!;
      for (let k = 0; k < j; k++) sum -= a[i * n + k]! * a[j * n + k]!;
      a[i * n + j] = sum / root;
    }
  }
  return true;
}

/** Solves L · Lᵀ · x = b in place of b, L from `choleskyInPlace`. */
export function choleskySolveInPlace(l: Float64Array, n: number, b: Float64Array): void {
  for (let i = 0; i < n; i++) {
    let sum = b[i]!;
    for (let k = 0; k < i; k++) sum -= l[i * n + k]! * b[k]!;
    b[i] = sum / l[i * n + i]!;
  }
  for (let i = n - 1; i >= 0; i--) {
    let sum = b[i]!;
    for (let k = i + 1; k < n; k++) sum -= l[k * n + i]! * b[k]!;
    b[i] = sum / l[i * n + i]!;
  }
}

/** x with A · x = b, A symmetric positive definite n × n, row-major; null where A is singular to working precision. Inputs are kept. */
export function solveSymmetric(a: Float64Array, b: Float64Array, n: number): Float64Array | null {
  const l = a.slice(0, n * n);
  if (!choleskyInPlace(l, n)) return null;
  const x = b.slice(0, n);
  choleskySolveInPlace(l, n, x);
  return x;
}

/** Inverse of a symmetric positive definite matrix, exactly symmetric; null where it is singular to working precision. */
export function invertSymmetric(a: Float64Array, n: number): Float64Array | null {
  const l = a.slice(0, n * n);
  if (!choleskyInPlace(l, n)) return null;
  const out = new Float64Array(n * n);
  const column = new Float64Array(n);
  for (let c = 0; c < n; c++) {
    column.fill(0);
    column[c] = 1;
    choleskySolveInPlace(l, n, column);
    for (let r = c; r < n; r++) {
      out[r * n + c] = column[r]!;
      out[c * n + r] = column[r]!;
    }
  }
  return out;
}

/** What is known of a parameter before the data: a normal distribution. `sd` Infinity says nothing. */
export interface Prior {
  readonly mean: number;
  readonly sd: number;
}

export interface LeastSquaresProblem {
  /** Starting values (kept). */
  readonly parameters: ArrayLike<number>;
  /** Number of residuals m. */
  readonly residuals: number;
  /** Writes the m residuals, each already divided by its standard deviation, and the Jacobian ∂r_i/∂p_j, row-major m × n. */
  readonly residualsAndJacobian: (p: Float64Array, r: Float64Array, J: Float64Array) => void;
  /** One a parameter, or none at all. */
  readonly priors?: readonly (Prior | null)[];
  /** Default 100. */
  readonly maxIterations?: number;
  /** Stops when no parameter moves more than this share of its own uncertainty, default 1e-8. */
  readonly tolerance?: number;
}

export interface LeastSquaresResult {
  readonly estimate: Float64Array;
  /** (JᵀJ + prior precision)⁻¹, n × n: the posterior covariance where residuals were scaled to unit variance. NaN where singular. */
  readonly covariance: Float64Array;
  /** Σ r² of the data alone, at the estimate. */
  readonly sumOfSquares: number;
  readonly iterations: number;
  readonly converged: boolean;
}

/**
 * Levenberg–Marquardt: minimises Σ r² + Σ ((p − mean) / sd)² with the damping scaled by the diagonal (Marquardt 1963, J SIAM 11:431-441).
 * Steps that raise the sum or give NaN are taken back. Throws RangeError where a prior's sd is not positive or their number is wrong.
 */
export function fitLeastSquares(problem: LeastSquaresProblem): LeastSquaresResult {
  const n = problem.parameters.length;
  const m = problem.residuals;
  const { mean, weight } = readPriors(problem.priors, n);
  const maxIterations = problem.maxIterations ?? 100;
  const tolerance = problem.tolerance ?? 1e-8;
  let p = Float64Array.from(problem.parameters);
  let trial = new Float64Array(n);
  let r = new Float64Array(m);
  let J = new Float64Array(m * n);
  let rTrial = new Float64Array(m);
  let JTrial = new Float64Array(m * n);
  const normal = new Float64Array(n * n);
  const damped = new Float64Array(n * n);
  const gradient = new Float64Array(n);
  const step = new Float64Array(n);
  const cost = (at: Float64Array, res: Float64Array): number => {
    let sum = squares(res);
    for (let j = 0; j < n; j++) sum += weight[j]! * (at[j]! - mean[j]!) * (at[j]! - mean[j]!);
    return sum;
  };

  problem.residualsAndJacobian(p, r, J);
  let best = cost(p, r);
  let damping = 1e-3;
  let converged = n === 0;
  let iterations = 0;
  let fresh = false;
  while (iterations < maxIterations && !converged && Number.isFinite(best)) {
    iterations += 1;
    if (!fresh) {
      normalEquations(J, r, m, n, normal, gradient);
      for (let j = 0; j < n; j++) {
        normal[j * n + j] = normal[j * n + j]! + weight[j]!;
        gradient[j] = gradient[j]! + weight[j]! * (p[j]! - mean[j]!);
      }
      fresh = true;
    }
    damped.set(normal);
    for (let j = 0; j < n; j++) {
      damped[j * n + j] = normal[j * n + j]! * (1 + damping) + 1e-300;
      step[j] = -gradient[j]!;
    }
    if (!choleskyInPlace(damped, n)) {
      damping = Math.max(damping, 1e-12) * 10;
      if (damping > 1e12) break;
      continue;
    }
    choleskySolveInPlace(damped, n, step);
    let size = 0;
    for (let j = 0; j < n; j++) {
      trial[j] = p[j]! + step[j]!;
      size = Math.max(size, Math.abs(step[j]!) * Math.sqrt(normal[j * n + j]!));
    }
    problem.residualsAndJacobian(trial, rTrial, JTrial);
    const next = cost(trial, rTrial);
    if (next <= best) {
      [p, trial] = [trial, p];
      [r, rTrial] = [rTrial, r];
      [J, JTrial] = [JTrial, J];
      const gained = best - next;
      best = next;
      fresh = false;
      damping = Math.max(damping / 10, 1e-12);
      if (size < tolerance || (damping <= 1e-6 && gained <= 1e-15 * best)) converged = true;
    } else {
      // A step too small to be told from rounding is the end, not a failure.
      if (size < tolerance) converged = true;
      damping *= 10;
      if (damping > 1e12) break;
    }
  }
  normalEquations(J, r, m, n, normal, gradient);
  for (let j = 0; j < n; j++) normal[j * n + j] = normal[j * n + j]! + weight[j]!;
  return {
    estimate: p,
    covariance: invertScaled(normal, n) ?? new Float64Array(n * n).fill(Number.NaN),
    sumOfSquares: squares(r),
    iterations,
    converged,
  };
}

function readPriors(
  priors: readonly (Prior | null)[] | undefined,
  n: number,
): { readonly mean: Float64Array; readonly weight: Float64Array } {
  const mean = new Float64Array(n);
  const weight = new Float64Array(n);
  if (priors === undefined) return { mean, weight };
  if (priors.length !== n) throw new RangeError(`${n} parameters need ${n} priors, not ${priors.length}`);
  priors.forEach((prior, j) => {
    if (prior === null) return;
    if (!(prior.sd > 0)) throw new RangeError(`the sd of a prior must be positive, not ${prior.sd}`);
    mean[j] = prior.mean;
    weight[j] = 1 / (prior.sd * prior.sd);
  });
  return { mean, weight };
}

function squares(r: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < r.length; i++) sum += r[i]! * r[i]!;
  return sum;
}

/** JᵀJ and Jᵀr. */
function normalEquations(
  J: Float64Array,
  r: Float64Array,
  m: number,
  n: number,
  normal: Float64Array,
  gradient: Float64Array,
): void {
  normal.fill(0);
  gradient.fill(0);
  for (let i = 0; i < m; i++) {
    const row = i * n;
    const residual = r[i]!;
    for (let j = 0; j < n; j++) {
      const v = J[row + j]!;
      if (v === 0) continue;
      gradient[j] = gradient[j]! + v * residual;
      for (let k = 0; k <= j; k++) normal[j * n + k] = normal[j * n + k]! + v * J[row + k]!;
    }
  }
  for (let j = 0; j < n; j++) for (let k = 0; k < j; k++) normal[k * n + j] = normal[j * n + k]!;
}

/** Inverse with rows and columns scaled to a unit diagonal first, so that mixed units lose no digits. */
function invertScaled(a: Float64Array, n: number): Float64Array | null {
  const scale = new Float64Array(n);
  for (let j = 0; j < n; j++) scale[j] = 1 / Math.sqrt(a[j * n + j]!);
  const scaled = new Float64Array(n * n);
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) scaled[i * n + j] = a[i * n + j]! * scale[i]! * scale[j]!;
  const inverse = invertSymmetric(scaled, n);
  if (inverse === null) return null;
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) inverse[i * n + j] = inverse[i * n + j]! * scale[i]! * scale[j]!;
  return inverse;
}
