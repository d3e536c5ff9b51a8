/**
 * Inclination filter after Laidig and Seel 2023 (Information Fusion 91:187-204): gyro integration makes an almost inertial frame, specific force is
 * low-passed there, where a person's accelerations average out, and its direction corrects the inclination; heading is a state of its own.
 *
 * Differences from the paper: the gyro's step is that of `strapDown`; the first τ seconds take the mean of all of them, since recordings are
 * processed whole; bias is estimated at rest only; a new magnetic reference is not accepted, the weight of a disturbed field returns by half.
 */

import { butterworthLowPass, type FilterDesign } from '../butterworth.ts';
import { multiplyQuaternions } from '../rotationKernels.ts';
import { type Heading, headingFromField, type MagneticOptions, newHeading } from './magneticHeading.ts';
import { type InertialSignals, levelling, normalizeQuaternion, toWorld, turnByGyro, writeRotation } from './signals.ts';

export interface InclinationOptions extends MagneticOptions {
  /** Time constant of the low-pass of specific force, s. */
  readonly tauAcc_s: number;
  /** Bias at the start, rad/s, and its standard deviation. */
  readonly bias: ArrayLike<number>;
  readonly biasSd_radPerS: number;
  /** False: the bias stays as given. */
  readonly estimateBias: boolean;
}

const DEG = Math.PI / 180;

/** τ 3 s and 9 s and the uncertainty of the bias as published by the authors. */
export const DEFAULT_INCLINATION: InclinationOptions = {
  tauAcc_s: 3,
  tauMag_s: 9,
  useMagnetometer: false,
  bias: [0, 0, 0],
  biasSd_radPerS: 0.5 * DEG,
  estimateBias: true,
};

/** Rest (authors' values): gyro and specific force within these of their own 0.5 s low-pass, for this long. */
const REST = { tau_s: 0.5, gyro_radPerS: 2 * DEG, acc_mPerS2: 0.5, least_s: 1.5 } as const;
/** A mean rate above this is motion, not bias. */
const BIAS_LIMIT = 2 * DEG;
/** Standard deviation that the bias reaches at rest, and what an unknown bias gains: 0.1°/s in 100 s. */
const BIAS_AT_REST = 0.03 * DEG;
const BIAS_WANDER = (0.1 * DEG * (0.1 * DEG)) / 100;

/** Cutoff of the second-order Butterworth low-pass (specific force) of time constant τ: √2 / (2 π τ), Hz. */
export function lowPassCutoff(tau_s: number): number {
  return Math.SQRT2 / (2 * Math.PI * tau_s);
}

/** One low-pass of three axes: two states each (transposed direct form). */
interface LowPass {
  readonly design: FilterDesign;
  readonly state: Float64Array;
  readonly value: Float64Array;
}

function lowPass(tau_s: number, rate_Hz: number): LowPass {
  // Above a tenth of the rate the low-pass would not be one: very low rates get the widest that works.
  const design = butterworthLowPass(Math.min(lowPassCutoff(tau_s), 0.1 * rate_Hz), rate_Hz);
  return { design, state: new Float64Array(6), value: new Float64Array(3) };
}

function settle({ design, state, value }: LowPass, x: ArrayLike<number>): void {
  for (let c = 0; c < 3; c++) {
    state[2 * c] = design.steady[0] * x[c]!;
    state[2 * c + 1] = design.steady[1] * x[c]!;
    value[c] = x[c]!;
  }
}

/** `times`: a longer step counts as so many samples that stayed the same. */
function pass({ design, state, value }: LowPass, x: ArrayLike<number>, times: number): void {
  const [b0, b1, b2] = design.b;
  const a1 = design.a[1];
  const a2 = design.a[2];
  for (let c = 0; c < 3; c++) {
    const input = x[c]!;
    for (let i = 0; i < times; i++) {
      const y = b0 * input + state[2 * c]!;
      state[2 * c] = b1 * input - a1 * y + state[2 * c + 1]!;
      state[2 * c + 1] = b2 * input - a2 * y;
      value[c] = y;
    }
  }
}

interface Rest {
  readonly gyro: LowPass;
  readonly acc: LowPass;
  still_s: number;
}

const w = new Float64Array(3);
const a = new Float64Array(3);
const u = new Float64Array(3);
const correction = new Float64Array(4);
const level = new Float64Array(4);
const whole = new Float64Array(4);

/** What is known after the last sample. */
export interface InclinationResult {
  readonly bias_radPerS: readonly [number, number, number];
  readonly biasSd_radPerS: number;
  /** Seconds in which the sensor was at rest. */
  readonly rest_s: number;
}

