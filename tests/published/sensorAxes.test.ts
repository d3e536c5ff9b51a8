/** Segment axes from a still pose and a movement: row G07 of the check values. */

import { describe, expect, it } from 'vitest';
import { axesFromFacing, axesFromFlexion, axesFromLongAxis } from '../../src/stages/sensors/segmentAxes.ts';

// TRIAD (Black HD 1964, AIAA J 2:1350-1351, from memory), recomputed: Y = up, X = Y × axis, Z = X × Y, each made unit; columns in sensor axes.
const UP = [0.2, 9.6, 1.8] as const;
const AXIS = [0.1, 0.15, 0.98] as const;
const G07 = [
  0.9948595242, 0.02047221248, 0.09917366433, -0.001741929567, 0.9826661988, -0.1853755845, -0.1012496561, 0.1842499123,
  0.9776504881,
];

describe('segment axes from gravity and a movement', () => {
  it('agree with row G07', () => {
    axesFromFlexion(UP, AXIS).forEach((value, i) => {
      expect(value).toBeCloseTo(G07[i]!, 9);
    });
  });

  it('do not depend on how long the two vectors are', () => {
    const long = axesFromFlexion([2, 96, 18], [0.001, 0.0015, 0.0098]);
    long.forEach((value, i) => {
      expect(value).toBeCloseTo(G07[i]!, 9);
    });
  });

  it('come out the same from the direction that faces forward', () => {
    const forward = [G07[0]! + 0.4 * G07[1]!, G07[3]! + 0.4 * G07[4]!, G07[6]! + 0.4 * G07[7]!] as const;
    axesFromFacing(UP, forward).forEach((value, i) => {
      expect(value).toBeCloseTo(G07[i]!, 9);
    });
  });

  it('are right-handed with only the long axis known, and that axis is exact', () => {
    for (const up of [UP, [1, 0, 0], [0, -1, 0], [0.3, -0.2, -9]] as const) {
      const [a, b, c, d, e, f, g, h, i] = axesFromLongAxis(up) as [
        number, number, number, number, number, number, number, number, number,
      ]; // biome-ignore format: a matrix
      const length = Math.hypot(...up);
      [b, e, h].forEach((value, k) => {
        expect(value).toBeCloseTo(up[k]! / length, 12);
      });
      expect(a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)).toBeCloseTo(1, 12);
      expect(a * b + d * e + g * h).toBeCloseTo(0, 12);
    }
  });

  it('are not a number where the two vectors are parallel', () => {
    expect(axesFromFlexion([0, 1, 0], [0, 2, 0])[0]).toBeNaN();
  });
});
