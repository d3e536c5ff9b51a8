import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  ANGLE_ORDERS,
  angleNear,
  anglesFromRotation,
  otherAnglesInPlace,
  rotationFromAngles,
  unwrapInPlace,
  wrapAngle,
} from '../../../src/numeric/eulerAngles.ts';
import { interpolateRotation } from '../../../src/numeric/interpolate.ts';
import {
  angularVelocity,
  basis,
  compose,
  expRotation,
  helicalAxis,
  identity,
  inverse,
  logRotation,
  meanRotation,
  mul3,
  mul3T,
  mulT3,
  type Rotation,
  rotate,
  rotation,
  rotationAngle,
} from '../../../src/numeric/rotation.ts';
import { cross, dot, norm } from '../../../src/numeric/vector.ts';
import { slowRotation, worstDifference } from '../../support/numericOracles.ts';

const SEED = { seed: 411, numRuns: 300 };
/** A dozen roundings of numbers up to 1. */
const ROUNDING = 1e-14;

const angle = fc.double({ min: -Math.PI, max: Math.PI, noNaN: true });
const order = fc.constantFrom(...ANGLE_ORDERS);
const unit = fc
  .tuple(fc.double({ min: -1, max: 1, noNaN: true }), fc.double({ min: -Math.PI, max: Math.PI, noNaN: true }))
  .map(([z, a]) => {
    const r = Math.sqrt(1 - z * z);
    return [r * Math.cos(a), r * Math.sin(a), z];
  });

function matrix(v: ArrayLike<number>): Float64Array {
  const m = new Float64Array(9);
  expRotation(v, m, 0);
  return m;
}

describe('angles about moving axes', () => {
  it('give their matrix back in every order, in the singular position too', () => {
    const special = fc.constantFrom(0, Math.PI / 2, -Math.PI / 2, Math.PI, -Math.PI, 1e-9, Math.PI / 2 - 1e-9);
    const any = fc.oneof(angle, special);
    fc.assert(
      fc.property(order, any, any, any, (o, a, b, c) => {
        const m = Float64Array.from(slowRotation(o, a, b, c));
        const out = new Float64Array(3);
        anglesFromRotation(m, 0, o, out);
        const back = new Float64Array(9);
        rotationFromAngles(out[0]!, out[1]!, out[2]!, o, back);
        // Within 1e-12 of the singular position the first angle is set to 0, which costs as much.
        expect(worstDifference(back, m)).toBeLessThan(2e-12);
        otherAnglesInPlace(out, o);
        rotationFromAngles(out[0]!, out[1]!, out[2]!, o, back);
        expect(worstDifference(back, m)).toBeLessThan(2e-12);
      }),
      SEED,
    );
  });

  it('come back themselves away from the singular position', () => {
    fc.assert(
      fc.property(order, angle, fc.double({ min: 0.05, max: 1.5, noNaN: true }), angle, (o, a, b, c) => {
        const m = new Float64Array(9);
        rotationFromAngles(a, b, c, o, m);
        const out = new Float64Array(3);
        const far = anglesFromRotation(m, 0, o, out);
        for (const [i, expected] of [a, b, c].entries()) {
          expect(Math.abs(angleNear(out[i]!, expected) - expected)).toBeLessThan(ROUNDING / far);
        }
        expect(far).toBeCloseTo(o[0] === o[2] ? Math.min(b, Math.PI - b) : Math.PI / 2 - b, 12);
      }),
      SEED,
    );
  });

  it('report a distance of zero in the singular position', () => {
    for (const o of ANGLE_ORDERS) {
      const m = new Float64Array(9);
      rotationFromAngles(0.4, o[0] === o[2] ? 0 : Math.PI / 2, 0.3, o, m);
      const out = new Float64Array(3);
      expect(anglesFromRotation(m, 0, o, out)).toBeLessThan(1e-15);
      expect(out[0]).toBe(0);
    }
  });

  it('write at the offset only', () => {
    const m = new Float64Array(27).fill(7);
    rotationFromAngles(0.1, 0.2, 0.3, 'ZXY', m, 9);
    expect(m.subarray(0, 9).every((v) => v === 7) && m.subarray(18).every((v) => v === 7)).toBe(true);
    expect(worstDifference(m.subarray(9, 18), slowRotation('ZXY', 0.1, 0.2, 0.3))).toBeLessThan(ROUNDING);
  });
});

