/** Low-pass filters of first and second order, run forward and backward so that nothing is delayed. */

import type { Workspace } from './workspace.ts';

/** `butterworth` second order, `first-order` Butterworth, `critically-damped` two equal real poles (no overshoot). */
export type FilterKind = 'butterworth' | 'first-order' | 'critically-damped';

/** y[n] = b0 x[n] + b1 x[n−1] + b2 x[n−2] − a1 y[n−1] − a2 y[n−2]; a0 is 1. First order has b2 = a2 = 0. */
export interface FilterDesign {
  readonly kind: FilterKind;
  readonly b: readonly [number, number, number];
  readonly a: readonly [number, number, number];
  /** State of the transposed direct form that a constant input of 1 settles to. */
  readonly steady: readonly [number, number];
  /** One period of the cutoff in samples, the default padding. */
  readonly period: number;
}

/**
 * What the dual pass shifts the cutoff by: dividing the warped single-pass frequency by this puts the gain of two passes at the named
 * cutoff at 1/√2. Butterworth (√2 − 1)^¼ = 0.8022 (Winter 2009); critically damped √(2^¼ − 1) (Robertson & Dowling 2003,
 * J Electromyogr Kinesiol 13:569-573).
 */
export const DUAL_PASS: Readonly<Record<FilterKind, number>> = {
  butterworth: Math.sqrt(Math.sqrt(Math.SQRT2 - 1)),
  'first-order': Math.sqrt(Math.SQRT2 - 1),
  'critically-damped': Math.sqrt(Math.sqrt(Math.SQRT2) - 1),
};

/** Fewest padding samples; with exactly these the ends agree with the usual published implementation for this order. */
export const LEAST_PAD = 9;

/** tan(π fc / fs): the analogue frequency that the bilinear transform maps to fc. Throws RangeError unless 0 < fc < fs / 2. */
function warped(fc_Hz: number, fs_Hz: number): number {
  if (!(fc_Hz > 0 && fc_Hz < fs_Hz / 2)) {
    throw new RangeError(`a cutoff of ${fc_Hz} Hz is not between 0 and half the rate of ${fs_Hz} Hz`);
  }
  return Math.tan((Math.PI * fc_Hz) / fs_Hz);
}

function design(wc: number, kind: FilterKind, period: number): FilterDesign {
  let b: [number, number, number];
  let a: [number, number, number];
  if (kind === 'first-order') {
    const gain = wc / (1 + wc);
    b = [gain, gain, 0];
    a = [1, (wc - 1) / (wc + 1), 0];
  } else {
    const damping = kind === 'butterworth' ? Math.SQRT2 : 2;
    const scale = 1 / (1 + damping * wc + wc * wc);
    const gain = wc * wc * scale;
    b = [gain, 2 * gain, gain];
    a = [1, 2 * (wc * wc - 1) * scale, (1 - damping * wc + wc * wc) * scale];
  }
  const steady2 = b[2] - a[2];
  return { kind, b, a, steady: [b[1] - a[1] + steady2, steady2], period };
}

/** Single-pass design: gain 1/√2 at `fc_Hz` (critically damped: 1/2). Throws RangeError unless 0 < fc < fs / 2. */
export function butterworthLowPass(fc_Hz: number, fs_Hz: number, kind: FilterKind = 'butterworth'): FilterDesign {
  return design(warped(fc_Hz, fs_Hz), kind, fs_Hz / fc_Hz);
}

/**
 * Design for two passes: gain 1/√2 at `fc_Hz` after forward and backward. The correction is applied to the warped frequency,
 * wc = tan(π fc/fs) / C (Winter 2009; Robertson & Dowling 2003), where it is exact; applied before the tangent it is not.
 * Throws RangeError unless 0 < fc < fs / 2.
 */
export function zeroLag(fc_Hz: number, fs_Hz: number, kind: FilterKind = 'butterworth'): FilterDesign {
  return design(warped(fc_Hz, fs_Hz) / DUAL_PASS[kind], kind, fs_Hz / fc_Hz);
}

