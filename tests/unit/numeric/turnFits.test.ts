// Fits of turning and of directions against motion that is known: rotations composed by hand, with SO(3) formulas of any textbook.
import { describe, expect, it } from 'vitest';
import { createRandom } from '../../../src/numeric/random.ts';
import { expRotation, mul3 } from '../../../src/numeric/rotationKernels.ts';
import { fitShrunk, type ShrunkPriors } from '../../../src/numeric/shrunkFit.ts';
import { fitTurn, rightJacobian, type TurnPriors } from '../../../src/numeric/turnFit.ts';

const PRIORS: TurnPriors = { unit_s: 0.04, turn_rad: [0.5, 0.2, 0.05, 0.02], sigmaFloor_rad: 2e-5 };
const diagonal = (variance: number): number[] => [variance, 0, 0, 0, variance, 0, 0, 0, variance];

/** A body that turns at a constant rate about an axis fixed in the room, from an orientation that is not the identity. */
function turning(n: number, rate_Hz: number, noise_rad = 0, seed = 1) {
  const random = createRandom(seed);
  const start = new Float64Array(9);
  expRotation([0.4, -0.9, 0.3], start, 0);
  const axis = [0.36, 0.48, -0.8];
  const speed = 30;
  const at = (t: number): Float64Array => {
    const step = new Float64Array(9);
    const out = new Float64Array(9);
    expRotation(
      axis.map((x) => x * speed * t),
      step,
      0,
    );
    mul3(step, 0, start, 0, out, 0);
    return out;
  };
  const times = Float64Array.from({ length: n }, (_, i) => i / rate_Hz);
  const rotations = new Float64Array(9 * n);
  const small = new Float64Array(9);
  for (let i = 0; i < n; i++) {
    expRotation(
      [0, 1, 2].map(() => noise_rad * random.normal()),
      small,
      0,
    );
    const noisy = new Float64Array(9);
    mul3(at(times[i]!), 0, small, 0, noisy, 0);
    rotations.set(noisy, 9 * i);
  }
  return { times, rotations, at, speed };
}

function angleBetween(a: Float64Array, b: Float64Array): number {
  // The chord of two rotations: ‖A − B‖ = 2√2 sin(θ/2).
  return 2 * Math.asin(Math.min(1, Math.hypot(...a.map((x, i) => x - b[i]!)) / (2 * Math.SQRT2)));
}

describe('fitTurn', () => {
  it('carries a steady turn on beyond its samples: turn and rate are exact', () => {
    const { times, rotations, at, speed } = turning(15, 240);
    const fit = fitTurn(times, rotations, 15, diagonal(1e-6), PRIORS)!;
    const later = times[14]! + 0.004;
    const phi = new Float64Array(3);
    const dphi = new Float64Array(3);
    const R = new Float64Array(9);
    fit.turnAt(later, phi);
    fit.turnRateAt(later, dphi);
    fit.orientationOf(phi, R);
    expect(angleBetween(R, at(later))).toBeLessThan(1e-9);
    expect(Math.abs(Math.hypot(...dphi) - speed)).toBeLessThan(1e-6);
    expect(fit.samples).toBe(15);
  });

  it('leaves out samples turned by more than 2.6 rad from the last: the rotation vector would jump', () => {
    const { times, rotations } = turning(40, 240);
    // 30 rad/s: 2.6 rad are 20.8 frames.
    expect(fitTurn(times, rotations, 40, diagonal(1e-6), PRIORS)!.samples).toBe(21);
  });

  it('states how far it is off: over 300 noisy turns the error has the stated standard deviation', () => {
    const sigma = 0.02;
    const phi = new Float64Array(3);
    const R = new Float64Array(9);
    let squares = 0;
    let stated = 0;
    for (let seed = 1; seed <= 300; seed++) {
      const { times, rotations, at } = turning(15, 240, sigma, seed);
      const fit = fitTurn(times, rotations, 15, diagonal(sigma * sigma), PRIORS)!;
      const t = times[14]! + 0.002;
      fit.turnAt(t, phi);
      fit.orientationOf(phi, R);
      const off = angleBetween(R, at(t));
      squares += (off * off) / 300;
      for (const axis of [0, 1, 2]) {
        const a = [0, 1, 2].map((c) => (c === axis ? 1 : 0));
        const sd = fit.spread(t, a, [0, 0, 0]);
        stated += (sd * sd) / 300;
      }
    }
    // The priors allow a bend that a steady turn has not: stated may be wider, never narrower. 900 squares: ± 5 % of a root.
    expect(Math.sqrt(squares / stated)).toBeGreaterThan(0.5);
    expect(Math.sqrt(squares / stated)).toBeLessThan(1.05);
  });

  it('needs six samples and a covariance that is positive', () => {
    const { times, rotations } = turning(15, 240);
    expect(fitTurn(times, rotations, 5, diagonal(1e-6), PRIORS)).toBeNull();
    expect(fitTurn(times, rotations, 15, diagonal(-1), PRIORS)).toBeNull();
    expect(fitTurn(times, rotations, 15, diagonal(Number.NaN), PRIORS)).toBeNull();
  });

  it('the right Jacobian says what a small turn after φ does to φ, near zero and far from it', () => {
    for (const phi of [
      [1e-6, 0, 0],
      [0.3, -0.2, 0.5],
      [1.5, 1.2, -0.8],
    ] as const) {
      const J = new Float64Array(9);
      rightJacobian(Float64Array.from(phi), J);
      const d = [2e-6, -1e-6, 3e-6];
      const moved = phi.map((x, r) => x + d[r]!);
      const [A, B, C] = [0, 1, 2].map(() => new Float64Array(9)) as [Float64Array, Float64Array, Float64Array];
      expRotation(phi, A, 0);
      const after = [0, 1, 2].map((r) => J[3 * r]! * d[0]! + J[3 * r + 1]! * d[1]! + J[3 * r + 2]! * d[2]!);
      expRotation(after, B, 0);
      mul3(A, 0, B, 0, C, 0);
      expRotation(moved, A, 0);
      // First order in 4e-6: what is left is its square.
      expect(angleBetween(A, C)).toBeLessThan(1e-10);
    }
  });
});

describe('fitShrunk', () => {
  const priors: ShrunkPriors = { unit_s: 0.04, sds: [0.7, 0.35, 0.2, 0.15], sigmaFloor: 2e-6 };
  const times = Float64Array.from({ length: 15 }, (_, i) => i / 240);

  it('a straight line is carried on exactly, whatever the priors', () => {
    const values = Float64Array.from([...times].flatMap((t) => 3 - 20 * t));
    const fit = fitShrunk(times, values, 1, 15, 0.01, priors)!;
    const out = new Float64Array(1);
    fit.valueAt(0.07, out);
    expect(out[0]).toBeCloseTo(3 - 20 * 0.07, 9);
    expect(fit.to_s).toBe(times[14]);
  });

  it('the spread grows beyond the samples, and with noise that is larger than said', () => {
    const random = createRandom(3);
    const values = Float64Array.from({ length: 30 }, () => 0.01 * random.normal());
    const fit = fitShrunk(times, values, 2, 15, 0.01, priors)!;
    expect(fit.spread(times[14]! + 0.004)).toBeGreaterThan(1.5 * fit.spread(times[7]!));
    const doubted = fitShrunk(times, values, 2, 15, 0.002, priors)!;
    expect(doubted.chiSquareRatio).toBeGreaterThan(5);
    expect(fitShrunk(times, values, 2, 5, 0.01, priors)).toBeNull();
  });
});