describe('unwrapping', () => {
  it('keeps the start, changes by whole turns and leaves no step beyond half a turn', () => {
    fc.assert(
      fc.property(fc.array(angle, { minLength: 2, maxLength: 40 }), fc.nat(), (values, at) => {
        const start = at % values.length;
        const x = Float64Array.from(values);
        unwrapInPlace(x, start);
        expect(x[start]).toBe(values[start]);
        for (let i = 0; i < x.length; i++) {
          const turns = (x[i]! - values[i]!) / (2 * Math.PI);
          expect(Math.abs(turns - Math.round(turns))).toBeLessThan(1e-12);
          if (i > 0) expect(Math.abs(x[i]! - x[i - 1]!)).toBeLessThanOrEqual(Math.PI * (1 + 1e-12));
        }
      }),
      SEED,
    );
  });

  it('steps over missing samples and starts from the next present one', () => {
    const x = Float64Array.of(3, Number.NaN, -3, Number.NaN, -2.5);
    unwrapInPlace(x, 1);
    expect(worstDifference([x[0]!, x[2]!, x[4]!], [3 - 2 * Math.PI, -3, -2.5])).toBeLessThan(1e-15);
    const late = Float64Array.of(3, -3, Number.NaN);
    unwrapInPlace(late, 2);
    expect(late[1]).toBe(-3);
    expect(late[0]).toBeCloseTo(3 - 2 * Math.PI, 14);
    const none = new Float64Array(3).fill(Number.NaN);
    unwrapInPlace(none);
    expect(none.every(Number.isNaN)).toBe(true);
    unwrapInPlace(new Float64Array(0));
  });

  it('wraps π to π and −π to π', () => {
    expect(wrapAngle(Math.PI)).toBe(Math.PI);
    expect(wrapAngle(-Math.PI)).toBe(Math.PI);
    expect(wrapAngle(7)).toBeCloseTo(7 - 2 * Math.PI, 15);
  });
});

describe('rotation vectors', () => {
  it('survive the way to the matrix and back, near 0 and near π', () => {
    const size = fc.oneof(
      fc.double({ min: 0, max: Math.PI - 1e-9, noNaN: true }),
      fc.constantFrom(0, 1e-300, 1e-17, 1e-12, 1e-9, 1e-8, 1e-5, 1e-3, Math.PI - 1e-3, Math.PI - 1e-7),
    );
    fc.assert(
      fc.property(unit, size, (axis, s) => {
        const v = axis.map((x) => x * s);
        const out = new Float64Array(3);
        logRotation(matrix(v), 0, out);
        // Rounding of the matrix alone: no loss at either end.
        expect(worstDifference(out, v)).toBeLessThan(3e-15);
      }),
      SEED,
    );
  });

  it('make orthogonal matrices, and a half turn has length π', () => {
    fc.assert(
      fc.property(unit, angle, (axis, s) => {
        const m = matrix(axis.map((x) => x * s));
        const p = new Float64Array(9);
        mulT3(m, 0, m, 0, p, 0);
        expect(worstDifference(p, [1, 0, 0, 0, 1, 0, 0, 0, 1])).toBeLessThan(ROUNDING);
        expect(rotationAngle(m, 0)).toBeCloseTo(Math.abs(s), 13);
        const half = new Float64Array(3);
        logRotation(matrix(axis.map((x) => x * Math.PI)), 0, half);
        expect(norm(half)).toBeCloseTo(Math.PI, 14);
        expect(Math.abs(dot(half, axis))).toBeCloseTo(Math.PI, 13);
      }),
      SEED,
    );
  });
});

describe('rotations with named frames', () => {
  const R_lab_pelvis = rotation<'lab', 'pelvis'>(slowRotation('YXZ', 0.3, -0.2, 0.5));
  const R_lab_thorax = rotation<'lab', 'thorax'>(slowRotation('YXZ', -1, 0.4, 0.1));

  it('join only where the middle frames agree, which the compiler checks', () => {
    const R_pelvis_thorax: Rotation<'pelvis', 'thorax'> = compose(inverse(R_lab_pelvis), R_lab_thorax);
    // @ts-expect-error the middle frames differ
    compose(R_lab_pelvis, R_lab_thorax);
    // @ts-expect-error parent and child are exchanged
    const wrong: Rotation<'thorax', 'pelvis'> = R_pelvis_thorax;
    // @ts-expect-error a wider frame name would let any two rotations join
    const wide: Rotation<string, 'thorax'> = R_pelvis_thorax;
    expect(wrong).toBe(wide);
    expect(worstDifference(compose(R_lab_pelvis, R_pelvis_thorax).m, R_lab_thorax.m)).toBeLessThan(ROUNDING);
  });

  it('take a child’s axis to its column, and the identity changes nothing', () => {
    const m = R_lab_pelvis.m;
    expect(worstDifference(rotate(R_lab_pelvis, [0, 1, 0]), [m[1]!, m[4]!, m[7]!])).toBeLessThan(1e-16);
    expect(worstDifference(compose(identity<'lab', 'lab'>(), R_lab_pelvis).m, m)).toBe(0);
    const z = [0, 0, 0];
    cross([m[0]!, m[3]!, m[6]!], [m[1]!, m[4]!, m[7]!], z);
    expect(worstDifference(basis([m[0]!, m[3]!, m[6]!], [m[1]!, m[4]!, m[7]!], z).m, m)).toBeLessThan(ROUNDING);
  });

  it('refuse what is no rotation', () => {
    expect(() => rotation([1, 0, 0, 0, 1, 0, 0, 0])).toThrow(RangeError);
    expect(() => rotation([1, 0, 0, 0, 1, 0, 0, 0, 1.001])).toThrow(/orthonormal/);
    expect(() => rotation([1, 0, 0, 0, 1, 0, 0, 0, -1])).toThrow(/left-handed/);
    expect(() => rotation([Number.NaN, 0, 0, 0, 1, 0, 0, 0, 1])).toThrow(RangeError);
  });
});

