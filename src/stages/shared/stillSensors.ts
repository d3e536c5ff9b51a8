/** Where a sensor is still. */

import type { Vec3 } from '../../model/calibration.ts';
import type { SensorTrack } from '../../model/sensors.ts';
import { norm } from '../../numeric/vector.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { bodyRates } from '../sensors/bodyRates.ts';

const DEG = Math.PI / 180;

/** What counts as still. */
export interface StillRule {
  /** Largest angular velocity, bias taken off, mean over 50 ms, rad/s. */
  readonly rate_radPerS: number;
  /** Shortest stretch, s. */
  readonly least_s: number;
}

/**
 * 3°/s: a club head 1.7 m from the chest then moves at 0.09 m/s, below the 0.10 m/s at which address ends (definitions 6), and someone who
 * stands still sways at 1 to 2°/s. 0.15 s is the stillness that address needs.
 */
export const STILL: StillRule = { rate_radPerS: 3 * DEG, least_s: 0.15 };
/** Stiller: 1°/s keeps the slow begin of a takeaway out of a bias. */
export const QUITE_STILL: StillRule = { rate_radPerS: 1 * DEG, least_s: 0.3 };

/** Mean over 50 ms against the mean over 300 ms: half a m/s² (rest of Laidig and Seel 2023); and against 9.81 that and 3 % of scale. */
const FORCE_mPerS2 = 0.5;
export const GRAVITY_mPerS2 = 9.81;
const GRAVITY_OFF_mPerS2 = FORCE_mPerS2 + 0.03 * GRAVITY_mPerS2;
const SHORT_s = 0.05;
const LONG_s = 0.3;
/** A longer step ends a stretch. */
const GAP_s = 0.1;
/** Where no bias is known: that of the half second that varies least, unless it is a turn. */
const QUIETEST_s = 0.5;
const LARGEST_BIAS_radPerS = 10 * DEG;

/** Samples [from, to) of a track. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** A sensor's rates and running sums, so that means over any window cost nothing. Memory of the workspace. */
export interface StillSearch {
  readonly track: SensorTrack;
  /** Angular velocity, planar 3 × n, NaN where missing: the gyro, or that of the file's orientations; null where there is neither. */
  readonly rates: Float64Array | null;
  /** What is taken for the bias while stillness is sought, rad/s. */
  readonly bias: Vec3;
  readonly rateSums: Float64Array | null;
  readonly forceSums: Float64Array | null;
}

/** Prepares a search; `bias` null: that of the quietest half second. */
export function stillSearch(track: SensorTrack, bias: Vec3 | null, ws: Workspace): StillSearch {
  const rates = bodyRates(track, ws);
  const rateSums = rates === null ? null : sums(rates, track.times_s.length, ws);
  const forceSums = track.acc === null ? null : sums(track.acc, track.times_s.length, ws);
  const known = bias !== null && Number.isFinite(bias[0] + bias[1] + bias[2]) ? bias : null;
  const off = track.gyro === null ? [0, 0, 0] : (known ?? quietest(track, rates, rateSums));
  return { track, rates, bias: off as Vec3, rateSums, forceSums };
}

/** Running sums of three axes and the count of present samples: 4 × (n + 1). */
function sums(data: Float64Array, n: number, ws: Workspace): Float64Array {
  const out = ws.float64(4 * (n + 1));
  out[0] = out[n + 1] = out[2 * (n + 1)] = out[3 * (n + 1)] = 0;
  for (let k = 0; k < n; k++) {
    const there = !Number.isNaN(data[k]! + data[n + k]! + data[2 * n + k]!);
    for (let c = 0; c < 3; c++) {
      const at = c * (n + 1) + k;
      out[at + 1] = out[at]! + (there ? data[c * n + k]! : 0);
    }
    out[3 * (n + 1) + k + 1] = out[3 * (n + 1) + k]! + (there ? 1 : 0);
  }
  return out;
}

/** Mean of [from, to) into `out`; false where nothing is there. */
function meanInto(sum: Float64Array, n: number, from: number, to: number, out: Float64Array): boolean {
  const row = 3 * (n + 1);
  const count = sum[row + to]! - sum[row + from]!;
  for (let c = 0; c < 3; c++) out[c] = (sum[c * (n + 1) + to]! - sum[c * (n + 1) + from]!) / count;
  return count > 0;
}

