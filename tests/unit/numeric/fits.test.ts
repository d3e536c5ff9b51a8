import { describe, expect, it } from 'vitest';
import { rotationFromAngles } from '../../../src/numeric/eulerAngles.ts';
import { fitLeastSquares, fitPlane, type LeastSquaresProblem } from '../../../src/numeric/leastSquares.ts';
import { createPoseFit, fitPose, fitPoseInto } from '../../../src/numeric/poseFit.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { det3 } from '../../../src/numeric/svd3.ts';
import {
  add,
  addScaled,
  angleBetween,
  blend,
  cross,
  distance,
  loadPoint,
  norm,
  normalize,
  scale,
  storePoint,
  subtract,
} from '../../../src/numeric/vector.ts';
import { worstDifference } from '../../support/numericOracles.ts';

describe('vectors', () => {
  it('write over their own inputs without harm', () => {
    const a = [1, 2, 3];
    cross(a, [0, 1, 0], a);
    expect(a).toEqual([-3, 0, 1]);
    add(a, a, a);
    subtract(a, [1, 1, 1], a);
    expect(a).toEqual([-7, -1, 1]);
    scale(a, -1, a);
    addScaled(a, [1, 0, 0], 3, a);
    blend(a, [0, 1, -1], 0.5, a);
    expect(a).toEqual([5, 1, -1]);
    expect(distance(a, [5, 1, 2])).toBe(3);
  });

  it('measure angles near 0 and π to the last digit', () => {
    for (const small of [1e-3, 1e-9, 1e-14]) {
      expect(angleBetween([1, 0, 0], [1, small, 0]) / Math.atan(small)).toBeCloseTo(1, 12);
      expect(Math.PI - angleBetween([1, 0, 0], [-1, small, 0])).toBeCloseTo(Math.atan(small), 14);
    }
    expect(norm([3e200, 4e200, 0]) / 5e200).toBeCloseTo(1, 14);
  });

  it('have no direction at length zero', () => {
    const out = [1, 1, 1];
    expect(normalize([0, 0, 0], out)).toBe(0);
    expect(out.every(Number.isNaN)).toBe(true);
  });

  it('move between planar tracks and points', () => {
    const track = new Float64Array(12);
    storePoint(track, 4, 2, [7, 8, 9]);
    expect([track[2], track[6], track[10]]).toEqual([7, 8, 9]);
    const p = [0, 0, 0];
    loadPoint(track, 4, 2, p);
    expect(p).toEqual([7, 8, 9]);
  });
});

describe('pose fit', () => {
  const model = Float64Array.of(0, 0, 0, 0.1, 0, 0, 0, 0.08, 0, 0.03, 0.04, 0.06, 0.05, -0.02, 0.01);
  const R = new Float64Array(9);
  rotationFromAngles(2.9, -1.2, 0.7, 'ZXY', R);
  const measured = new Float64Array(15);
  for (let k = 0; k < 5; k++) {
    for (let r = 0; r < 3; r++) {
      let v = [1, -2, 3][r]!;
      for (let c = 0; c < 3; c++) v += R[3 * r + c]! * model[3 * k + c]!;
      measured[3 * k + r] = v;
    }
  }

  it('works with the markers that are there, at any offset, in a reused result', () => {
    const holed = new Float64Array(18).fill(Number.NaN);
    holed.set(measured, 3);
    holed[3 + 4] = Number.NaN;
    const partial = model.slice();
    partial[14] = Number.NaN;
    const fit = createPoseFit();
    for (let i = 0; i < 2; i++) {
      expect(fitPoseInto(fit, partial, holed, 5, undefined, 0, 3)).toBe('ok');
      expect(fit.used).toBe(3);
      expect(worstDifference(fit.R, R)).toBeLessThan(1e-13);
      expect(worstDifference(fit.L, [1, -2, 3])).toBeLessThan(1e-13);
      expect(fit.rmsPerMarker).toBeLessThan(1e-14);
    }
    holed[3] = Number.NaN;
    expect(fitPoseInto(fit, partial, holed, 5, undefined, 0, 3)).toBe('too-few');
    expect(fit.R.every(Number.isNaN) && fit.L.every(Number.isNaN) && Number.isNaN(fit.rmsPerMarker)).toBe(true);
  });

  it('never returns a reflection, even of a mirrored cluster', () => {
    const mirrored = model.map((v, i) => (i % 3 === 2 ? -v : v));
    const fit = fitPose(model, mirrored, 5);
    expect(det3(fit.R)).toBeCloseTo(1, 13);
    expect(fit.rmsPerMarker).toBeGreaterThan(0.005);
  });

  it('refuses a measured line, one point many times, and no marker at all', () => {
    expect(
      fitPose(
        model,
        model.map((v, i) => (i % 3 === 0 ? v : 0)),
        5,
      ).status,
    ).toBe('near-line');
    expect(fitPose(new Float64Array(9), new Float64Array(9), 3).status).toBe('near-line');
    expect(fitPose(model, new Float64Array(15).fill(Number.NaN), 5).status).toBe('too-few');
  });

  it('draws the line between a thin and a near-line cluster at the ratio it is given', () => {
    const thin = Float64Array.of(0, 0, 0, 0.1, 0, 0, 0.05, 0.004, 0);
    expect(fitPose(thin, thin, 3, 0.1).status).toBe('near-line');
    expect(fitPose(thin, thin, 3, 0.01).status).toBe('ok');
  });
});

