/** Elevation of a direction and where it passes the horizontal. */

import type { Track } from '../../model/track.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { FOR_VALUES, fitAround, fitted, type LocalFit, rootNear, sdOf } from './localFit.ts';

/** A series of angles (rad) with the noise of a sample. */
export interface AngleSeries {
  readonly data: Float64Array;
  readonly noise: number;
  /** Of the direction it came from. */
  readonly state: Uint8Array;
}

/** Elevation above the horizontal of a direction track, rad; + up; NaN where missing. */
export function elevationOf(track: Track<3>, ws: Workspace): AngleSeries {
  const { frames } = track.clock;
  const data = ws.float64(frames);
  for (let f = 0; f < frames; f++) {
    const x = track.data[f]!;
    const y = track.data[frames + f]!;
    const z = track.data[2 * frames + f]!;
    data[f] = Math.atan2(y, Math.sqrt(x * x + z * z));
  }
  return { data, noise: track.noise, state: track.state };
}

/** A passing of the horizontal, in frames. */
export interface Passing {
  /** NaN where the passing itself lies in a gap: the series is on the other side after it. */
  readonly frame: number;
  readonly rising: boolean;
}

/** Chatter of noise around the level is not a passing: the series must leave this many standard deviations to both sides. */
const HYSTERESIS_SD = 4;
const LEAST_HYSTERESIS_rad = 0.002;

/** Passings of the horizontal in [from, to), to the frame (the last change of sign before the other side is reached for certain). */
export function passings(series: AngleSeries, from: number, to: number): Passing[] {
  const band = Math.max(LEAST_HYSTERESIS_rad, HYSTERESIS_SD * (Number.isFinite(series.noise) ? series.noise : 0));
  const found: Passing[] = [];
  let side = 0;
  let change = -1;
  for (let f = from; f < to; f++) {
    const e = series.data[f]!;
    if (Number.isNaN(e)) continue;
    if (f > from) {
      const before = series.data[f - 1]!;
      if (!Number.isNaN(before) && before >= 0 !== e >= 0) change = f - 1 + before / (before - e);
      else if (Number.isNaN(before)) change = Number.NaN;
    }
    if (Math.abs(e) <= band) continue;
    const now = e > 0 ? 1 : -1;
    if (side !== 0 && now !== side && !(change < from)) found.push({ frame: change, rising: now > 0 });
    if (side === 0 || now !== side) side = now;
  }
  return found;
}

export interface Timed {
  readonly time_s: number;
  readonly sd_s: number;
  /** Rate of the angle there, rad/s. */
  readonly rate_radPerS: number;
  readonly filled: boolean;
}

/** Widest half-window of a crossing, seconds; a fast crossing needs less: this many radians to each side. */
const WIDEST_s = 0.06;
const LEAST_s = 0.015;
const WIDEST_rad = 0.6;

/** Half-window of a local fit where the angle changes at `rate` (rad/s), seconds. */
export function widestWindow(rate: number): number {
  return rate > 0 ? Math.min(WIDEST_s, Math.max(LEAST_s, WIDEST_rad / rate)) : WIDEST_s;
}

/** Sub-frame time of a passing by the local quintic inside [from, to). Null where there are fewer than six samples. */
export function timePassing(
  series: AngleSeries,
  passing: Passing,
  from: number,
  to: number,
  rate_Hz: number,
  fit: LocalFit,
): Timed | null {
  const near = Math.floor(passing.frame);
  const slope = Math.abs(series.data[near + 1]! - series.data[near]!) * rate_Hz;
  const widest = widestWindow(slope);
  if (!fitAround(series.data, passing.frame, from, to, rate_Hz, series.noise, widest, FOR_VALUES, fit)) return null;
  const root = rootNear(fit, passing.frame, Math.max(2, 0.01 * rate_Hz), 0, 0);
  if (Number.isNaN(root)) return null;
  const rate = fitted(fit, root, 1) * rate_Hz;
  return {
    time_s: root / rate_Hz,
    sd_s: sdOf(fit, root, 0) / Math.abs(rate),
    rate_radPerS: rate,
    filled: isFilled(series.state, root),
  };
}

/** True where one of the samples beside a sub-frame time was filled. */
export function isFilled(state: Uint8Array, frame: number): boolean {
  const f = Math.floor(frame);
  return (state[f] ?? 0) > 1 || (state[f + 1] ?? 0) > 1;
}

/** Largest value of the series in [from, to); NaN where none is present. */
export function highest(series: AngleSeries, from: number, to: number): number {
  let best = Number.NaN;
  for (let f = from; f < to; f++) {
    const e = series.data[f]!;
    if (!(e <= best) && !Number.isNaN(e)) best = e;
  }
  return best;
}