/** Writes R_world_sensor (Y up; with a magnetometer −Z is magnetic north) of every sample. */
export function inclinationFilter(
  signals: InertialSignals,
  options: InclinationOptions,
  R: Float64Array,
): InclinationResult {
  const { count, times_s, held } = signals;
  const step = medianStep(times_s, count);
  const rate_Hz = 1 / step;
  const bias = Float64Array.of(options.bias[0]!, options.bias[1]!, options.bias[2]!);
  const force = lowPass(options.tauAcc_s, rate_Hz);
  const rest: Rest = { gyro: lowPass(REST.tau_s, rate_Hz), acc: lowPass(REST.tau_s, rate_Hz), still_s: 0 };
  const heading: Heading = newHeading();
  const gyroQ = Float64Array.of(1, 0, 0, 0);
  const levelQ = Float64Array.of(1, 0, 0, 0);
  let variance = options.biasSd_radPerS * options.biasSd_radPerS;
  let rest_s = 0;
  const started = startMean(signals, options, a);
  levelInto(levelQ, a);
  settle(force, a);
  for (let k = 0; k < count; k++) {
    const h = k > 0 ? times_s[k]! - times_s[k - 1]! : step;
    const times = Math.max(1, Math.round(h / step));
    if (k > 0) {
      turnByGyro(signals, k, bias, gyroQ);
      normalizeQuaternion(gyroQ);
    }
    read(signals, k);
    variance += BIAS_WANDER * h;
    if (options.estimateBias && atRest(rest, k, times, h)) {
      rest_s += h;
      variance = correctBias(bias, rest.gyro.value, variance, h);
    }
    if ((held === null || held[k] === 0) && times_s[k]! > started) {
      toWorld(gyroQ, a, u);
      pass(force, u, times);
      levelInto(levelQ, force.value);
    }
    multiplyQuaternions(levelQ, 0, gyroQ, 0, whole, 0);
    if (options.useMagnetometer && signals.mag !== null) {
      headingFromField(heading, signals.mag, count, k, h, whole, options);
      turnHeading(whole, heading.angle_rad);
    }
    writeRotation(whole, R, 9 * k);
  }
  return { bias_radPerS: [bias[0]!, bias[1]!, bias[2]!], biasSd_radPerS: Math.sqrt(variance), rest_s };
}

function read({ gyro, acc, count }: InertialSignals, k: number): void {
  for (let c = 0; c < 3; c++) {
    w[c] = gyro[c * count + k]!;
    a[c] = acc[c * count + k]!;
  }
}

/** Mean specific force of the first τ seconds in the almost inertial frame; returns the time of their end. */
function startMean(signals: InertialSignals, { tauAcc_s, bias }: InclinationOptions, out: Float64Array): number {
  const { count, times_s, acc, held } = signals;
  const q = Float64Array.of(1, 0, 0, 0);
  const sum = new Float64Array(3);
  const end = times_s[0]! + tauAcc_s;
  let used = 0;
  for (let k = 0; k < count && times_s[k]! <= end; k++) {
    if (k > 0) turnByGyro(signals, k, bias, q);
    if (held !== null && held[k] === 1) continue;
    for (let c = 0; c < 3; c++) u[c] = acc[c * count + k]!;
    toWorld(q, u, u);
    for (let c = 0; c < 3; c++) sum[c] = sum[c]! + u[c]!;
    used += 1;
  }
  for (let c = 0; c < 3; c++) out[c] = used > 0 ? sum[c]! / used : 0;
  return end;
}

/** Turns `q` (inertial → level) further by the least turn that makes the force `f` (inertial) vertical. */
function levelInto(q: Float64Array, f: ArrayLike<number>): void {
  toWorld(q, f, u);
  const length = Math.sqrt(u[0]! * u[0]! + u[1]! * u[1]! + u[2]! * u[2]!);
  if (!(length > 0)) return;
  levelling(u[0]! / length, u[1]! / length, u[2]! / length, correction);
  multiplyQuaternions(correction, 0, q, 0, level, 0);
  q.set(level);
  normalizeQuaternion(q);
}

function atRest(rest: Rest, k: number, times: number, h: number): boolean {
  if (k === 0) {
    settle(rest.gyro, w);
    settle(rest.acc, a);
  } else {
    pass(rest.gyro, w, times);
    pass(rest.acc, a, times);
  }
  let gyro = 0;
  let acc = 0;
  let most = 0;
  for (let c = 0; c < 3; c++) {
    const g = w[c]! - rest.gyro.value[c]!;
    const f = a[c]! - rest.acc.value[c]!;
    gyro += g * g;
    acc += f * f;
    most = Math.max(most, Math.abs(rest.gyro.value[c]!));
  }
  const moves =
    gyro >= REST.gyro_radPerS * REST.gyro_radPerS || acc >= REST.acc_mPerS2 * REST.acc_mPerS2 || most > BIAS_LIMIT;
  rest.still_s = moves ? 0 : rest.still_s + h;
  return rest.still_s >= REST.least_s;
}

/** Kalman update with the low-passed rate; its variance makes BIAS_AT_REST the stationary deviation. Returns the new variance. */
function correctBias(bias: Float64Array, rate: Float64Array, variance: number, h: number): number {
  const target = BIAS_AT_REST * BIAS_AT_REST;
  const noise = target * (target / (BIAS_WANDER * h) + 1);
  const gain = variance / (variance + noise);
  for (let c = 0; c < 3; c++) {
    const value = bias[c]! + gain * (rate[c]! - bias[c]!);
    bias[c] = Math.min(BIAS_LIMIT, Math.max(-BIAS_LIMIT, value));
  }
  return (1 - gain) * variance;
}

/** q ← turn by `angle` about the vertical, then q. */
function turnHeading(q: Float64Array, angle_rad: number): void {
  correction[0] = Math.cos(angle_rad / 2);
  correction[1] = 0;
  correction[2] = 0;
  correction[3] = Math.sin(angle_rad / 2);
  multiplyQuaternions(correction, 0, q, 0, q, 0);
}

/** Median step, s, of the first 2,001 samples; 0.01 for a lone sample. */
function medianStep(times_s: Float64Array, count: number): number {
  if (count < 2) return 0.01;
  const steps = new Float64Array(Math.min(count - 1, 2000));
  for (let k = 0; k < steps.length; k++) steps[k] = times_s[k + 1]! - times_s[k]!;
  steps.sort();
  return steps[steps.length >> 1]!;
}
