/** How a rigid body turns over a short window: polynomials of time in the tangent space of its last orientation, shrunk toward smoothness. */

import { choleskyInPlace, choleskySolveInPlace, invertSymmetric } from './leastSquares.ts';
import { expRotation, logRotation, mul3, mulT3 } from './rotationKernels.ts';

/** Prior standard deviations of the coefficients of degree 2 to 5 of time in units of `unit_s`, rad, the same about every axis; mean 0. */
export interface TurnPriors {
  readonly unit_s: number;
  readonly turn_rad: readonly [number, number, number, number];
  /** Smallest standard deviation of an orientation, rad. */
  readonly sigmaFloor_rad: number;
}

const AXES = 3;
/** Coefficients of a quintic. */
const TERMS = 6;
const PARAMETERS = AXES * TERMS;
/** Degrees 0 and 1 have no prior. */
const FREE_PARAMETERS = 2 * AXES;
/** Fewest orientations. */
export const LEAST_TURN_SAMPLES = 6;
/** Beyond this angle from the last orientation the rotation vector nears its seam at π: earlier samples are left out. */
const LARGEST_TURN_rad = 2.6;

/** A fitted turning. R_parent_body(t) = R_last · exp(φ(t)); φ in the axes of the body as it is at the last sample. */
export interface TurnFit {
  readonly from_s: number;
  readonly to_s: number;
  readonly samples: number;
  /** Squared residual over the stated noise and the degrees of freedom; the covariance is multiplied by it where it is above 1. */
  readonly chiSquareRatio: number;
  /** φ at t, rad. */
  turnAt(t_s: number, out: Float64Array): void;
  /** dφ/dt at t, rad/s. */
  turnRateAt(t_s: number, out: Float64Array): void;
  /** R_parent_body for a φ, nine numbers row-major. */
  orientationOf(turn: ArrayLike<number>, out: Float64Array): void;
  /** Standard deviation of a · φ(t) + b · dφ/dt(t). */
  spread(t_s: number, a: ArrayLike<number>, b: ArrayLike<number>): number;
}

/** I − (1 − cos θ)/θ² [φ]× + (θ − sin θ)/θ³ [φ]×²: how a small turn after φ changes the rotation vector, inverted (right Jacobian, Chirikjian 2012, from memory). */
export function rightJacobian(turn: ArrayLike<number>, out: Float64Array): void {
  const x = turn[0]!;
  const y = turn[1]!;
  const z = turn[2]!;
  const square = x * x + y * y + z * z;
  const angle = Math.sqrt(square);
  const a = angle > 1e-4 ? (1 - Math.cos(angle)) / square : 0.5 - square / 24;
  const b = angle > 1e-4 ? (angle - Math.sin(angle)) / (square * angle) : 1 / 6 - square / 120;
  out[0] = 1 - b * (y * y + z * z);
  out[1] = a * z + b * x * y;
  out[2] = -a * y + b * x * z;
  out[3] = -a * z + b * x * y;
  out[4] = 1 - b * (x * x + z * z);
  out[5] = a * x + b * y * z;
  out[6] = a * y + b * x * z;
  out[7] = -a * x + b * y * z;
  out[8] = 1 - b * (x * x + y * y);
}

/**
 * Fits `n` orientations R_parent_body (nine numbers each, row-major) at ascending `times_s`. `covariance_rad2` (3 × 3, row-major): of the
 * rotation vector about the body's own axes, the same for every sample. Generalised least squares of φ_i = log(R_lastᵀ R_i), whose covariance
 * is J⁻¹ Σ J⁻ᵀ with the right Jacobian J at φ_i, plus (coefficient / prior SD)² on degrees 2 to 5 (Tikhonov).
 * Null with fewer than six usable samples or a covariance that is not positive.
 */