/** Gain of one pass at `f_Hz`; two passes have its square. */
export function filterGain(d: FilterDesign, f_Hz: number, fs_Hz: number): number {
  const w = (2 * Math.PI * f_Hz) / fs_Hz;
  const c1 = Math.cos(w);
  const s1 = Math.sin(w);
  const c2 = Math.cos(2 * w);
  const s2 = Math.sin(2 * w);
  const top = Math.hypot(d.b[0] + d.b[1] * c1 + d.b[2] * c2, d.b[1] * s1 + d.b[2] * s2);
  return top / Math.hypot(1 + d.a[1] * c1 + d.a[2] * c2, d.a[1] * s1 + d.a[2] * s2);
}

/** One cutoff period, at least 9 samples, and never more than one less than the run. */
export function padLength(d: FilterDesign, length: number): number {
  return Math.max(0, Math.min(length - 1, Math.max(LEAST_PAD, Math.ceil(d.period))));
}

/** One pass forward from rest over [from, to). `out` may be `x`. */
export function filterForwardInto(out: Float64Array, x: Float64Array, from: number, to: number, d: FilterDesign): void {
  const [b0, b1, b2] = d.b;
  const [, a1, a2] = d.a;
  let s = 0;
  let t = 0;
  for (let i = from; i < to; i++) {
    const v = x[i]!;
    const y = b0 * v + s;
    s = b1 * v - a1 * y + t;
    t = b2 * v - a2 * y;
    out[i] = y;
  }
}

/**
 * Forward and backward over [from, to), the ends continued by point reflection over `pad` samples (cut to length − 1) and both passes
 * started from the steady state of their first sample. `out` may be `x`. `scratch` needs `pad` places. A constant stays what it is.
 * A NaN inside the run spoils the whole run: run it over present samples only.
 */
export function filtfiltInto(
  out: Float64Array,
  x: Float64Array,
  from: number,
  to: number,
  d: FilterDesign,
  pad = padLength(d, to - from),
  scratch: Float64Array = new Float64Array(pad),
): void {
  const length = to - from;
  if (length <= 0) return;
  const p = Math.min(pad, length - 1);
  const [b0, b1, b2] = d.b;
  const [, a1, a2] = d.a;
  const first = x[from]!;
  const last = x[to - 1]!;
  for (let i = 0; i < p; i++) scratch[i] = 2 * last - x[to - 2 - i]!;
  let v = 2 * first - x[from + p]!;
  let s = d.steady[0] * v;
  let t = d.steady[1] * v;
  let y = 0;
  for (let i = p; i > 0; i--) {
    v = 2 * first - x[from + i]!;
    y = b0 * v + s;
    s = b1 * v - a1 * y + t;
    t = b2 * v - a2 * y;
  }
  for (let i = from; i < to; i++) {
    v = x[i]!;
    y = b0 * v + s;
    s = b1 * v - a1 * y + t;
    t = b2 * v - a2 * y;
    out[i] = y;
  }
  for (let i = 0; i < p; i++) {
    v = scratch[i]!;
    y = b0 * v + s;
    s = b1 * v - a1 * y + t;
    t = b2 * v - a2 * y;
    scratch[i] = y;
  }
  s = d.steady[0] * y;
  t = d.steady[1] * y;
  for (let i = p - 1; i >= 0; i--) {
    v = scratch[i]!;
    y = b0 * v + s;
    s = b1 * v - a1 * y + t;
    t = b2 * v - a2 * y;
  }
  for (let i = to - 1; i >= from; i--) {
    v = out[i]!;
    y = b0 * v + s;
    s = b1 * v - a1 * y + t;
    t = b2 * v - a2 * y;
    out[i] = y;
  }
}

/**
 * Filters planar columns in place, forward and backward, inside runs only: nothing crosses a gap, a cut or the end.
 * `data` holds `columns` columns of `frames` samples; `segments` lists the runs as from0, to0, from1, to1 … (half open), the same for
 * all columns. `pad` as in `filtfiltInto`; by default one cutoff period. Three columns, those of a point, are filtered at a time.
 */
