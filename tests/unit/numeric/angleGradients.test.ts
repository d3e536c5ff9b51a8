import { expect, it } from 'vitest';
import {
  ANGLE_ORDERS,
  angleGradients,
  angleNear,
  anglesFromRotation,
  rotationFromAngles,
} from '../../../src/numeric/eulerAngles.ts';
import { expRotation, mul3 } from '../../../src/numeric/rotation.ts';

// The slow way: turn the child a little about each of its axes and take the angles again.
it.each(ANGLE_ORDERS)('the gradients of %s are those of small turns', (order) => {
  const isEuler = order[0] === order[2];
  for (const [a, b, c] of [
    [0.4, isEuler ? 0.9 : -0.6, 1.1],
    [-2.5, isEuler ? 2.2 : 1.2, -0.8],
  ] as const) {
    const R = new Float64Array(9);
    rotationFromAngles(a, b, c, order, R);
    const rows = new Float64Array(9);
    angleGradients([a, b, c], order, rows);
    const [small, moved, angles] = [new Float64Array(9), new Float64Array(9), new Float64Array(3)];
    for (let axis = 0; axis < 3; axis++) {
      const v = new Float64Array(3);
      v[axis] = 1e-6;
      expRotation(v, small, 0);
      mul3(R, 0, small, 0, moved, 0);
      anglesFromRotation(moved, 0, order, angles);
      [a, b, c].forEach((was, i) => {
        // A one-sided difference of 1e-6 errs by as much, times the curvature.
        expect((angleNear(angles[i]!, was) - was) / 1e-6).toBeCloseTo(rows[3 * i + axis]!, 4);
      });
    }
  }
});
