/** Published and closed-form values of orientation from inertial sensors: rows A26, G01, G02, G03, G05, G06 and G08 of the check values. */

import { describe, expect, it } from 'vitest';
import { gradientGain, gradientStep } from '../../src/numeric/orientationFilters/gradient.ts';
import {
  DEFAULT_INCLINATION,
  inclinationFilter,
  lowPassCutoff,
} from '../../src/numeric/orientationFilters/inclination.ts';
import { headingCutoff } from '../../src/numeric/orientationFilters/magneticHeading.ts';
import type { InertialSignals } from '../../src/numeric/orientationFilters/signals.ts';
import { mulT3, quaternionFromRotation, rotationAngle } from '../../src/numeric/rotation.ts';
import { strapDown } from '../../src/numeric/strapdown.ts';

const DEG = Math.PI / 180;

/** R_yup_zup: from the papers' world (Z up) to the project's (Y up). */
const UP = Float64Array.of(1, 0, 0, 0, 0, 1, 0, -1, 0);

/** Quaternion (w, x, y, z) against a world whose Z is up, of R_world_sensor with Y up at `offset`. */
function zUp(R: Float64Array, offset: number): number[] {
  const turned = new Float64Array(9);
  mulT3(UP, 0, R, offset, turned, 0);
  const q = new Float64Array(4);
  quaternionFromRotation(turned, 0, q);
  return Array.from(q);
}

function constant(gyro: readonly number[], acc: readonly number[], seconds: number, rate_Hz: number): InertialSignals {
  const count = Math.round(seconds * rate_Hz) + 1;
  const fill = (v: readonly number[]): Float64Array =>
    Float64Array.from({ length: 3 * count }, (_, i) => v[Math.floor(i / count)]!);
  return {
    count,
    times_s: Float64Array.from({ length: count }, (_, k) => k / rate_Hz),
    gyro: fill(gyro),
    acc: fill(acc),
    mag: null,
    held: null,
  };
}

describe('closed forms', () => {
  // A26: q = (cos(|w| t / 2), sin(|w| t / 2) w / |w|) with w = (1, 2, 3) rad/s, t = 1 s.
  it('A26: body rate (1, 2, 3) rad/s for 1 s in 100 steps gives the exact quaternion', () => {
    const times = Float64Array.from({ length: 101 }, (_, k) => k / 100);
    const w = Float64Array.from({ length: 303 }, (_, i) => Math.floor(i / 101) + 1);
    const R = new Float64Array(909);
    R[0] = R[4] = R[8] = 1;
    strapDown(times, w, 101, 0, R);
    const q = new Float64Array(4);
    quaternionFromRotation(R, 900, q);
    // The stored row has w < 0; the same rotation with w ≥ 0.
    const row = [-0.2955511275, 0.25532186, 0.5106437201, 0.7659655801].map((v) => -v);
    for (let i = 0; i < 4; i++) expect(Math.abs(q[i]! - row[i]!)).toBeLessThan(1e-9);
  });

  // G08: bias times time.
  it.each([
    [1.5, 0.15],
    [60, 6],
  ])('G08: a bias of 0.1°/s turns a still sensor in %d s by %d°', (seconds, degrees) => {
    const n = Math.round(seconds * 100) + 1;
    const times = Float64Array.from({ length: n }, (_, k) => k / 100);
    const w = new Float64Array(3 * n);
    w.fill(0.1 * DEG, n, 2 * n);
    const R = new Float64Array(9 * n);
    R[0] = R[4] = R[8] = 1;
    strapDown(times, w, n, 0, R);
    expect(rotationAngle(R, 9 * (n - 1)) / DEG).toBeCloseTo(degrees, 10);
  });
});

describe('inclination filter (Laidig and Seel 2023)', () => {
  // G01: the authors' published implementation: √2 / (2 π τ), second order, for specific force; 1 / (2 π τ), first order, for the heading.
  it('G01: its cutoffs for 3 s and 9 s are 0.0750 and 0.0177 Hz', () => {
    expect(Math.abs(lowPassCutoff(3) - 0.07502635968)).toBeLessThan(5e-12);
    expect(Math.abs(headingCutoff(9) - 0.01768388257)).toBeLessThan(5e-12);
    expect([DEFAULT_INCLINATION.tauAcc_s, DEFAULT_INCLINATION.tauMag_s]).toEqual([3, 9]);
  });

  // G02: the authors' implementation on the same input.
  it('G02: a sensor still at 20° of tilt is found at 20°', () => {
    const signals = constant([0, 0, 0], [0, 9.81 * Math.sin(20 * DEG), 9.81 * Math.cos(20 * DEG)], 2, 100);
    const R = new Float64Array(9 * signals.count);
    inclinationFilter(signals, DEFAULT_INCLINATION, R);
    const q = zUp(R, 9 * (signals.count - 1));
    [0.98480775, 0.17364818, 0, 0].forEach((v, i) => {
      expect(Math.abs(q[i]! - v)).toBeLessThan(1e-7);
    });
  });

  // G03: the authors' implementation on the same input.
  it('G03: 1 s at 90°/s about the vertical turns the heading by 90°', () => {
    const signals = constant([0, 0, 90 * DEG], [0, 0, 9.81], 1, 100);
    const R = new Float64Array(9 * signals.count);
    inclinationFilter(signals, DEFAULT_INCLINATION, R);
    const q = zUp(R, 9 * (signals.count - 1));
    [Math.SQRT1_2, 0, 0, Math.SQRT1_2].forEach((v, i) => {
      expect(Math.abs(q[i]! - v)).toBeLessThan(1e-7);
    });
  });
});

describe('gradient filter (Madgwick, Harrison and Vaidyanathan 2011)', () => {
  // G05: from memory of the algorithm; the row was recomputed from it.
  it('G05: one step of 0.01 s, β 0.1, toward a tilt of 10° about x', () => {
    const q = Float64Array.of(1, 0, 0, 0);
    gradientStep(q, 0, Math.sin(10 * DEG), Math.cos(10 * DEG), 0.1, 0.01);
    [0.9999995, 0.0009999995, 0, 0].forEach((v, i) => {
      expect(Math.abs(q[i]! - v)).toBeLessThan(1e-9);
    });
  });

  // G06: β = √(3/4) · gyro error, from memory.
  it('G06: a gyro error of 5°/s gives β 0.0756', () => {
    expect(Math.abs(gradientGain(5 * DEG) - 0.07557497351)).toBeLessThan(5e-12);
  });
});
