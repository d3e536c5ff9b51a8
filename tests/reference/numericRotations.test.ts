import * as glMatrix from 'gl-matrix';
import Quaternion from 'quaternion';
import { Euler, Matrix4, Quaternion as ThreeQuaternion, Vector3 } from 'three';
import { describe, expect, it } from 'vitest';
import { ANGLE_ORDERS, anglesFromRotation, rotationFromAngles } from '../../src/numeric/eulerAngles.ts';
import { createRandom } from '../../src/numeric/random.ts';
import {
  expRotation,
  fineAngularVelocity,
  multiplyQuaternions,
  quaternionFromRotation,
  rotationFromQuaternion,
} from '../../src/numeric/rotation.ts';
import { slowRotation, worstDifference } from '../support/numericOracles.ts';

// Double precision in the reference: its default arrays are single.
glMatrix.glMatrix.setMatrixArrayType(Array);
const { mat3, quat } = glMatrix;

/** Products of three elementary rotations: a few roundings of numbers up to 1. */
const ROUNDING = 5e-15;
const AXIS = { X: [1, 0, 0], Y: [0, 1, 0], Z: [0, 0, 1] } as const;

function axisOf(letter: string): readonly [number, number, number] {
  return AXIS[letter as 'X' | 'Y' | 'Z'];
}

/** Column-major 3×3 of the reference to row-major. */
function rowMajor(m: ArrayLike<number>): number[] {
  return [m[0]!, m[3]!, m[6]!, m[1]!, m[4]!, m[7]!, m[2]!, m[5]!, m[8]!];
}

function own(q: Float64Array): Quaternion {
  return new Quaternion(q[0]!, q[1]!, q[2]!, q[3]!);
}

const random = createRandom(20240601);
const trials = Array.from({ length: 200 }, () => [0, 0, 0].map(() => (2 * random.uniform() - 1) * Math.PI));

describe.each(ANGLE_ORDERS)('order %s, 200 seeded angle triples', (order) => {
  it('makes the matrix of three turns multiplied out by hand', () => {
    const m = new Float64Array(9);
    for (const [a, b, c] of trials) {
      rotationFromAngles(a!, b!, c!, order, m);
      expect(worstDifference(m, slowRotation(order, a!, b!, c!))).toBeLessThan(ROUNDING);
    }
  });

  it('makes the matrix of gl-matrix turning about the three axes', () => {
    const m = new Float64Array(9);
    for (const t of trials) {
      rotationFromAngles(t[0]!, t[1]!, t[2]!, order, m);
      const q = quat.create();
      for (let i = 0; i < 3; i++) {
        const part = quat.create();
        quat.setAxisAngle(part, [...axisOf(order[i]!)], t[i]!);
        quat.multiply(q, q, part);
      }
      expect(worstDifference(m, rowMajor(mat3.fromQuat(mat3.create(), q)))).toBeLessThan(ROUNDING);
    }
  });

  it('makes the matrix of quaternion turning about the three axes', () => {
    const m = new Float64Array(9);
    for (const t of trials) {
      rotationFromAngles(t[0]!, t[1]!, t[2]!, order, m);
      let q = Quaternion.ONE;
      for (let i = 0; i < 3; i++) q = q.mul(Quaternion.fromAxisAngle([...axisOf(order[i]!)], t[i]!));
      expect(worstDifference(m, q.toMatrix(false))).toBeLessThan(ROUNDING);
    }
  });

  it('reads angles that give the matrix back, of the branch it promises', () => {
    const m = new Float64Array(9);
    const back = new Float64Array(3);
    const euler = order[0] === order[2];
    for (const t of trials) {
      rotationFromAngles(t[0]!, t[1]!, t[2]!, order, m);
      const far = anglesFromRotation(m, 0, order, back);
      expect(back[1]!).toBeGreaterThanOrEqual(euler ? 0 : -Math.PI / 2);
      expect(back[1]!).toBeLessThanOrEqual(euler ? Math.PI : Math.PI / 2);
      expect(worstDifference(slowRotation(order, back[0]!, back[1]!, back[2]!), m)).toBeLessThan(ROUNDING);
      const singular = euler ? Math.min(back[1]!, Math.PI - back[1]!) : Math.PI / 2 - Math.abs(back[1]!);
      expect(far).toBeCloseTo(singular, 12);
    }
  });
});

describe.each(['XYZ', 'XZY', 'YXZ', 'YZX', 'ZXY', 'ZYX'] as const)('Cardan order %s against three', (order) => {
  it('makes its matrix and reads its angles', () => {
    const m = new Float64Array(9);
    const out = new Float64Array(3);
    for (const t of trials) {
      rotationFromAngles(t[0]!, t[1]!, t[2]!, order, m);
      const by: Record<string, number> = {};
      for (let i = 0; i < 3; i++) by[order[i]!] = t[i]!;
      const theirs = new Matrix4().makeRotationFromEuler(new Euler(by['X'], by['Y'], by['Z'], order));
      const e = theirs.elements;
      const flat = [e[0], e[4], e[8], e[1], e[5], e[9], e[2], e[6], e[10]];
      expect(worstDifference(m, flat)).toBeLessThan(ROUNDING);
      const far = anglesFromRotation(m, 0, order, out);
      const read = new Euler().setFromRotationMatrix(theirs, order);
      const expected = [...order].map((letter) => read[letter.toLowerCase() as 'x' | 'y' | 'z']);
      // Their middle angle is an arc sine, which loses digits as 1 / distance to the singular position.
      expect(worstDifference(out, expected)).toBeLessThan(1e-14 / (far * far) + 1e-13);
    }
  });
});

