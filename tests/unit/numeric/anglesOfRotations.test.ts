import { describe, expect, it } from 'vitest';
import {
  ANGLE_ORDERS,
  anglesFromRotation,
  anglesOfRotations,
  unwrapInPlace,
} from '../../../src/numeric/eulerAngles.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { expRotation } from '../../../src/numeric/rotation.ts';

describe('angles of many rotations', () => {
  it.each(ANGLE_ORDERS)(
    'in the order %s are those of each rotation alone, with their distances from the singular position',
    (order) => {
      const random = createRandom(8);
      const count = 50;
      const ms = new Float64Array(9 * count);
      for (let f = 0; f < count; f++) expRotation([random.normal(), random.normal(), random.normal()], ms, 9 * f);
      ms.fill(Number.NaN, 9 * 7, 9 * 8);
      const columns = [new Float64Array(count), new Float64Array(count), new Float64Array(count)] as const;
      const distances = new Float64Array(count);
      anglesOfRotations(ms, count, order, columns, distances);
      const one = new Float64Array(3);
      for (let f = 0; f < count; f++) {
        expect(distances[f]).toBe(anglesFromRotation(ms, 9 * f, order, one));
        expect(columns.map((column) => column[f])).toEqual([...one]);
      }
    },
  );
});

describe('a series of angles made continuous', () => {
  it('has no step above half a turn, whatever the steps were, and differs from the input by whole turns', () => {
    const random = createRandom(9);
    const raw = Float64Array.from({ length: 400 }, () => 9 * random.normal());
    const series = raw.slice();
    unwrapInPlace(series, 150);
    expect(series[150]).toBe(raw[150]);
    for (let f = 0; f < raw.length; f++) {
      const turns = (series[f]! - raw[f]!) / (2 * Math.PI);
      // 40 whole turns of 2π carry rounding of 40 × 2⁻⁵² each
      expect(Math.abs(turns - Math.round(turns))).toBeLessThan(1e-12);
      if (f > 0) expect(Math.abs(series[f]! - series[f - 1]!)).toBeLessThanOrEqual(Math.PI + 1e-12);
    }
  });
});
