import { describe, expect, it } from 'vitest';
import { fitLeastSquares } from '../../../src/numeric/leastSquares.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { fitSpheres } from '../../../src/numeric/sphereFit.ts';

const RAD = Math.PI / 180;
const CENTRE = [0.1, -0.08, 0.09] as const;

/** A leg swinging forward and back, to the side, then in a circle: directions from the centre, half ranges in degrees. */
function legSwings(n: number, forward_deg: number, side_deg: number): number[][] {
  return Array.from({ length: n }, (_, i) => {
    const part = Math.floor((3 * i) / n);
    const phase = 2 * Math.PI * (((3 * i) / n) % 1);
    const a = forward_deg * RAD * (part === 0 ? Math.sin(phase) : part === 1 ? 0 : Math.cos(phase));
    const b = side_deg * RAD * (part === 0 ? 0 : Math.sin(phase));
    return [Math.sin(a) * Math.cos(b), -Math.cos(a) * Math.cos(b), Math.sin(b)];
  });
}

function onSphere(directions: readonly number[][], radius: number, noise: () => number): Float64Array {
  return Float64Array.from(directions.flatMap((d) => d.map((v, c) => CENTRE[c]! + radius * v + noise())));
}

const none = (): number => 0;

function off(centre: Float64Array): number {
  return Math.hypot(centre[0]! - CENTRE[0], centre[1]! - CENTRE[1], centre[2]! - CENTRE[2]);
}

describe('fitSpheres', () => {
  it('finds the centre and every radius of concentric spheres to rounding, points with NaN left out', () => {
    const swings = legSwings(90, 30, 20);
    const a = onSphere(swings, 0.4, none);
    const b = onSphere(swings.slice(0, 60), 0.12, none);
    a[7] = Number.NaN;
    const fit = fitSpheres(Float64Array.of(...a, ...b), [90, 60])!;
    expect(off(fit.centre)).toBeLessThan(1e-14);
    expect(fit.radii[0]).toBeCloseTo(0.4, 13);
    expect(fit.radii[1]).toBeCloseTo(0.12, 13);
    expect(fit.rms).toBeLessThan(1e-14);
    expect(fit.used).toBe(149);
    expect(fit.converged).toBe(true);
  });

  it('has the least sum of squared distances: a general solver from the true centre ends in the same place', () => {
    const random = createRandom(11);
    const points = onSphere(legSwings(200, 30, 20), 0.4, () => 0.002 * random.normal());
    const fit = fitSpheres(points, [200])!;
    const oracle = fitLeastSquares({
      parameters: [...CENTRE, 0.4],
      residuals: 200,
      residualsAndJacobian: (p, r, J) => {
        for (let i = 0; i < 200; i++) {
          const d = [0, 1, 2].map((c) => points[3 * i + c]! - p[c]!);
          const length = Math.hypot(...d);
          r[i] = length - p[3]!;
          for (let c = 0; c < 3; c++) J[4 * i + c] = -d[c]! / length;
          J[4 * i + 3] = -1;
        }
      },
    });
    for (let c = 0; c < 3; c++) expect(fit.centre[c]).toBeCloseTo(oracle.estimate[c]!, 9);
    expect(fit.radii[0]).toBeCloseTo(oracle.estimate[3]!, 9);
    expect(fit.rms).toBeCloseTo(Math.sqrt(oracle.sumOfSquares / 200), 12);
  });

  it('is unbiased at 1 mm of noise and says its scatter: 200 times 600 points on arcs of 60° by 40°', () => {
    const random = createRandom(3);
    const swings = legSwings(600, 30, 20);
    const bias = [0, 0, 0];
    let square = 0;
    let worst = 0;
    for (let k = 0; k < 200; k++) {
      const fit = fitSpheres(
        onSphere(swings, 0.4, () => 0.001 * random.normal()),
        [600],
      )!;
      for (let c = 0; c < 3; c++) bias[c] = bias[c]! + (fit.centre[c]! - CENTRE[c]!) / 200;
      square += (off(fit.centre) * off(fit.centre)) / 200;
      worst += (fit.sd * fit.sd) / 200;
    }
    // scatter about 1 mm, so the mean of 200 is known to 0.07 mm; the algebraic fit alone would be 1.3 mm off
    expect(Math.hypot(...bias)).toBeLessThan(0.25e-3);
    // the worst direction (along the leg) holds nearly all of the scatter
    expect(Math.sqrt(square / worst)).toBeGreaterThan(0.85);
    expect(Math.sqrt(square / worst)).toBeLessThan(1.2);
  });

  it('finds no centre where there is none: a plane arc, a line, a standing point, too few points', () => {
    expect(fitSpheres(onSphere(legSwings(90, 30, 0), 0.4, none), [90])).toBeNull();
    expect(
      fitSpheres(
        Float64Array.from({ length: 60 }, (_, i) => (i % 3 === 0 ? i : 0)),
        [20],
      ),
    ).toBeNull();
    expect(fitSpheres(new Float64Array(60), [20])).toBeNull();
    expect(fitSpheres(onSphere(legSwings(4, 30, 20), 0.4, none), [4])).toBeNull();
  });
});
