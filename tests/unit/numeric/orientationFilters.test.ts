import { describe, expect, it } from 'vitest';
import { complementaryFilter, DEFAULT_COMPLEMENTARY } from '../../../src/numeric/orientationFilters/complementary.ts';
import { DEFAULT_GRADIENT, gradientFilter } from '../../../src/numeric/orientationFilters/gradient.ts';
import { DEFAULT_INCLINATION, inclinationFilter } from '../../../src/numeric/orientationFilters/inclination.ts';
import { type InertialSignals, levelling, toWorld } from '../../../src/numeric/orientationFilters/signals.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { applyT3, expRotation, logRotation, mul3, mulT3, rotation } from '../../../src/numeric/rotation.ts';

const DEG = Math.PI / 180;

type Filter = (signals: InertialSignals, R: Float64Array) => void;
const FILTERS: readonly (readonly [string, Filter])[] = [
  ['inclination', (s, R) => inclinationFilter(s, DEFAULT_INCLINATION, R)],
  ['complementary', (s, R) => complementaryFilter(s, DEFAULT_COMPLEMENTARY, R)],
  ['gradient', (s, R) => gradientFilter(s, DEFAULT_GRADIENT, R)],
];

interface Options {
  readonly seconds: number;
  readonly rate_Hz?: number;
  /** R_world_sensor (Y up) at time t. */
  readonly at: (t: number, out: Float64Array) => void;
  /** Acceleration in the world, m/s². */
  readonly acceleration?: (t: number) => readonly [number, number, number];
  /** Magnetic field in the world (Y up, −Z north). */
  readonly field?: (t: number) => readonly [number, number, number];
  readonly bias?: readonly [number, number, number];
  readonly noise?: number;
  readonly held?: (t: number) => boolean;
}

function make(o: Options): InertialSignals {
  const rate = o.rate_Hz ?? 200;
  const count = Math.round(o.seconds * rate) + 1;
  const random = createRandom(5);
  const gyro = new Float64Array(3 * count);
  const acc = new Float64Array(3 * count);
  const mag = o.field === undefined ? null : new Float64Array(3 * count);
  const held = o.held === undefined ? null : new Uint8Array(count);
  const R = new Float64Array(9);
  const before = new Float64Array(9);
  const after = new Float64Array(9);
  const d = new Float64Array(9);
  const v = [0, 0, 0];
  for (let k = 0; k < count; k++) {
    const t = k / rate;
    o.at(t - 1e-5, before);
    o.at(t + 1e-5, after);
    o.at(t, R);
    mulT3(before, 0, after, 0, d, 0);
    logRotation(d, 0, v);
    for (let c = 0; c < 3; c++) {
      gyro[c * count + k] = v[c]! / 2e-5 + (o.bias?.[c] ?? 0) + (o.noise ?? 0) * DEG * random.normal();
    }
    const a = o.acceleration?.(t) ?? [0, 0, 0];
    applyT3(R, 0, [a[0], a[1] + 9.81, a[2]], v);
    for (let c = 0; c < 3; c++) acc[c * count + k] = v[c]! + 0.5 * (o.noise ?? 0) * random.normal();
    if (mag !== null) {
      applyT3(R, 0, o.field!(t), v);
      for (let c = 0; c < 3; c++) mag[c * count + k] = v[c]!;
    }
    if (held !== null) held[k] = o.held!(t) ? 1 : 0;
  }
  return { count, times_s: Float64Array.from({ length: count }, (_, k) => k / rate), gyro, acc, mag, held };
}

const still =
  (v: readonly number[]) =>
  (_: number, out: Float64Array): void =>
    expRotation(v, out, 0);

/** Angle between the vertical of the filter and the true one at sample k, degrees. */
function tilt(R: Float64Array, k: number, truth: Float64Array): number {
  let up = 0;
  for (let i = 0; i < 3; i++) up += R[9 * k + 3 + i]! * truth[3 + i]!;
  return Math.acos(Math.min(1, Math.max(-1, up))) / DEG;
}

function run(filter: Filter, signals: InertialSignals): Float64Array {
  const R = new Float64Array(9 * signals.count).fill(Number.NaN);
  filter(signals, R);
  return R;
}

/** The gradient's step has one length, 2 β dt = 0.0026° at 200 Hz, and goes to and fro over gravity; the others settle. */
const LEVEL_deg = 0.003;

