/** Path of a fast point over a short window: in a plane heading and speed as polynomials of time, out of it another, shrunk toward smoothness. */

import { choleskyInPlace, choleskySolveInPlace, invertSymmetric } from './leastSquares.ts';
import { integratePath, PLANE_PARAMETERS, quintic, TERMS } from './pathFitModel.ts';
import { Fitted, type PathFit, type Plane } from './pathFitResult.ts';
import { symmetricEigen3 } from './svd3.ts';

export type { PathFit } from './pathFitResult.ts';

/** Prior standard deviations of the coefficients of degree 2 to 5 of time in units of `unit_s`; their prior mean is 0. Lower degrees are free. */
export interface PathPriors {
  readonly unit_s: number;
  readonly heading_rad: readonly [number, number, number, number];
  readonly speed_mPerS: readonly [number, number, number, number];
  readonly outOfPlane_m: readonly [number, number, number, number];
  /** Smallest standard deviation of the samples, metres: clean data are fitted this closely. */
  readonly sigmaFloor_m: number;
}

/**
 * From two families of smooth swings over the 60 ms before impact (own simulations, no published source): two links in a drifting plane,
 * 46 m/s, and a whole body along B-splines, 28 to 49 m/s. Speed about 1.5 times their root mean square, out of plane 2 and heading 3 times:
 * tighter priors hold back the bend of the path, and with 1 mm of noise attack and path are then biased by up to 0.27° in one family;
 * these leave at most 0.12° in either, for 5 % more scatter. Degree 5 is there because a quartic leaves up to 0.1° of path and 0.25 % of
 * speed in noise-free data; under 1 mm of noise it changes nothing.
 */
export const PATH_PRIORS: PathPriors = {
  unit_s: 0.04,
  heading_rad: [0.36, 0.18, 0.1, 0.03],
  speed_mPerS: [10, 4.5, 2, 0.5],
  outOfPlane_m: [0.075, 0.05, 0.015, 0.004],
  sigmaFloor_m: 2e-6,
};

/** Fewest samples: with fewer the free parameters are hardly held. */
export const LEAST_SAMPLES = 6;
const MOST_STEPS = 40;
/** Parameters without a prior: place, heading and speed of degree 0 and 1 in the plane, degree 0 and 1 out of it. */
const FREE_PARAMETERS = 2 + 2 + 2 + 2;

/** Plane of least squares through the samples. */
function planeOf(points: Float64Array, n: number): Plane {
  const centre = new Float64Array(3);
  for (let c = 0; c < 3; c++) {
    let sum = 0;
    for (let i = 0; i < n; i++) sum += points[c * n + i]!;
    centre[c] = sum / n;
  }
  const moments = new Float64Array(9);
  for (let i = 0; i < n; i++) {
    for (let r = 0; r < 3; r++) {
      const d = points[r * n + i]! - centre[r]!;
      for (let c = r; c < 3; c++) moments[3 * r + c] = moments[3 * r + c]! + d * (points[c * n + i]! - centre[c]!);
    }
  }
  const values = new Float64Array(3);
  const vectors = new Float64Array(9);
  symmetricEigen3(moments, values, vectors);
  const axes = new Float64Array(9);
  for (let r = 0; r < 3; r++) {
    axes[r] = vectors[3 * r + 2]!;
    axes[3 + r] = vectors[3 * r + 1]!;
    axes[6 + r] = vectors[3 * r]!;
  }
  return { centre, axes };
}

/** Heading and speed of first degree from the chords between samples, and the place of the last sample: the start of the iteration. */
function startValues(
  p: Float64Array,
  s: Float64Array,
  u: Float64Array,
  v: Float64Array,
  n: number,
  unit_s: number,
): void {
  p.fill(0);
  p[0] = u[n - 1]!;
  p[1] = v[n - 1]!;
  const stride = Math.max(1, Math.floor((n - 1) / 8));
  let heading = 0;
  let count = 0;
  let ss = 0;
  let s2 = 0;
  let sh = 0;
  let h1 = 0;
  let sv = 0;
  let v1 = 0;
  for (let i = n - 1; i - stride >= 0; i -= stride) {
    const du = u[i]! - u[i - stride]!;
    const dv = v[i]! - v[i - stride]!;
    let h = Math.atan2(dv, du);
    if (count > 0) h -= 2 * Math.PI * Math.round((h - heading) / (2 * Math.PI));
    heading = h;
    const ds = s[i]! - s[i - stride]!;
    const speed = Math.hypot(du, dv) / (ds * unit_s);
    const at = (s[i]! + s[i - stride]!) / 2;
    count += 1;
    ss += at;
    s2 += at * at;
    sh += h;
    h1 += h * at;
    sv += speed;
    v1 += speed * at;
  }
  const spread = count * s2 - ss * ss;
  const hs = spread > 0 ? (count * h1 - ss * sh) / spread : 0;
  const vs = spread > 0 ? (count * v1 - ss * sv) / spread : 0;
  p[2] = (sh - hs * ss) / count;
  p[3] = hs;
  p[2 + TERMS] = (sv - vs * ss) / count;
  p[3 + TERMS] = vs;
}