function quietest(track: SensorTrack, rates: Float64Array | null, sum: Float64Array | null): Vec3 {
  if (rates === null || sum === null) return [0, 0, 0];
  const n = track.times_s.length;
  const width = Math.min(n, Math.max(2, Math.round(QUIETEST_s * track.rate_Hz)));
  const mean = new Float64Array(3);
  let best: Vec3 = [0, 0, 0];
  let least = Number.POSITIVE_INFINITY;
  let squares = 0;
  let present = 0;
  const take = (k: number, sign: 1 | -1): void => {
    const q = rates[k]! * rates[k]! + rates[n + k]! * rates[n + k]! + rates[2 * n + k]! * rates[2 * n + k]!;
    if (Number.isNaN(q)) return;
    squares += sign * q;
    present += sign;
  };
  for (let k = 0; k < n; k++) {
    take(k, 1);
    if (k >= width) take(k - width, -1);
    if (k < width - 1 || 2 * present < width || !meanInto(sum, n, k + 1 - width, k + 1, mean)) continue;
    const size = norm(mean);
    const variance = squares / present - size * size;
    if (variance < least) {
      least = variance;
      best = size > LARGEST_BIAS_radPerS ? [0, 0, 0] : [mean[0]!, mean[1]!, mean[2]!];
    }
  }
  return best;
}

const short = new Float64Array(3);
const long = new Float64Array(3);

/** Largest angular velocity, mean over 50 ms, bias taken off, and its time; null without rates. */
export function fastestMoment(search: StillSearch): { readonly time_s: number; readonly rate_radPerS: number } | null {
  const { track, bias, rateSums } = search;
  if (rateSums === null) return null;
  const n = track.times_s.length;
  const half = Math.max(1, Math.round(0.5 * SHORT_s * track.rate_Hz));
  let best = -1;
  let most = -1;
  for (let k = 0; k < n; k++) {
    if (!meanInto(rateSums, n, Math.max(0, k - half), Math.min(n, k + half + 1), short)) continue;
    for (let c = 0; c < 3; c++) short[c] = short[c]! - bias[c]!;
    const size = norm(short);
    if (size > most) {
      most = size;
      best = k;
    }
  }
  return best < 0 ? null : { time_s: track.times_s[best]!, rate_radPerS: most };
}

/**
 * Stretches in which a sensor is still, in order of time: angular velocity below the rule and specific force steady and as long as gravity.
 * Missing and clipped samples and steps over 0.1 s end a stretch. Without gyro and orientations there are none.
 */
export function stillStretches(search: StillSearch, rule: StillRule): Stretch[] {
  const { track, rateSums } = search;
  if (rateSums === null) return [];
  const { times_s } = track;
  const n = times_s.length;
  const found: Stretch[] = [];
  let from = -1;
  const close = (to: number): void => {
    if (from >= 0 && times_s[to - 1]! - times_s[from]! >= rule.least_s) found.push({ from, to });
    from = -1;
  };
  for (let k = 0; k < n; k++) {
    if (k > 0 && times_s[k]! - times_s[k - 1]! > GAP_s) close(k);
    if (isStill(search, k, rule)) {
      if (from < 0) from = k;
    } else close(k);
  }
  close(n);
  return found;
}

function isStill({ track, rates, bias, rateSums, forceSums }: StillSearch, k: number, rule: StillRule): boolean {
  const n = track.times_s.length;
  if (track.clipped[k] !== 0 || Number.isNaN(rates![k]!)) return false;
  const half = Math.max(1, Math.round(0.5 * SHORT_s * track.rate_Hz));
  const low = Math.max(0, k - half);
  const high = Math.min(n, k + half + 1);
  if (!meanInto(rateSums!, n, low, high, short)) return false;
  for (let c = 0; c < 3; c++) short[c] = short[c]! - bias[c]!;
  if (!(norm(short) <= rule.rate_radPerS)) return false;
  if (forceSums === null) return true;
  if (!meanInto(forceSums, n, low, high, short)) return false;
  const wide = Math.max(1, Math.round(0.5 * LONG_s * track.rate_Hz));
  meanInto(forceSums, n, Math.max(0, k - wide), Math.min(n, k + wide + 1), long);
  const size = norm(short);
  for (let c = 0; c < 3; c++) short[c] = short[c]! - long[c]!;
  return norm(short) <= FORCE_mPerS2 && Math.abs(size - GRAVITY_mPerS2) <= GRAVITY_OFF_mPerS2;
}