describe.each(FILTERS)('%s filter', (_, filter) => {
  it.each([[[0, 0, 0]], [[0.5, -1, 0.3]], [[Math.PI, 0, 0]], [[0, 0, -Math.PI / 2]]])(
    'a sensor still at %j is level with gravity, and its matrices are rotations',
    (v) => {
      const signals = make({ seconds: 2, at: still(v) });
      const R = run(filter, signals);
      const truth = new Float64Array(9);
      expRotation(v, truth, 0);
      for (const k of [0, 200, signals.count - 1]) {
        expect(tilt(R, k, truth)).toBeLessThan(LEVEL_deg);
        expect(() => rotation(R.subarray(9 * k, 9 * k + 9))).not.toThrow();
      }
    },
  );

  it('follows a fast turn that is over before specific force could correct anything', () => {
    const at = (t: number, out: Float64Array): void => {
      const turn = (60 * DEG) / (1 + Math.exp(-(t - 3) / 0.05));
      expRotation([turn, 0.4 * turn, -0.7 * turn], out, 0);
    };
    const signals = make({ seconds: 4, at });
    const R = run(filter, signals);
    const truth = new Float64Array(9);
    at(4, truth);
    expect(tilt(R, signals.count - 1, truth)).toBeLessThan(0.05);
  });

  it('takes an inclination back that a bias has made', () => {
    const signals = make({
      seconds: 60,
      rate_Hz: 50,
      at: still([0.3, 0, 0.2]),
      bias: [0.2 * DEG, -0.1 * DEG, 0.15 * DEG],
      noise: 0.1,
    });
    const truth = new Float64Array(9);
    expRotation([0.3, 0, 0.2], truth, 0);
    // Left alone the bias would have made 12° in the minute about x, and 9° about z.
    expect(tilt(run(filter, signals), signals.count - 1, truth)).toBeLessThan(2);
  });

  it('holds the gyro alone where specific force is not to be used', () => {
    const held = (t: number): boolean => t > 1;
    const push = (t: number): readonly [number, number, number] => (t > 1 ? [15, -5, 8] : [0, 0, 0]);
    const signals = make({ seconds: 5, at: still([0.5, -1, 0.3]), acceleration: push, held });
    const truth = new Float64Array(9);
    expRotation([0.5, -1, 0.3], truth, 0);
    expect(tilt(run(filter, signals), signals.count - 1, truth)).toBeLessThan(LEVEL_deg);
    const free = { ...signals, held: null };
    expect(tilt(run(filter, free), signals.count - 1, truth)).toBeGreaterThan(0.3);
  });

  it('gives numbers in free fall and for one sample', () => {
    const falling = make({ seconds: 1, at: still([0.1, 0, 0]), acceleration: () => [0, -9.81, 0] });
    expect(run(filter, falling).every(Number.isFinite)).toBe(true);
    const one = make({ seconds: 0, at: still([0.1, 0, 0]) });
    expect(run(filter, one).every(Number.isFinite)).toBe(true);
  });

  it('without a magnetometer does not look at one', () => {
    const signals = make({ seconds: 3, at: still([0.5, -1, 0.3]), field: () => [20, -40, 3] });
    expect(run(filter, signals)).toEqual(run(filter, { ...signals, mag: null }));
  });
});