describe('plane fit', () => {
  it('recovers a noisy plane, leaves missing points out and tells lines from planes', () => {
    const random = createRandom(4);
    const n = 400;
    const points = new Float64Array(3 * n);
    for (let k = 0; k < n; k++) {
      const a = random.normal();
      const b = random.normal();
      // Normal (1, 2, −2) / 3.
      const e = 1e-3 * random.normal();
      points.set([2 * a + e / 3, -a + b + (2 * e) / 3, b - (2 * e) / 3 + 5], 3 * k);
    }
    points[30] = Number.NaN;
    const fit = fitPlane(points, n)!;
    // Noise 1 mm over spreads of 1 m and 400 points: 5e-5 rad, five times that.
    expect(Math.abs((fit.normal[0]! + 2 * fit.normal[1]! - 2 * fit.normal[2]!) / 3)).toBeCloseTo(1, 7);
    expect(fit.rms).toBeGreaterThan(0.9e-3);
    expect(fit.rms).toBeLessThan(1.1e-3);
    expect(fit.breadth).toBeGreaterThan(0.3);
    expect(fitPlane(Float64Array.of(0, 0, 0, 1, 1, 1, 2, 2, 2), 3)!.breadth).toBeLessThan(1e-7);
    expect(fitPlane(points, 2)).toBeNull();
    expect(fitPlane(new Float64Array(9).fill(Number.NaN), 3)).toBeNull();
  });
});