describe('quaternions and rotation vectors', () => {
  it('agree with three and gl-matrix on the matrix of a rotation vector', () => {
    const m = new Float64Array(9);
    const q = new Float64Array(4);
    for (const t of trials) {
      expRotation(t, m, 0);
      const angle = Math.hypot(...t);
      const three = new ThreeQuaternion().setFromAxisAngle(new Vector3(t[0], t[1], t[2]).normalize(), angle);
      const sign = three.w < 0 ? -1 : 1;
      quaternionFromRotation(m, 0, q);
      expect(
        worstDifference(
          q,
          [three.w, three.x, three.y, three.z].map((v) => sign * v),
        ),
      ).toBeLessThan(2e-14);
      const theirs = mat3.fromQuat(mat3.create(), [three.x, three.y, three.z, three.w]);
      expect(worstDifference(m, rowMajor(theirs))).toBeLessThan(2e-14);
    }
  });

  it('multiply as quaternion does', () => {
    const out = new Float64Array(4);
    const m = new Float64Array(9);
    for (let i = 0; i + 1 < trials.length; i++) {
      const p = Float64Array.of(0.3 - trials[i]![0]!, ...trials[i]!);
      const q = Float64Array.of(trials[i + 1]![1]!, ...trials[i + 1]!);
      multiplyQuaternions(p, 0, q, 0, out, 0);
      const theirs = own(p).mul(own(q));
      expect(worstDifference(out, theirs.toVector())).toBeLessThan(1e-13);
      rotationFromQuaternion(p, 0, m);
      expect(worstDifference(m, own(p).normalize().toMatrix(false))).toBeLessThan(ROUNDING);
    }
  });
});

describe('a turn about a moving axis, as fast as a lead arm comes down', () => {
  // Turn, bend and roll as functions of time, and what they make of the angular velocity, by three's axes carried along.
  const angles = (t: number): [number, number, number] => [
    2.2 * Math.sin(7 * t),
    0.6 * Math.cos(9 * t),
    1.1 * Math.sin(11 * t + 0.4),
  ];
  const rates = (t: number): [number, number, number] => [
    15.4 * Math.cos(7 * t),
    -5.4 * Math.sin(9 * t),
    12.1 * Math.cos(11 * t + 0.4),
  ];
  const quaternionAt = (t: number): ThreeQuaternion => {
    const [y, x, z] = angles(t);
    return new ThreeQuaternion().setFromEuler(new Euler(x, y, z, 'YXZ'));
  };
  const velocityAt = (t: number): Vector3 => {
    const [turn, bend] = angles(t);
    const [a, b, c] = rates(t);
    const about = (axis: readonly [number, number, number], angle: number): ThreeQuaternion =>
      new ThreeQuaternion().setFromAxisAngle(new Vector3(...axis), angle);
    const first = about(AXIS.Y, turn);
    const second = first.clone().multiply(about(AXIS.X, bend));
    return new Vector3(0, a, 0)
      .add(new Vector3(b, 0, 0).applyQuaternion(first))
      .add(new Vector3(0, 0, c).applyQuaternion(second));
  };

  it.each([
    // w⁵ h⁴ / 30 with w of 20 rad/s: 3e-5 at 240 Hz; the changing axis makes it a few times as much.
    [240, 2e-4],
    [500, 1e-5],
  ])('is measured at %d Hz within %d rad/s of the analytic value', (rate_Hz, limit) => {
    const frames = Math.round(0.4 * rate_Hz);
    const ms = new Float64Array(9 * frames);
    for (let f = 0; f < frames; f++) {
      const m = new Matrix4().makeRotationFromQuaternion(quaternionAt(f / rate_Hz)).elements;
      ms.set([m[0]!, m[4]!, m[8]!, m[1]!, m[5]!, m[9]!, m[2]!, m[6]!, m[10]!], 9 * f);
    }
    const n = frames - 4;
    const w = new Float64Array(3 * n);
    fineAngularVelocity(ms, frames, rate_Hz, 2, frames - 2, w);
    let worst = 0;
    for (let i = 0; i < n; i++) {
      const is = velocityAt((i + 2) / rate_Hz);
      worst = Math.max(worst, Math.hypot(w[i]! - is.x, w[n + i]! - is.y, w[2 * n + i]! - is.z));
    }
    expect(worst).toBeLessThan(limit);
    expect(worst).toBeGreaterThan(0);
  });
});