describe('inclination filter', () => {
  it('averages the accelerations of someone who walks: 3 m/s² at 2 Hz leave less than 0.5° where each sample is 17° off', () => {
    const acceleration = (t: number): readonly [number, number, number] => [3 * Math.sin(4 * Math.PI * t), 0, 0];
    const at = (t: number, out: Float64Array): void => expRotation([0.2 * Math.sin(3 * t), 0.8 * t, 0], out, 0);
    const signals = make({ seconds: 20, at, acceleration, noise: 0.1 });
    const R = run((s, out) => inclinationFilter(s, DEFAULT_INCLINATION, out), signals);
    const truth = new Float64Array(9);
    for (let k = 0; k < signals.count; k += 50) {
      at(k / 200, truth);
      expect(tilt(R, k, truth)).toBeLessThan(0.5);
    }
  });

  it('finds the bias at rest with a stated deviation, and none while it turns', () => {
    const bias = [0.4 * DEG, -0.3 * DEG, 0.6 * DEG] as const;
    const resting = make({ seconds: 10, at: still([0.5, 0, 0]), bias, noise: 0.1 });
    const R = new Float64Array(9 * resting.count);
    const found = inclinationFilter(resting, DEFAULT_INCLINATION, R);
    expect(found.rest_s).toBeGreaterThan(7);
    bias.forEach((v, c) => {
      expect(Math.abs(found.bias_radPerS[c]! - v)).toBeLessThan(4 * found.biasSd_radPerS);
    });
    expect(found.biasSd_radPerS).toBeLessThan(0.1 * DEG);
    const turning = make({ seconds: 10, at: (t, out) => expRotation([0, 0.5 * t, 0], out, 0), bias });
    const none = inclinationFilter(turning, DEFAULT_INCLINATION, new Float64Array(9 * turning.count));
    expect(none.rest_s).toBe(0);
    expect(none.bias_radPerS).toEqual([0, 0, 0]);
    const kept = inclinationFilter(resting, { ...DEFAULT_INCLINATION, estimateBias: false }, R);
    expect(kept.bias_radPerS).toEqual([0, 0, 0]);
  });

  const NORTH = [0, -40, -20] as const;
  const heading = (R: Float64Array, k: number): number => Math.atan2(R[9 * k + 2]!, R[9 * k + 8]!) / DEG;
  const withField = { ...DEFAULT_INCLINATION, useMagnetometer: true };

  it('with a magnetometer turns −Z to magnetic north, and holds a heading that a bias would have moved by 18°', () => {
    const at = still([0, 0.7, 0]);
    const signals = make({ seconds: 60, rate_Hz: 50, at, field: () => NORTH, bias: [0, 0.3 * DEG, 0] });
    const options = { ...withField, estimateBias: false };
    const R = run((s, out) => inclinationFilter(s, options, out), signals);
    expect(Math.abs(heading(R, signals.count - 1) - 0.7 / DEG)).toBeLessThan(4);
    const without = run((s, out) => inclinationFilter(s, { ...options, useMagnetometer: false }, out), signals);
    expect(Math.abs(heading(without, signals.count - 1) - heading(without, 0))).toBeGreaterThan(17);
  });

  it('leaves a disturbed field out: a steel club beside the sensor for ten seconds moves the heading by less than 1°', () => {
    const field = (t: number): readonly [number, number, number] => (t > 10 && t < 20 ? [35, -40, -20] : NORTH);
    const signals = make({ seconds: 30, rate_Hz: 50, at: still([0, 0.7, 0]), field });
    const R = run((s, out) => inclinationFilter(s, withField, out), signals);
    for (let k = 300; k < signals.count; k += 25) expect(Math.abs(heading(R, k) - 0.7 / DEG)).toBeLessThan(1);
    // A field that is as strong and as steep, but from elsewhere, cannot be told: the sensor follows it.
    const turned = (t: number): readonly [number, number, number] => (t > 10 ? [20, -40, 0] : NORTH);
    const fooled = make({ seconds: 30, rate_Hz: 50, at: still([0, 0.7, 0]), field: turned });
    const F = run((s, out) => inclinationFilter(s, withField, out), fooled);
    expect(Math.abs(heading(F, fooled.count - 1) - 0.7 / DEG)).toBeGreaterThan(30);
  });
});

describe('levelling', () => {
  it('is the least turn that brings a vector upright, also from exactly below', () => {
    const q = new Float64Array(4);
    const out = new Float64Array(3);
    for (const v of [
      [0, 0, 1],
      [0.6, 0, 0.8],
      [0, -0.6, -0.8],
      [0, 0, -1],
    ]) {
      levelling(v[0]!, v[1]!, v[2]!, q);
      toWorld(q, v, out);
      expect(out[2]).toBeCloseTo(1, 12);
      const angle = 2 * Math.acos(Math.min(1, Math.abs(q[0]!)));
      expect(angle).toBeCloseTo(Math.acos(v[2]!), 12);
    }
  });

  it('agrees with the product of the matrices', () => {
    const signals = make({ seconds: 0.5, at: (t, out) => expRotation([2 * t, 0.3, -t], out, 0) });
    const R = run((s, out) => gradientFilter(s, { ...DEFAULT_GRADIENT, beta: 0, start_s: 0 }, out), signals);
    const start = new Float64Array(9);
    const end = new Float64Array(9);
    expRotation([0, 0.3, 0], start, 0);
    expRotation([1, 0.3, -0.5], end, 0);
    const moved = new Float64Array(9);
    const expected = new Float64Array(9);
    mulT3(R, 0, R, 9 * (signals.count - 1), moved, 0);
    mulT3(start, 0, end, 0, expected, 0);
    const d = new Float64Array(9);
    mulT3(expected, 0, moved, 0, d, 0);
    const v = [0, 0, 0];
    logRotation(d, 0, v);
    expect(Math.hypot(...v)).toBeLessThan(1e-6);
    mul3(expected, 0, d, 0, end, 0);
    for (let i = 0; i < 9; i++) expect(end[i]).toBeCloseTo(moved[i]!, 12);
  });
});
