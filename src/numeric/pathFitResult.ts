/** What a fitted path says: place, velocity and their spread at any time near the window. */

import {
  integratePath,
  PLANE_PARAMETERS,
  planeAcceleration,
  planeVelocity,
  quadraticForm,
  quintic,
  quinticSlope,
  TERMS,
} from './pathFitModel.ts';

/** A fitted path. Times in seconds on the clock of the samples; metres; the frame of the samples. */
export interface PathFit {
  readonly converged: boolean;
  readonly steps: number;
  /** Root mean square of the residual per axis, metres. */
  readonly residual_m: number;
  /** Residual against the given noise: covariances are multiplied by this where it is above 1. */
  readonly chiSquareRatio: number;
  /** Unit normal of the plane of the window. */
  readonly normal: readonly [number, number, number];
  /** First and last sample. */
  readonly from_s: number;
  readonly to_s: number;
  positionAt(t_s: number, out: Float64Array): void;
  /** Velocity, m/s. */
  velocityAt(t_s: number, out: Float64Array): void;
  /** Acceleration, m/s². */
  accelerationAt(t_s: number, out: Float64Array): void;
  /** Standard deviation of g · velocity, m/s, from the posterior covariance. */
  velocitySd(t_s: number, g: ArrayLike<number>): number;
  /** Standard deviation of g · position, metres, from the posterior covariance. */
  positionSd(t_s: number, g: ArrayLike<number>): number;
}

/** Plane of the window. */
export interface Plane {
  readonly centre: Float64Array;
  /** First axis, second axis, normal: three numbers each. */
  readonly axes: Float64Array;
}

/** The parameters of the plane `p`, out of it `w`, and both covariances behind the interface. */
export class Fitted implements PathFit {
  readonly converged: boolean;
  readonly steps: number;
  readonly residual_m: number;
  readonly chiSquareRatio: number;
  readonly normal: readonly [number, number, number];
  readonly from_s: number;
  readonly to_s: number;
  readonly #plane: Plane;
  readonly #unit: number;
  readonly #p: Float64Array;
  readonly #w: Float64Array;
  readonly #covariance: Float64Array;
  readonly #covarianceOut: Float64Array;
  readonly #two = new Float64Array(2);
  readonly #jacobian = new Float64Array(2 * PLANE_PARAMETERS);
  readonly #row = new Float64Array(PLANE_PARAMETERS);
  readonly #rowOut = new Float64Array(TERMS);

  constructor(
    facts: Pick<PathFit, 'converged' | 'steps' | 'residual_m' | 'chiSquareRatio' | 'from_s' | 'to_s'>,
    plane: Plane,
    unit_s: number,
    p: Float64Array,
    w: Float64Array,
    covariance: Float64Array,
    covarianceOut: Float64Array,
  ) {
    this.converged = facts.converged;
    this.steps = facts.steps;
    this.residual_m = facts.residual_m;
    this.chiSquareRatio = facts.chiSquareRatio;
    this.from_s = facts.from_s;
    this.to_s = facts.to_s;
    this.normal = [plane.axes[6]!, plane.axes[7]!, plane.axes[8]!];
    this.#plane = plane;
    this.#unit = unit_s;
    this.#p = p;
    this.#w = w;
    this.#covariance = covariance;
    this.#covarianceOut = covarianceOut;
  }

  #scaled(t_s: number): number {
    return (t_s - this.to_s) / this.#unit;
  }

  #toSpace(a: number, b: number, c: number, out: Float64Array): void {
    const e = this.#plane.axes;
    for (let i = 0; i < 3; i++) out[i] = a * e[i]! + b * e[3 + i]! + c * e[6 + i]!;
  }

  positionAt(t_s: number, out: Float64Array): void {
    const s = this.#scaled(t_s);
    this.#two[0] = this.#p[0]!;
    this.#two[1] = this.#p[1]!;
    integratePath(this.#p, this.#unit, 0, s, this.#two, null);
    this.#toSpace(this.#two[0]!, this.#two[1]!, quintic(this.#w, 0, s), out);
    for (let i = 0; i < 3; i++) out[i] = out[i]! + this.#plane.centre[i]!;
  }

  velocityAt(t_s: number, out: Float64Array): void {
    const s = this.#scaled(t_s);
    planeVelocity(this.#p, s, this.#two, null);
    this.#toSpace(this.#two[0]!, this.#two[1]!, quinticSlope(this.#w, 0, s) / this.#unit, out);
  }

  accelerationAt(t_s: number, out: Float64Array): void {
    const s = this.#scaled(t_s);
    planeAcceleration(this.#p, this.#unit, s, this.#two);
    const w = this.#w;
    const bend = (2 * w[2]! + s * (6 * w[3]! + s * (12 * w[4]! + s * 20 * w[5]!))) / (this.#unit * this.#unit);
    this.#toSpace(this.#two[0]!, this.#two[1]!, bend, out);
  }

  /** Variance of g · x where the rows of #jacobian and #rowOut hold the derivatives of x. */
  #sd(g: ArrayLike<number>): number {
    const e = this.#plane.axes;
    const a = g[0]! * e[0]! + g[1]! * e[1]! + g[2]! * e[2]!;
    const b = g[0]! * e[3]! + g[1]! * e[4]! + g[2]! * e[5]!;
    const c = g[0]! * e[6]! + g[1]! * e[7]! + g[2]! * e[8]!;
    const j = this.#jacobian;
    for (let k = 0; k < PLANE_PARAMETERS; k++) this.#row[k] = a * j[k]! + b * j[PLANE_PARAMETERS + k]!;
    const inside = quadraticForm(this.#covariance, PLANE_PARAMETERS, this.#row, this.#row);
    const outside = quadraticForm(this.#covarianceOut, TERMS, this.#rowOut, this.#rowOut);
    return Math.sqrt(inside + c * c * outside);
  }

  velocitySd(t_s: number, g: ArrayLike<number>): number {
    const s = this.#scaled(t_s);
    planeVelocity(this.#p, s, this.#two, this.#jacobian);
    this.#rowOut[0] = 0;
    let power = 1;
    for (let k = 1; k < TERMS; k++) {
      this.#rowOut[k] = (k * power) / this.#unit;
      power *= s;
    }
    return this.#sd(g);
  }

  positionSd(t_s: number, g: ArrayLike<number>): number {
    const s = this.#scaled(t_s);
    this.#jacobian.fill(0);
    this.#jacobian[0] = 1;
    this.#jacobian[PLANE_PARAMETERS + 1] = 1;
    this.#two.fill(0);
    integratePath(this.#p, this.#unit, 0, s, this.#two, this.#jacobian);
    let power = 1;
    for (let k = 0; k < TERMS; k++) {
      this.#rowOut[k] = power;
      power *= s;
    }
    return this.#sd(g);
  }
}
