/**
 * Strap-down integration on the rotation group, and what lies between its samples.
 *
 * The rule: R(t_k) = R(t_(k−1)) · exp(φ_k), where φ_k is the turn over [t_(k−1), t_k] on the recorded times. It is the midpoint rule, h times
 * the mean of the two samples, plus the two terms of the next order: h² (s_(k−1) − s_k) / 12 for the curve of the rates (s: their slopes, by the
 * parabola through three samples) and h² (w_(k−1) × w_k) / 12 for the turning of their axis (coning: second term of the Magnus series; Bortz
 * 1971, IEEE Trans Aerosp Electron Syst 7:61-66). Exact for a constant rate. A gap is one longer step.
 */

import { expRotation, mul3 } from './rotationKernels.ts';

const first = new Float64Array(3);
const second = new Float64Array(3);
const vector = new Float64Array(3);
const turned = new Float64Array(9);

/** Slope of one axis at sample `k`: of the parabola through it and its neighbours; at an end, of the line. */
function slopeAt(times: Float64Array, w: Float64Array, offset: number, n: number, k: number): number {
  const here = w[offset + k]!;
  const before = k > 0 ? (here - w[offset + k - 1]!) / (times[k]! - times[k - 1]!) : Number.NaN;
  const after = k + 1 < n ? (w[offset + k + 1]! - here) / (times[k + 1]! - times[k]!) : Number.NaN;
  if (k === 0) return n > 1 ? after : 0;
  if (k === n - 1) return before;
  const h0 = times[k]! - times[k - 1]!;
  const h1 = times[k + 1]! - times[k]!;
  return (before * h1 + after * h0) / (h0 + h1);
}

/**
 * Angular velocity at the share `s` (0..1) of the step from sample k − 1 to k: the cubic through both with their slopes. `w` is planar, 3 × n.
 * `out3` may not be `w`.
 */
export function rateWithin(
  times_s: Float64Array,
  w_radPerS: Float64Array,
  n: number,
  k: number,
  s: number,
  out3: Float64Array,
): void {
  const h = times_s[k]! - times_s[k - 1]!;
  const t = s * s * s;
  const q = s * s;
  const b1 = 3 * q - 2 * t;
  for (let c = 0; c < 3; c++) {
    const o = c * n;
    const s0 = slopeAt(times_s, w_radPerS, o, n, k - 1);
    const s1 = slopeAt(times_s, w_radPerS, o, n, k);
    out3[c] = (1 - b1) * w_radPerS[o + k - 1]! + b1 * w_radPerS[o + k]! + h * ((t - 2 * q + s) * s0 + (t - q) * s1);
  }
}

/**
 * Rotation vector (rad, in the sensor's axes at sample k − 1) turned through from sample k − 1 to the share `s` (0..1) of the step to sample k,
 * by the rule above. `w` is planar, 3 × n, without bias and without missing samples.
 */
export function stepVector(
  times_s: Float64Array,
  w_radPerS: Float64Array,
  n: number,
  k: number,
  s: number,
  out3: Float64Array,
): void {
  const h = times_s[k]! - times_s[k - 1]!;
  const q = s * s;
  const t = q * s;
  const f = q * q;
  for (let c = 0; c < 3; c++) {
    const o = c * n;
    const w0 = w_radPerS[o + k - 1]!;
    const w1 = w_radPerS[o + k]!;
    const s0 = slopeAt(times_s, w_radPerS, o, n, k - 1);
    const s1 = slopeAt(times_s, w_radPerS, o, n, k);
    first[c] = w0;
    out3[c] =
      h * ((s - t + f / 2) * w0 + (t - f / 2) * w1) +
      h * h * ((q / 2 - (2 * t) / 3 + f / 4) * s0 + (f / 4 - t / 3) * s1);
  }
  if (s === 1) for (let c = 0; c < 3; c++) second[c] = w_radPerS[c * n + k]!;
  else rateWithin(times_s, w_radPerS, n, k, s, second);
  const factor = (h * h * q) / 12;
  out3[0] = out3[0]! + factor * (first[1]! * second[2]! - first[2]! * second[1]!);
  out3[1] = out3[1]! + factor * (first[2]! * second[0]! - first[0]! * second[2]!);
  out3[2] = out3[2]! + factor * (first[0]! * second[1]! - first[1]! * second[0]!);
}

/**
 * Strap-down of samples [from, to), forward and backward from the sample `anchor`, whose rotation stands in `R` (R_world_sensor,
 * frame-major 9 × n). `w` as `stepVector`. Throws RangeError where the anchor lies outside.
 */
export function strapDown(
  times_s: Float64Array,
  w_radPerS: Float64Array,
  n: number,
  anchor: number,
  R: Float64Array,
  from = 0,
  to = n,
): void {
  if (!(anchor >= from && anchor < to && from >= 0 && to <= n)) {
    throw new RangeError(`the anchor ${anchor} does not lie in samples ${from} to ${to} of ${n}`);
  }
  for (let k = anchor + 1; k < to; k++) {
    stepVector(times_s, w_radPerS, n, k, 1, vector);
    expRotation(vector, turned, 0);
    mul3(R, 9 * (k - 1), turned, 0, R, 9 * k);
  }
  for (let k = anchor; k > from; k--) {
    stepVector(times_s, w_radPerS, n, k, 1, vector);
    for (let c = 0; c < 3; c++) vector[c] = -vector[c]!;
    expRotation(vector, turned, 0);
    mul3(R, 9 * k, turned, 0, R, 9 * (k - 1));
  }
}

/** Rotation at the share `s` of the step from sample k − 1 to k, on the path that `strapDown` went. Written at `outOffset`. */
export function strapDownWithin(
  times_s: Float64Array,
  w_radPerS: Float64Array,
  n: number,
  R: Float64Array,
  k: number,
  s: number,
  out: Float64Array,
  outOffset: number,
): void {
  stepVector(times_s, w_radPerS, n, k, s, vector);
  expRotation(vector, turned, 0);
  mul3(R, 9 * (k - 1), turned, 0, out, outOffset);
}

/** What is not known of a long step: the angle (rad) between the cubic and the straight line through its gap. */
export function stepDoubt(times_s: Float64Array, w_radPerS: Float64Array, n: number, k: number): number {
  const h = times_s[k]! - times_s[k - 1]!;
  let sum = 0;
  for (let c = 0; c < 3; c++) {
    const d = slopeAt(times_s, w_radPerS, c * n, n, k - 1) - slopeAt(times_s, w_radPerS, c * n, n, k);
    sum += d * d;
  }
  return (h * h * Math.sqrt(sum)) / 12;
}