export function filterColumns(
  data: Float64Array,
  frames: number,
  columns: number,
  segments: ArrayLike<number>,
  d: FilterDesign,
  ws: Workspace,
  pad?: number,
): void {
  const scratch = ws.float64(3 * Math.max(pad ?? 0, LEAST_PAD, Math.ceil(d.period)));
  for (let g = 0; g + 1 < segments.length; g += 2) {
    const from = segments[g]!;
    const to = segments[g + 1]!;
    const length = to - from;
    if (length <= 0) continue;
    const p = pad === undefined ? padLength(d, length) : Math.min(pad, length - 1);
    let c = 0;
    for (; c + 2 < columns; c += 3) filterThree(data, c * frames + from, frames, length, d, p, scratch);
    for (; c < columns; c++) filtfiltInto(data, data, c * frames + from, c * frames + to, d, p, scratch);
  }
}

/** States and last outputs of three filters. */
interface Three {
  readonly s: Float64Array;
  readonly t: Float64Array;
  readonly y: Float64Array;
}

const three: Three = { s: new Float64Array(3), t: new Float64Array(3), y: new Float64Array(3) };

/** `filtfiltInto` of three runs of one array, `stride` apart: their recursions hide each other's waiting. `scratch` needs three times `p` places. */
function filterThree(
  data: Float64Array,
  from: number,
  stride: number,
  length: number,
  d: FilterDesign,
  p: number,
  scratch: Float64Array,
): void {
  const { y } = three;
  for (let c = 0; c < 3; c++) {
    const o = from + c * stride;
    const first = 2 * data[o]!;
    for (let i = 0; i < p; i++) scratch[c * p + i] = first - data[o + p - i]!;
    y[c] = first - data[o + p]!;
  }
  settle(three, d);
  passThree(scratch, 0, p, 1, p, d, three);
  for (let c = 0; c < 3; c++) {
    const end = from + c * stride + length - 1;
    const last = 2 * data[end]!;
    for (let i = 0; i < p; i++) scratch[c * p + i] = last - data[end - 1 - i]!;
  }
  passThree(data, from, stride, 1, length, d, three);
  passThree(scratch, 0, p, 1, p, d, three);
  settle(three, d);
  passThree(scratch, p - 1, p, -1, p, d, three);
  passThree(data, from + length - 1, stride, -1, length, d, three);
}

/** The states that a constant of the last outputs settles to. */
function settle({ s, t, y }: Three, { steady }: FilterDesign): void {
  for (let c = 0; c < 3; c++) {
    s[c] = steady[0] * y[c]!;
    t[c] = steady[1] * y[c]!;
  }
}

/** One pass in place over `count` samples of three columns from `from`, `stride` apart, forward (`way` 1) or backward (−1). */
function passThree(
  data: Float64Array,
  from: number,
  stride: number,
  way: 1 | -1,
  count: number,
  d: FilterDesign,
  { s, t, y }: Three,
): void {
  const [b0, b1, b2] = d.b;
  const [, a1, a2] = d.a;
  let s1 = s[0]!;
  let s2 = s[1]!;
  let s3 = s[2]!;
  let t1 = t[0]!;
  let t2 = t[1]!;
  let t3 = t[2]!;
  let y1 = y[0]!;
  let y2 = y[1]!;
  let y3 = y[2]!;
  let i = from;
  for (let n = 0; n < count; n++, i += way) {
    const v1 = data[i]!;
    const v2 = data[i + stride]!;
    const v3 = data[i + 2 * stride]!;
    y1 = b0 * v1 + s1;
    y2 = b0 * v2 + s2;
    y3 = b0 * v3 + s3;
    s1 = b1 * v1 - a1 * y1 + t1;
    s2 = b1 * v2 - a1 * y2 + t2;
    s3 = b1 * v3 - a1 * y3 + t3;
    t1 = b2 * v1 - a2 * y1;
    t2 = b2 * v2 - a2 * y2;
    t3 = b2 * v3 - a2 * y3;
    data[i] = y1;
    data[i + stride] = y2;
    data[i + 2 * stride] = y3;
  }
  s[0] = s1;
  s[1] = s2;
  s[2] = s3;
  t[0] = t1;
  t[1] = t2;
  t[2] = t3;
  y[0] = y1;
  y[1] = y2;
  y[2] = y3;
}
