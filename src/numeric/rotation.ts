/** Rotations that say both frames, so that the compiler checks every join; and what is made of them: means, angular velocity, helical axes. */

import { apply3, logRotation, mul3, mul3T, mulT3 } from './rotationKernels.ts';
import { nearestRotation } from './svd3.ts';
import { cross, normalize, type Triple } from './vector.ts';

export * from './rotationKernels.ts';

declare const FRAMES: unique symbol;

/**
 * R_parent_child: columns are the child's axes in the parent's coordinates, v_parent = R_parent_child · v_child.
 * The frame names are invariant: `compose` of rotations whose middle frames differ does not compile.
 */
export interface Rotation<Parent extends string, Child extends string> {
  /** Row-major 3×3, orthogonal, determinant +1. */
  readonly m: Float64Array;
  readonly [FRAMES]: { readonly parent: (f: Parent) => Parent; readonly child: (f: Child) => Child };
}

/** How far a matrix may be from orthogonal, per element of Mᵀ·M − 1: single-precision files pass, a mistake does not. */
const ORTHOGONAL = 1e-5;

function brand<Parent extends string, Child extends string>(m: Float64Array): Rotation<Parent, Child> {
  return { m } as unknown as Rotation<Parent, Child>;
}

/** Names the frames of nine row-major numbers (copied). Throws RangeError unless they are a right-handed rotation within 1e-5. */
export function rotation<Parent extends string, Child extends string>(m: ArrayLike<number>): Rotation<Parent, Child> {
  if (m.length !== 9) throw new RangeError(`a rotation needs 9 numbers, not ${m.length}`);
  const own = Float64Array.from(m);
  const product = new Float64Array(9);
  mulT3(own, 0, own, 0, product, 0);
  for (let i = 0; i < 9; i++) {
    const off = Math.abs(product[i]! - (i % 4 === 0 ? 1 : 0));
    if (!(off <= ORTHOGONAL)) throw new RangeError(`not a rotation: its axes are ${off} away from orthonormal`);
  }
  const z: number[] = [0, 0, 0];
  cross([own[0]!, own[3]!, own[6]!], [own[1]!, own[4]!, own[7]!], z);
  if (z[0]! * own[2]! + z[1]! * own[5]! + z[2]! * own[8]! < 0) throw new RangeError('not a rotation: left-handed axes');
  return brand(own);
}

/** No rotation between two frames. */
export function identity<Parent extends string, Child extends string>(): Rotation<Parent, Child> {
  return brand(Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1));
}

/** R_a_c = R_a_b · R_b_c. */
export function compose<A extends string, B extends string, C extends string>(
  R_a_b: Rotation<A, B>,
  R_b_c: Rotation<B, C>,
): Rotation<A, C> {
  const m = new Float64Array(9);
  mul3(R_a_b.m, 0, R_b_c.m, 0, m, 0);
  return brand(m);
}

/** R_b_a = R_a_bᵀ. */
export function inverse<A extends string, B extends string>(R_a_b: Rotation<A, B>): Rotation<B, A> {
  const m = R_a_b.m;
  return brand(Float64Array.of(m[0]!, m[3]!, m[6]!, m[1]!, m[4]!, m[7]!, m[2]!, m[5]!, m[8]!));
}

/** v_parent = R_parent_child · v_child, a new array of three. */
export function rotate<Parent extends string, Child extends string>(
  R: Rotation<Parent, Child>,
  v: Triple,
): Float64Array {
  const out = new Float64Array(3);
  apply3(R.m, 0, v, out);
  return out;
}

/** The frame whose axes x, y, z (unit, orthogonal, in the parent's coordinates) are given. Throws RangeError as `rotation` does. */
export function basis<Parent extends string, Child extends string>(
  x: Triple,
  y: Triple,
  z: Triple,
): Rotation<Parent, Child> {
  return rotation([x[0]!, y[0]!, z[0]!, x[1]!, y[1]!, z[1]!, x[2]!, y[2]!, z[2]!]);
}

/**
 * Chordal mean of `count` rotations: the rotation nearest to all in the sum of squared matrix differences, which equals the
 * quaternion mean of Markley et al. 2007 (J Guidance Control Dyn 30:1193-1197). Rotations with NaN are left out; none left gives NaN.
 */
export function meanRotation(ms: Float64Array, count: number): Float64Array {
  const sum = new Float64Array(9);
  let used = 0;
  for (let f = 0; f < count; f++) {
    if (!isRotationPresent(ms, 9 * f)) continue;
    for (let i = 0; i < 9; i++) sum[i] = sum[i]! + ms[9 * f + i]!;
    used += 1;
  }
  const out = new Float64Array(9).fill(Number.NaN);
  if (used > 0) nearestRotation(sum, out);
  return out;
}

/** False where any of the nine numbers is NaN. */
export function isRotationPresent(ms: Float64Array, off: number): boolean {
  let sum = 0;
  for (let i = 0; i < 9; i++) sum += ms[off + i]!;
  return !Number.isNaN(sum);
}