describe('Levenberg–Marquardt', () => {
  const t = Array.from({ length: 40 }, (_, i) => i / 10);
  const decay = (y: readonly number[], sigma: number): LeastSquaresProblem => ({
    parameters: [1, -0.1],
    residuals: t.length,
    residualsAndJacobian(p, r, J) {
      t.forEach((v, i) => {
        const e = Math.exp(p[1]! * v);
        r[i] = (p[0]! * e - y[i]!) / sigma;
        J[2 * i] = e / sigma;
        J[2 * i + 1] = (p[0]! * v * e) / sigma;
      });
    },
  });

  it('finds a decay exactly from a poor start', () => {
    const fit = fitLeastSquares(
      decay(
        t.map((v) => 2.5 * Math.exp(-1.3 * v)),
        0.01,
      ),
    );
    expect(fit.converged).toBe(true);
    expect(fit.iterations).toBeLessThan(20);
    expect(worstDifference(fit.estimate, [2.5, -1.3])).toBeLessThan(1e-9);
    expect(fit.sumOfSquares).toBeLessThan(1e-12);
  });

  it('states the scatter of its estimates: covariance against 400 noisy repetitions', () => {
    const random = createRandom(12);
    const truth = [2.5, -1.3];
    let z2 = 0;
    const runs = 400;
    for (let i = 0; i < runs; i++) {
      const fit = fitLeastSquares(
        decay(
          t.map((v) => 2.5 * Math.exp(-1.3 * v) + 0.02 * random.normal()),
          0.02,
        ),
      );
      const d = fit.estimate.map((v, j) => v - truth[j]!);
      const [a, b, , c] = fit.covariance;
      // Mahalanobis distance: chi-squared with 2 degrees of freedom, mean 2, SD 2.
      z2 += (c! * d[0]! * d[0]! - 2 * b! * d[0]! * d[1]! + a! * d[1]! * d[1]!) / (a! * c! - b! * b!);
    }
    expect(Math.abs(z2 / runs - 2)).toBeLessThan((4 * 2) / Math.sqrt(runs));
  });

  it('is ridge regression on a linear problem with priors', () => {
    const rows = [
      [1, 2],
      [0.5, -1],
      [3, 1],
      [-2, 0.3],
    ];
    const y = [3, 1, 2, -1];
    const fit = fitLeastSquares({
      parameters: [10, -10],
      residuals: 4,
      residualsAndJacobian(p, r, J) {
        rows.forEach(([a, b], i) => {
          r[i] = a! * p[0]! + b! * p[1]! - y[i]!;
          J[2 * i] = a!;
          J[2 * i + 1] = b!;
        });
      },
      priors: [{ mean: 0.2, sd: 0.5 }, null],
    });
    // (XᵀX + diag(4, 0)) p = Xᵀy + (0.8, 0), solved by hand with Cramer's rule.
    const xx = rows.reduce((s, [a]) => s + a! * a!, 4);
    const xz = rows.reduce((s, [a, b]) => s + a! * b!, 0);
    const zz = rows.reduce((s, [, b]) => s + b! * b!, 0);
    const u = rows.reduce((s, [a], i) => s + a! * y[i]!, 0.8);
    const v = rows.reduce((s, [, b], i) => s + b! * y[i]!, 0);
    const det = xx * zz - xz * xz;
    expect(worstDifference(fit.estimate, [(u * zz - v * xz) / det, (xx * v - xz * u) / det])).toBeLessThan(1e-9);
    expect(worstDifference(fit.covariance, [zz / det, -xz / det, -xz / det, xx / det])).toBeLessThan(1e-12);
  });

  it('lets a prior speak where the data are silent, and says NaN where nothing does', () => {
    const silent = {
      parameters: [0, 5],
      residuals: 1,
      residualsAndJacobian(p: Float64Array, r: Float64Array, J: Float64Array): void {
        r[0] = p[0]! - 3;
        J[0] = 1;
        J[1] = 0;
      },
    };
    const fit = fitLeastSquares({ ...silent, priors: [null, { mean: 1, sd: 0.1 }] });
    expect(worstDifference(fit.estimate, [3, 1])).toBeLessThan(1e-8);
    expect(fit.covariance[3]).toBeCloseTo(0.01, 12);
    expect(fitLeastSquares(silent).covariance.every(Number.isNaN)).toBe(true);
  });

  it('backs away from steps that give NaN and follows a curved valley to its end', () => {
    const root = fitLeastSquares({
      parameters: [9],
      residuals: 1,
      residualsAndJacobian(p, r, J) {
        r[0] = Math.log(p[0]!);
        J[0] = 1 / p[0]!;
      },
    });
    expect(root.estimate[0]).toBeCloseTo(1, 8);
    // Rosenbrock 1960: minimum at (1, 1), from the customary start.
    const valley = fitLeastSquares({
      parameters: [-1.2, 1],
      residuals: 2,
      residualsAndJacobian(p, r, J) {
        r[0] = 10 * (p[1]! - p[0]! * p[0]!);
        r[1] = 1 - p[0]!;
        J.set([-20 * p[0]!, 10, -1, 0]);
      },
    });
    expect(valley.converged).toBe(true);
    expect(worstDifference(valley.estimate, [1, 1])).toBeLessThan(1e-8);
  });

  it('reports that it stopped early, and refuses priors that do not fit', () => {
    const y = t.map((v) => 2.5 * Math.exp(-1.3 * v));
    expect(fitLeastSquares({ ...decay(y, 0.01), maxIterations: 1 }).converged).toBe(false);
    expect(() => fitLeastSquares({ ...decay(y, 1), priors: [null] })).toThrow(RangeError);
    expect(() => fitLeastSquares({ ...decay(y, 1), priors: [null, { mean: 0, sd: 0 }] })).toThrow(RangeError);
  });
});
