/** Calm stretches of a sensor and the turning of its gyro, in any unit. */

import type { Vec3 } from '../../../model/calibration.ts';
import { expRotation, mul3 } from '../../../numeric/rotationKernels.ts';
import { percentile } from '../../../numeric/statistics.ts';

export interface CalmWindow {
  readonly from: number;
  /** Behind the last sample. */
  readonly to: number;
  /** Mean of the gyro and length of its standard deviations per axis, unit as given; NaN without a gyro. */
  readonly gyroMean: number;
  readonly gyroSd: number;
  /** Mean specific force, unit as given, and the length of its standard deviations as a share of the mean's length; null without an accelerometer. */
  readonly acc: Vec3 | null;
  readonly accSpread: number;
}

const WINDOW_s = 0.25;

interface Moments {
  readonly mean: Vec3;
  readonly sd: number;
  readonly length: number;
}

/** Mean and spread of the rows [from, to) of a planar 3 × rows array; null where fewer than four are there. */
function momentsOf(planar: Float64Array, rows: number, from: number, to: number): Moments | null {
  const sum: [number, number, number] = [0, 0, 0];
  let count = 0;
  for (let i = from; i < to; i += 1) {
    if (Number.isNaN(planar[i]! + planar[rows + i]! + planar[2 * rows + i]!)) continue;
    for (let axis = 0; axis < 3; axis += 1) sum[axis]! += planar[axis * rows + i]!;
    count += 1;
  }
  if (count < 4) return null;
  const mean: Vec3 = [sum[0] / count, sum[1] / count, sum[2] / count];
  let squares = 0;
  for (let i = from; i < to; i += 1) {
    if (Number.isNaN(planar[i]! + planar[rows + i]! + planar[2 * rows + i]!)) continue;
    for (let axis = 0; axis < 3; axis += 1) {
      const e = planar[axis * rows + i]! - mean[axis]!;
      squares += e * e;
    }
  }
  return { mean, sd: Math.sqrt(squares / count), length: Math.hypot(...mean) };
}

/** Lengths of the rows of a planar 3 × rows array; missing ones left out. */
export function lengthsOf(planar: Float64Array, rows: number): Float64Array {
  const out: number[] = [];
  for (let i = 0; i < rows; i += 1) {
    const size = Math.hypot(planar[i]!, planar[rows + i]!, planar[2 * rows + i]!);
    if (!Number.isNaN(size)) out.push(size);
  }
  return Float64Array.from(out);
}

/** The calmest quarter second: least turning (against the fastest of the recording) and least change of the specific force. null for too short a recording. */
export function calmestWindow(
  gyro: Float64Array | null,
  acc: Float64Array | null,
  rows: number,
  rate_Hz: number,
): CalmWindow | null {
  const width = Math.max(5, Math.round(WINDOW_s * rate_Hz));
  const fastest = gyro === null ? Number.NaN : percentile(lengthsOf(gyro, rows), 99.9);
  let best: CalmWindow | null = null;
  let bestScore = Number.POSITIVE_INFINITY;
  for (let from = 0; from + width <= rows; from += Math.max(1, width >> 2)) {
    const to = from + width;
    const turn = gyro === null ? null : momentsOf(gyro, rows, from, to);
    const force = acc === null ? null : momentsOf(acc, rows, from, to);
    if ((gyro !== null && turn === null) || (acc !== null && force === null)) continue;
    const accSpread = force === null ? 0 : force.length > 0 ? force.sd / force.length : Number.POSITIVE_INFINITY;
    const turning = turn === null || !(fastest > 0) ? 0 : (turn.sd + turn.length) / fastest;
    if (!(accSpread + turning < bestScore)) continue;
    bestScore = accSpread + turning;
    best = {
      from,
      to,
      gyroMean: turn?.length ?? Number.NaN,
      gyroSd: turn?.sd ?? Number.NaN,
      acc: force?.mean ?? null,
      accSpread,
    };
  }
  return best;
}

/** Rest: noise and bias of a sensor that lies or sits on a body that stands still are below these (common practice, no source). */
const REST_SD_radPerS = 0.15;
const REST_MEAN_radPerS = 0.35;
const REST_SPREAD = 0.03;

/** Whether the sensor rests in the window, the gyro's unit known by its factor to rad/s. */
export function isRest(window: CalmWindow, toRad: number): boolean {
  if (window.acc === null || !(window.accSpread < REST_SPREAD)) return false;
  if (Number.isNaN(window.gyroSd)) return window.accSpread < REST_SPREAD / 3;
  return window.gyroSd * toRad < REST_SD_radPerS && window.gyroMean * toRad < REST_MEAN_radPerS;
}

/**
 * Turning by the gyro alone from the first sample, R_first_sensor, 9 × rows frame-major: the step to sample k turns by the mean of the gyro at
 * k − 1 and k. A missing sample counts as no turning: windows across one are told by `missingBefore`.
 */
export function turningOf(gyro: Float64Array, times_s: Float64Array, toRad: number): Float64Array {
  const rows = times_s.length;
  const out = new Float64Array(9 * rows);
  const step = new Float64Array(9);
  const v = [0, 0, 0];
  out[0] = 1;
  out[4] = 1;
  out[8] = 1;
  for (let k = 1; k < rows; k += 1) {
    const half = 0.5 * toRad * (times_s[k]! - times_s[k - 1]!);
    for (let axis = 0; axis < 3; axis += 1) v[axis] = half * (gyro[axis * rows + k - 1]! + gyro[axis * rows + k]!);
    if (Number.isNaN(v[0]! + v[1]! + v[2]!)) v.fill(0);
    expRotation(v, step, 0);
    mul3(out, 9 * (k - 1), step, 0, out, 9 * k);
  }
  return out;
}

/** How many of the samples before each one are missing, length rows + 1: rows [from, to) are whole where the counts at both ends are equal. */
export function missingBefore(planar: Float64Array, rows: number): Int32Array {
  const out = new Int32Array(rows + 1);
  for (let i = 0; i < rows; i += 1) {
    let sum = 0;
    for (let at = i; at < planar.length; at += rows) sum += planar[at]!;
    out[i + 1] = out[i]! + (Number.isNaN(sum) ? 1 : 0);
  }
  return out;
}