/** Sum of squares of the fit and, where wanted, its normal equations (lower triangle). */
function normalEquations(
  p: Float64Array,
  s: Float64Array,
  u: Float64Array,
  v: Float64Array,
  n: number,
  unit_s: number,
  weight: number,
  ridge: Float64Array,
  a: Float64Array | null,
  b: Float64Array,
  place: Float64Array,
  jacobian: Float64Array,
): number {
  const m = PLANE_PARAMETERS;
  let cost = 0;
  for (let k = 0; k < m; k++) cost += ridge[k]! * p[k]! * p[k]!;
  if (a !== null) {
    a.fill(0);
    for (let k = 0; k < m; k++) {
      a[k * m + k] = ridge[k]!;
      b[k] = -ridge[k]! * p[k]!;
    }
  }
  place[0] = p[0]!;
  place[1] = p[1]!;
  jacobian.fill(0);
  jacobian[0] = 1;
  jacobian[m + 1] = 1;
  let at = 0;
  for (let i = n - 1; i >= 0; i--) {
    integratePath(p, unit_s, at, s[i]!, place, a === null ? null : jacobian);
    at = s[i]!;
    const ru = u[i]! - place[0]!;
    const rv = v[i]! - place[1]!;
    cost += weight * (ru * ru + rv * rv);
    if (a === null) continue;
    for (let r = 0; r < m; r++) {
      const jr = weight * jacobian[r]!;
      const kr = weight * jacobian[m + r]!;
      b[r] = b[r]! + jr * ru + kr * rv;
      for (let c = 0; c <= r; c++) a[r * m + c] = a[r * m + c]! + jr * jacobian[c]! + kr * jacobian[m + c]!;
    }
  }
  return cost;
}

/** Quintic out of the plane: linear least squares with the ridge; coefficients into w. Returns their covariance, or null where it is singular. */
function fitOutOfPlane(
  s: Float64Array,
  z: Float64Array,
  n: number,
  weight: number,
  sds: readonly number[],
  w: Float64Array,
): Float64Array | null {
  const a = new Float64Array(TERMS * TERMS);
  w.fill(0);
  for (let k = 2; k < TERMS; k++) a[k * TERMS + k] = 1 / (sds[k - 2]! * sds[k - 2]!);
  for (let i = 0; i < n; i++) {
    let pr = weight;
    for (let r = 0; r < TERMS; r++) {
      w[r] = w[r]! + pr * z[i]!;
      let pc = pr;
      for (let c = 0; c < TERMS; c++) {
        a[r * TERMS + c] = a[r * TERMS + c]! + pc;
        pc *= s[i]!;
      }
      pr *= s[i]!;
    }
  }
  const covariance = invertSymmetric(a, TERMS);
  if (covariance === null || !choleskyInPlace(a, TERMS)) return null;
  choleskySolveInPlace(a, TERMS, w);
  return covariance;
}

/**
 * Fits the path to `n` samples: `times_s` ascending (gaps allowed), `points` planar (x of all samples, then y, then z), metres.
 * In the plane of least squares the place is the integral of speed · (cos heading, sin heading), both quintics of time from the last sample
 * in units of `priors.unit_s`; least squares of residual / σ plus (coefficient / prior SD)² on degrees 2 to 5 (Tikhonov), by
 * Levenberg–Marquardt with the analytic Jacobian (Marquardt 1963, J SIAM 11:431-441). σ is `sigma_m` or the floor, whichever is larger;
 * the covariance is the inverse of the normal matrix, enlarged where the residual exceeds σ.
 * Null where there are fewer than six samples, a sample is not finite, or the normal matrix is singular (a point that stands still).
 */