export function fitTurn(
  times_s: Float64Array,
  rotations: Float64Array,
  n: number,
  covariance_rad2: ArrayLike<number>,
  priors: TurnPriors,
): TurnFit | null {
  if (n < LEAST_TURN_SAMPLES) return null;
  const last = rotations.slice(9 * (n - 1), 9 * n);
  const to_s = times_s[n - 1]!;
  const turns = new Float64Array(AXES * n);
  const between = new Float64Array(9);
  const turn = new Float64Array(AXES);
  let first = n - 1;
  for (let i = n - 1; i >= 0; i--) {
    mulT3(last, 0, rotations, 9 * i, between, 0);
    logRotation(between, 0, turn);
    if (!(Math.hypot(turn[0]!, turn[1]!, turn[2]!) < LARGEST_TURN_rad)) break;
    turns.set(turn, AXES * i);
    first = i;
  }
  if (n - first < LEAST_TURN_SAMPLES) return null;
  const floor = priors.sigmaFloor_rad * priors.sigmaFloor_rad;
  const noise = Float64Array.from(
    { length: 9 },
    (_, k) => (covariance_rad2[k] ?? Number.NaN) + (k % 4 === 0 ? floor : 0),
  );
  const precision = invertSymmetric(noise, AXES);
  if (precision === null) return null;
  const weights = new Float64Array(9 * (n - first));
  const jacobian = new Float64Array(9);
  const part = new Float64Array(9);
  for (let i = first; i < n; i++) {
    rightJacobian(turns.subarray(AXES * i, AXES * i + AXES), jacobian);
    mul3(precision, 0, jacobian, 0, part, 0);
    mulT3(jacobian, 0, part, 0, weights, 9 * (i - first));
  }
  const a = new Float64Array(PARAMETERS * PARAMETERS);
  const p = new Float64Array(PARAMETERS);
  const power = new Float64Array(TERMS);
  for (let axis = 0; axis < AXES; axis++) {
    for (let k = 2; k < TERMS; k++) {
      const sd = priors.turn_rad[k - 2]!;
      a[(axis * TERMS + k) * (PARAMETERS + 1)] = 1 / (sd * sd);
    }
  }
  for (let i = first; i < n; i++) {
    powers((times_s[i]! - to_s) / priors.unit_s, power);
    const w = 9 * (i - first);
    for (let r = 0; r < AXES; r++) {
      let pull = 0;
      for (let c = 0; c < AXES; c++) pull += weights[w + 3 * r + c]! * turns[AXES * i + c]!;
      for (let j = 0; j < TERMS; j++) {
        const row = r * TERMS + j;
        p[row] = p[row]! + pull * power[j]!;
        for (let c = 0; c <= r; c++) {
          const weight = weights[w + 3 * r + c]! * power[j]!;
          for (let k = 0; k < TERMS; k++) {
            const at = row * PARAMETERS + c * TERMS + k;
            a[at] = a[at]! + weight * power[k]!;
          }
        }
      }
    }
  }
  for (let r = 0; r < PARAMETERS; r++)
    for (let c = r + 1; c < PARAMETERS; c++) a[r * PARAMETERS + c] = a[c * PARAMETERS + r]!;
  const covariance = invertSymmetric(a, PARAMETERS);
  if (covariance === null || !choleskyInPlace(a, PARAMETERS)) return null;
  choleskySolveInPlace(a, PARAMETERS, p);
  let squares = 0;
  for (let i = first; i < n; i++) {
    powers((times_s[i]! - to_s) / priors.unit_s, power);
    for (let r = 0; r < AXES; r++) turn[r] = turns[AXES * i + r]! - polynomial(p, r * TERMS, power);
    const w = 9 * (i - first);
    for (let r = 0; r < AXES; r++) {
      for (let c = 0; c < AXES; c++) squares += weights[w + 3 * r + c]! * turn[r]! * turn[c]!;
    }
  }
  const ratio = squares / Math.max(1, AXES * (n - first) - FREE_PARAMETERS);
  return new FittedTurn(times_s[first]!, to_s, n - first, ratio, priors.unit_s, last, p, covariance);
}

function powers(s: number, out: Float64Array): void {
  out[0] = 1;
  for (let k = 1; k < TERMS; k++) out[k] = out[k - 1]! * s;
}

/** d/ds of the powers. */
function slopes(s: number, out: Float64Array): void {
  out[0] = 0;
  let power = 1;
  for (let k = 1; k < TERMS; k++) {
    out[k] = k * power;
    power *= s;
  }
}

function polynomial(p: Float64Array, offset: number, power: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < TERMS; k++) sum += p[offset + k]! * power[k]!;
  return sum;
}

class FittedTurn implements TurnFit {
  readonly from_s: number;
  readonly to_s: number;
  readonly samples: number;
  readonly chiSquareRatio: number;
  readonly #unit: number;
  readonly #last: Float64Array;
  readonly #p: Float64Array;
  readonly #covariance: Float64Array;
  readonly #power = new Float64Array(TERMS);
  readonly #slope = new Float64Array(TERMS);
  readonly #row = new Float64Array(PARAMETERS);
  readonly #R = new Float64Array(9);

  constructor(
    from_s: number,
    to_s: number,
    samples: number,
    ratio: number,
    unit_s: number,
    last: Float64Array,
    p: Float64Array,
    covariance: Float64Array,
  ) {
    this.from_s = from_s;
    this.to_s = to_s;
    this.samples = samples;
    this.chiSquareRatio = ratio;
    this.#unit = unit_s;
    this.#last = last;
    this.#p = p;
    this.#covariance = covariance;
  }

  turnAt(t_s: number, out: Float64Array): void {
    powers((t_s - this.to_s) / this.#unit, this.#power);
    for (let r = 0; r < AXES; r++) out[r] = polynomial(this.#p, r * TERMS, this.#power);
  }

  turnRateAt(t_s: number, out: Float64Array): void {
    slopes((t_s - this.to_s) / this.#unit, this.#slope);
    for (let r = 0; r < AXES; r++) out[r] = polynomial(this.#p, r * TERMS, this.#slope) / this.#unit;
  }

  orientationOf(turn: ArrayLike<number>, out: Float64Array): void {
    expRotation(turn, this.#R, 0);
    mul3(this.#last, 0, this.#R, 0, out, 0);
  }

  spread(t_s: number, a: ArrayLike<number>, b: ArrayLike<number>): number {
    const s = (t_s - this.to_s) / this.#unit;
    powers(s, this.#power);
    slopes(s, this.#slope);
    for (let r = 0; r < AXES; r++) {
      for (let k = 0; k < TERMS; k++) {
        this.#row[r * TERMS + k] = a[r]! * this.#power[k]! + (b[r]! * this.#slope[k]!) / this.#unit;
      }
    }
    let sum = 0;
    for (let i = 0; i < PARAMETERS; i++) {
      for (let j = 0; j < PARAMETERS; j++) sum += this.#row[i]! * this.#covariance[i * PARAMETERS + j]! * this.#row[j]!;
    }
    return Math.sqrt(sum * Math.max(1, this.chiSquareRatio));
  }
}