describe('series of rotations', () => {
  const w = [1.3, -2.1, 6.4];
  const frames = 9;
  const rate = 240;
  const start = Float64Array.from(slowRotation('ZXY', 0.4, 1.1, -2));
  const ms = new Float64Array(9 * frames);
  for (let f = 0; f < frames; f++) mul3(matrix(w.map((v) => (v * f) / rate)), 0, start, 0, ms, 9 * f);

  it('have exactly their constant angular velocity, at the ends and beside a gap', () => {
    const out = new Float64Array(3 * frames);
    const holed = ms.slice();
    holed[9 * 5] = Number.NaN;
    angularVelocity(holed, frames, rate, out);
    for (let f = 0; f < frames; f++) {
      for (let c = 0; c < 3; c++) {
        if (f === 5) expect(out[c * frames + f]).toBeNaN();
        // Rounding of the matrices times the rate.
        else expect(Math.abs(out[c * frames + f]! - w[c]!)).toBeLessThan(3e-13);
      }
    }
  });

  it('have second-order ends: the error of a growing rate falls with the square of the step', () => {
    const error = (hz: number): number => {
      const series = new Float64Array(27);
      for (let f = 0; f < 3; f++) {
        const t = f / hz;
        expRotation([0, 0, 5 * t + 40 * t * t + 100 * t * t * t], series, 9 * f);
      }
      const out = new Float64Array(9);
      angularVelocity(series, 3, hz, out);
      return Math.abs(out[6]! - 5);
    };
    expect(error(200) / error(400)).toBeCloseTo(4, 3);
  });

  it('give NaN for a lone frame', () => {
    const out = new Float64Array(3);
    angularVelocity(ms, 1, rate, out);
    expect(out.every(Number.isNaN)).toBe(true);
  });

  it('are interpolated exactly where the rate is constant, up to a frame beyond the bounds', () => {
    const out = new Float64Array(9);
    const truth = new Float64Array(9);
    for (const t of [0, 0.25, 3.5, 4.75, 8, 8.6, -0.4]) {
      expect(interpolateRotation(ms, frames, t, out)).toBe(true);
      mul3(matrix(w.map((v) => (v * t) / rate)), 0, start, 0, truth, 0);
      expect(worstDifference(out, truth)).toBeLessThan(ROUNDING);
    }
    expect(interpolateRotation(ms, frames, 9.1, out)).toBe(false);
    expect(out.every(Number.isNaN)).toBe(true);
  });

  it('never look past their bounds', () => {
    const cut = ms.slice();
    cut.fill(1e6, 9 * 5);
    const out = new Float64Array(9);
    expect(interpolateRotation(cut, frames, 4.3, out, 0, 0, 5)).toBe(true);
    mul3T(out, 0, ms, 36, cut, 0);
    expect(rotationAngle(cut, 0)).toBeCloseTo((0.3 * norm(w)) / rate, 12);
  });

  it('have a mean that turns with them and lies between two', () => {
    const mean = meanRotation(ms, frames);
    expect(worstDifference(mean, ms.subarray(36, 45))).toBeLessThan(ROUNDING);
    expect(meanRotation(ms, 0).every(Number.isNaN)).toBe(true);
    const holed = ms.slice();
    holed.fill(Number.NaN, 0, 9);
    holed.fill(Number.NaN, 72, 81);
    expect(worstDifference(meanRotation(holed, frames), mean)).toBeLessThan(ROUNDING);
  });

  it('leave the points of their helical axis on it', () => {
    fc.assert(
      fc.property(unit, fc.double({ min: 0.2, max: 3, noNaN: true }), unit, unit, (axis, s, point, shift) => {
        const R = matrix(axis.map((x) => x * s));
        const t = 0.7 * dot(shift, axis);
        const turned = rotate(rotation(R), point);
        const d = point.map((p, i) => p - turned[i]! + t * axis[i]!);
        const screw = helicalAxis(R, d);
        expect(screw.angle_rad).toBeCloseTo(s, 12);
        expect(screw.translation).toBeCloseTo(t, 12);
        const moved = rotate(rotation(R), screw.point);
        const expected = screw.point.map((p, i) => p + t * axis[i]! - d[i]!);
        expect(worstDifference(moved, expected)).toBeLessThan(1e-12);
      }),
      SEED,
    );
  });
});