export function fitPath(
  times_s: Float64Array,
  points: Float64Array,
  n: number,
  sigma_m: number,
  priors: PathPriors = PATH_PRIORS,
): PathFit | null {
  if (n < LEAST_SAMPLES || points.length < 3 * n) return null;
  for (let i = 0; i < 3 * n; i++) if (!Number.isFinite(points[i])) return null;
  const plane = planeOf(points, n);
  const unit_s = priors.unit_s;
  const to_s = times_s[n - 1]!;
  const s = new Float64Array(n);
  const local = new Float64Array(3 * n);
  for (let i = 0; i < n; i++) {
    s[i] = (times_s[i]! - to_s) / unit_s;
    for (let k = 0; k < 3; k++) {
      let sum = 0;
      for (let c = 0; c < 3; c++) sum += (points[c * n + i]! - plane.centre[c]!) * plane.axes[3 * k + c]!;
      local[k * n + i] = sum;
    }
  }
  const u = local.subarray(0, n);
  const v = local.subarray(n, 2 * n);
  const z = local.subarray(2 * n, 3 * n);
  const sigma = Math.max(Number.isFinite(sigma_m) ? sigma_m : 0, priors.sigmaFloor_m);
  const weight = 1 / (sigma * sigma);
  const m = PLANE_PARAMETERS;
  const ridge = new Float64Array(m);
  for (let k = 0; k + 2 < TERMS; k++) {
    ridge[4 + k] = 1 / (priors.heading_rad[k]! * priors.heading_rad[k]!);
    ridge[4 + TERMS + k] = 1 / (priors.speed_mPerS[k]! * priors.speed_mPerS[k]!);
  }
  let p = new Float64Array(m);
  let trial = new Float64Array(m);
  const a = new Float64Array(m * m);
  const factor = new Float64Array(m * m);
  const b = new Float64Array(m);
  const place = new Float64Array(2);
  const jacobian = new Float64Array(2 * m);
  const step = new Float64Array(m);
  startValues(p, s, u, v, n, unit_s);
  let cost = normalEquations(p, s, u, v, n, unit_s, weight, ridge, a, b, place, jacobian);
  let damping = 1e-4;
  let converged = false;
  let steps = 0;
  while (steps < MOST_STEPS && !converged) {
    steps += 1;
    factor.set(a);
    for (let k = 0; k < m; k++) factor[k * m + k] = factor[k * m + k]! * (1 + damping);
    step.set(b);
    if (!choleskyInPlace(factor, m)) {
      damping = Math.max(10 * damping, 1e-8);
      if (damping > 1e12) return null;
      continue;
    }
    choleskySolveInPlace(factor, m, step);
    for (let k = 0; k < m; k++) trial[k] = p[k]! + step[k]!;
    let expected = 0;
    for (let k = 0; k < m; k++) expected += step[k]! * b[k]!;
    const next = normalEquations(trial, s, u, v, n, unit_s, weight, ridge, null, b, place, jacobian);
    // The gain left is far below what noise of one unit does to the cost.
    const small = expected < 1e-7;
    if (next <= cost || small) {
      if (next <= cost) {
        [p, trial] = [trial, p];
        cost = normalEquations(p, s, u, v, n, unit_s, weight, ridge, a, b, place, jacobian);
        damping *= 0.1;
      }
      converged = small;
    } else {
      damping = Math.max(damping, 1e-8) * 10;
      if (damping > 1e12) break;
    }
  }
  if (!Number.isFinite(cost)) return null;
  for (let r = 0; r < m; r++) for (let c = r + 1; c < m; c++) a[r * m + c] = a[c * m + r]!;
  const covariance = invertSymmetric(a, m);
  if (covariance === null) return null;
  const w = new Float64Array(TERMS);
  const covarianceOut = fitOutOfPlane(s, z, n, weight, priors.outOfPlane_m, w);
  if (covarianceOut === null) return null;
  let squares = 0;
  place[0] = p[0]!;
  place[1] = p[1]!;
  let at = 0;
  for (let i = n - 1; i >= 0; i--) {
    integratePath(p, unit_s, at, s[i]!, place, null);
    at = s[i]!;
    const du = u[i]! - place[0]!;
    const dv = v[i]! - place[1]!;
    const dz = z[i]! - quintic(w, 0, s[i]!);
    squares += du * du + dv * dv + dz * dz;
  }
  const ratio = (weight * squares) / Math.max(1, 3 * n - FREE_PARAMETERS);
  if (ratio > 1) {
    for (let k = 0; k < covariance.length; k++) covariance[k] = covariance[k]! * ratio;
    for (let k = 0; k < covarianceOut.length; k++) covarianceOut[k] = covarianceOut[k]! * ratio;
  }
  const facts = {
    converged,
    steps,
    residual_m: Math.sqrt(squares / (3 * n)),
    chiSquareRatio: ratio,
    from_s: times_s[0]!,
    to_s,
  };
  return new Fitted(facts, plane, unit_s, p, w, covariance, covarianceOut);
}
