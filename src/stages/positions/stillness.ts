/** P1 and P10: the end and the beginning of stillness. */

import type { Track } from '../../model/track.ts';
import { filterGain, filtfiltInto, LEAST_PAD, padLength, zeroLag } from '../../numeric/butterworth.ts';
import { differentiate } from '../../numeric/derivative.ts';
import { interpolateDerivative, interpolateValue } from '../../numeric/interpolate.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { noiseOf } from './strikeFit.ts';

/** Definitions 6. */
const STILL_mPerS = 0.1;
const LEAST_STILL_s = 0.15;
export const MEAN_WINDOW_s = 0.1;
const SLOWEST_SEARCH_s = 1.5;
const NOISE_FACTOR = 1.5;
/** 99.9 % point of the length of a standard normal three-vector: χ with three degrees of freedom, √16.266. */
const CHI3_999 = 4.0331;
/** The slope at the threshold is read from the same noisy speed: widens the spread (measured on invented swings). */
const SLOPE_FACTOR = 1.15;
/** A point this fast at the edge of the recording is in the swing, not at address or finish. */
const IN_SWING_mPerS = 0.5;
/** The takeaway is the last moment slower than this before P2. */
const TAKEAWAY_mPerS = 0.5;
/** A slowest stretch faster than this is no address and no finish. */
const NO_REST_mPerS = 1.5;

export interface SpeedSeries {
  readonly speed: Float64Array;
  readonly threshold: number;
  /** Standard deviation of a component of the velocity when still. */
  readonly noise: number;
  readonly rate_Hz: number;
}

/**
 * Speed of a point in [from, to), m/s, each run of samples filtered by itself (zero-lag, `cutoff_Hz`; null: as it is), derivative by the
 * five-point rule; NaN elsewhere. The threshold of stillness is the larger of 0.10 m/s and 1.5 × the 99.9 % point of the speed that noise shows.
 */
export function speedOf(
  track: Track<3>,
  from: number,
  to: number,
  cutoff_Hz: number | null,
  ws: Workspace,
): SpeedSeries {
  const { frames, rate_Hz } = track.clock;
  const speed = ws.float64(frames);
  speed.fill(Number.NaN);
  const filter = cutoff_Hz !== null && cutoff_Hz < rate_Hz / 2 ? zeroLag(cutoff_Hz, rate_Hz) : null;
  const smooth = ws.float64(frames);
  const rate = ws.float64(frames);
  const sum = ws.float64(frames);
  const pad = filter === null ? 0 : padLength(filter, frames);
  const scratch = ws.float64(Math.max(pad, frames));
  for (let f = from; f < to; f++) {
    if (Number.isNaN(track.data[f])) continue;
    const start = f;
    while (f < to && !Number.isNaN(track.data[f])) f += 1;
    if (f - start <= LEAST_PAD) continue;
    sum.fill(0, start, f);
    for (let c = 0; c < 3; c++) {
      const column = track.data.subarray(c * frames, (c + 1) * frames);
      if (filter !== null) filtfiltInto(smooth, column, start, f, filter, padLength(filter, f - start), scratch);
      differentiate(rate, filter === null ? column : smooth, start, f, rate_Hz, 5);
      for (let i = start; i < f; i++) sum[i] = sum[i]! + rate[i]! * rate[i]!;
    }
    for (let i = start; i < f; i++) speed[i] = Math.sqrt(sum[i]!);
  }
  const noise = noiseOf(track) * velocityGain(filter, rate_Hz);
  return { speed, threshold: stillnessThreshold(noise), noise, rate_Hz };
}

/** Speed below which a point is still, m/s: the larger of 0.10 and 1.5 × the 99.9 % point of the speed that noise of a component shows. */
export function stillnessThreshold(noise: number): number {
  return Math.max(STILL_mPerS, NOISE_FACTOR * CHI3_999 * noise);
}

/** Standard deviation of the velocity over that of white noise of the place, 1/s: the filter twice, then the five-point derivative. */
function velocityGain(filter: ReturnType<typeof zeroLag> | null, rate_Hz: number): number {
  const steps = 128;
  let power = 0;
  for (let i = 0; i < steps; i++) {
    const f_Hz = ((i + 0.5) * rate_Hz) / (2 * steps);
    const w = (2 * Math.PI * f_Hz) / rate_Hz;
    const derivative = (rate_Hz * (8 * Math.sin(w) - Math.sin(2 * w))) / 6;
    const gain = filter === null ? 1 : filterGain(filter, f_Hz, rate_Hz);
    power += gain * gain * gain * gain * derivative * derivative;
  }
  return Math.sqrt(power / steps);
}

export type Rest =
  | {
      readonly kind: 'still' | 'slowest';
      readonly time_s: number;
      readonly sd_s: number;
      readonly window_s: readonly [number, number];
      /** Mean speed of the window, m/s. */
      readonly speed: number;
    }
  | { readonly kind: 'missing'; readonly code: string; readonly needed: string };