const step = new Float64Array(9);
const near = new Float64Array(3);
const far = new Float64Array(3);

function logBetween(ms: Float64Array, from: number, to: number, out: Float64Array): void {
  mul3T(ms, 9 * to, ms, 9 * from, step, 0);
  logRotation(step, 0, out);
}

/**
 * Angular velocity w_parent_child in rad/s, expressed in the parent, of R_parent_child sampled at `rate_Hz` (9 numbers a frame).
 * `out` is planar (x of all frames, then y, then z). Central difference of the rotation vector, log(R₊ · R₋ᵀ) / (2 dt); beside a missing
 * frame or a bound [from, to) one-sided, of second order where two more frames are there. Exact for a constant rate.
 * A missing or lone frame gives NaN. The turn over two frames must stay below π.
 */
export function angularVelocity(
  ms: Float64Array,
  frames: number,
  rate_Hz: number,
  out: Float64Array,
  from = 0,
  to = frames,
): void {
  const present = (f: number): boolean => f >= from && f < to && isRotationPresent(ms, 9 * f);
  for (let f = from; f < to; f++) {
    let x = Number.NaN;
    let y = Number.NaN;
    let z = Number.NaN;
    if (present(f)) {
      const before = present(f - 1);
      const after = present(f + 1);
      if (before && after) {
        logBetween(ms, f - 1, f + 1, near);
        x = 0.5 * near[0]!;
        y = 0.5 * near[1]!;
        z = 0.5 * near[2]!;
      } else if (before || after) {
        const way = after ? 1 : -1;
        logBetween(ms, f, f + way, near);
        x = way * near[0]!;
        y = way * near[1]!;
        z = way * near[2]!;
        if (present(f + 2 * way)) {
          logBetween(ms, f, f + 2 * way, far);
          x = way * (2 * near[0]! - 0.5 * far[0]!);
          y = way * (2 * near[1]! - 0.5 * far[1]!);
          z = way * (2 * near[2]! - 0.5 * far[2]!);
        }
      }
    }
    out[f] = x * rate_Hz;
    out[frames + f] = y * rate_Hz;
    out[2 * frames + f] = z * rate_Hz;
  }
}

/**
 * Angular velocity as `angularVelocity` gives it, of fourth order: from log(R₊₁ · R₋₁ᵀ) and log(R₊₂ · R₋₂ᵀ), whose errors are even powers of
 * the step, (8 · near − far) / (12 dt) (Richardson's extrapolation). Of the frames [from, to) alone, planar columns of to − from numbers;
 * samples outside them are used. Without the outer pair the central difference; without the inner one NaN.
 */
export function fineAngularVelocity(
  ms: Float64Array,
  frames: number,
  rate_Hz: number,
  from: number,
  to: number,
  out: Float64Array,
): void {
  const n = to - from;
  const has = (f: number): boolean => f >= 0 && f < frames && isRotationPresent(ms, 9 * f);
  for (let i = 0; i < n; i++) {
    const f = from + i;
    if (!has(f - 1) || !has(f + 1)) {
      for (let c = 0; c < 3; c++) out[c * n + i] = Number.NaN;
      continue;
    }
    logBetween(ms, f - 1, f + 1, near);
    const hasFar = has(f - 2) && has(f + 2);
    if (hasFar) logBetween(ms, f - 2, f + 2, far);
    for (let c = 0; c < 3; c++) {
      out[c * n + i] = rate_Hz * (hasFar ? (8 * near[c]! - far[c]!) / 12 : 0.5 * near[c]!);
    }
  }
}

/** A screw motion between two poses. */
export interface HelicalAxis {
  /** 0..π. */
  readonly angle_rad: number;
  /** Unit vector, right-handed with the angle. */
  readonly axis: Float64Array;
  /** Shift along the axis, in the unit of the displacement. */
  readonly translation: number;
  /** The axis' point nearest to the origin. */
  readonly point: Float64Array;
}

/**
 * Finite helical axis of p₂ = R · p₁ + d (Spoor & Veldpaus 1980, J Biomech 13:391-393): n from the rotation vector, t = n · d,
 * s = ½ (d − t n + cot(φ/2) n × d). Ill-determined below 5 to 10 degrees of rotation; no rotation gives NaN axis and point.
 */
export function helicalAxis(R: Float64Array, d: Triple): HelicalAxis {
  const axis = new Float64Array(3);
  logRotation(R, 0, axis);
  const angle_rad = normalize(axis, axis);
  const t = axis[0]! * d[0]! + axis[1]! * d[1]! + axis[2]! * d[2]!;
  const point = new Float64Array(3);
  cross(axis, d, point);
  const cot = 1 / Math.tan(angle_rad / 2);
  for (let i = 0; i < 3; i++) point[i] = 0.5 * (d[i]! - t * axis[i]! + cot * point[i]!);
  return { angle_rad, axis, translation: t, point };
}