/** Address: going back from frame `before` (P2 or what stands for it). */
export function findAddress(s: SpeedSeries, before: number): Rest {
  const takeaway = takeawayFrame(s, before);
  const earliest = Math.max(0, Math.floor(takeaway - SLOWEST_SEARCH_s * s.rate_Hz));
  const least = LEAST_STILL_s * s.rate_Hz;
  let end = -1;
  for (let f = before; f >= earliest; f--) {
    if (!(s.speed[f]! < s.threshold)) {
      end = -1;
      continue;
    }
    if (end < 0) end = f;
    if (end - f >= least) return restAt(s, end, end + 1, -1);
  }
  return slowest(s, earliest, Math.min(before, takeaway + 1), -1);
}

/** Finish: going on from frame `after` (P9 or what stands for it). */
export function findFinish(s: SpeedSeries, after: number): Rest {
  const frames = s.speed.length;
  const least = LEAST_STILL_s * s.rate_Hz;
  let start = -1;
  const first = Math.max(0, after);
  for (let f = first; f < frames; f++) {
    const still = s.speed[f]! < s.threshold;
    if (!still) {
      start = -1;
      continue;
    }
    if (start < 0) start = f;
    if (f - start >= least) return restAt(s, start > first ? start - 1 : start, start, 1);
  }
  return slowest(s, first, frames, 1);
}

/** The sub-frame passing of the threshold between two frames; the window of 0.1 s lies before it (−1) or after it (1). */
function restAt(s: SpeedSeries, low: number, high: number, side: -1 | 1): Rest {
  const n = s.speed.length;
  const edge = side < 0 ? low : high;
  const other = side < 0 ? high : low;
  let frame = edge;
  if (other !== edge && other >= 0 && other < n && !Number.isNaN(s.speed[other])) {
    let a = low;
    let b = high;
    const rising = s.speed[high]! >= s.threshold;
    for (let i = 0; i < 50; i++) {
      const m = (a + b) / 2;
      if (interpolateValue(s.speed, 0, n, m) >= s.threshold === rising) b = m;
      else a = m;
    }
    frame = (a + b) / 2;
  }
  const slope = Math.abs(interpolateDerivative(s.speed, 0, n, frame)) * s.rate_Hz;
  const time_s = frame / s.rate_Hz;
  const sd_s = slope > 0 ? (SLOPE_FACTOR * s.noise) / slope : 0.5 / s.rate_Hz;
  const window = windowOf(time_s, side, n, s.rate_Hz);
  return { kind: 'still', time_s, sd_s: Math.min(sd_s, MEAN_WINDOW_s), window_s: window, speed: 0 };
}

function windowOf(time_s: number, side: -1 | 1, frames: number, rate_Hz: number): readonly [number, number] {
  const last = (frames - 1) / rate_Hz;
  return side < 0 ? [Math.max(0, time_s - MEAN_WINDOW_s), time_s] : [time_s, Math.min(last, time_s + MEAN_WINDOW_s)];
}

function takeawayFrame(s: SpeedSeries, before: number): number {
  for (let f = before; f >= 0; f--) if (s.speed[f]! < Math.max(TAKEAWAY_mPerS, 1.5 * s.threshold)) return f;
  return before;
}

/** The slowest 0.1 s of [from, to). */
function slowest(s: SpeedSeries, from: number, to: number, side: -1 | 1): Rest {
  const span = Math.max(1, Math.round(MEAN_WINDOW_s * s.rate_Hz));
  let best = -1;
  let least = Number.POSITIVE_INFINITY;
  for (let f = from; f + span < to; f++) {
    let sum = 0;
    for (let i = f; i <= f + span; i++) sum += s.speed[i]!;
    if (sum < least) {
      least = sum;
      best = f;
    }
  }
  const code = side < 0 ? 'recording-begins-later' : 'recording-ends-earlier';
  const needed = side < 0 ? 'a recording that begins before the takeaway' : 'a recording that lasts until the finish';
  if (best < 0) return { kind: 'missing', code, needed };
  const mean = least / (span + 1);
  const atEdge = side < 0 ? isFirst(s, best) : isLast(s, best + span);
  if (mean > NO_REST_mPerS || (atEdge && mean > IN_SWING_mPerS)) return { kind: 'missing', code, needed };
  const frame = side < 0 ? best + span : best;
  const time_s = frame / s.rate_Hz;
  return {
    kind: 'slowest',
    time_s,
    sd_s: MEAN_WINDOW_s / Math.sqrt(12),
    window_s: side < 0 ? [best / s.rate_Hz, time_s] : [time_s, (best + span) / s.rate_Hz],
    speed: mean,
  };
}

function isFirst(s: SpeedSeries, frame: number): boolean {
  for (let f = 0; f < frame - 2; f++) if (!Number.isNaN(s.speed[f])) return false;
  return true;
}

function isLast(s: SpeedSeries, frame: number): boolean {
  for (let f = frame + 3; f < s.speed.length; f++) if (!Number.isNaN(s.speed[f])) return false;
  return true;
}
