/** Knocks in the specific force of one sensor: sharp shocks out of stillness. */

import type { SensorTrack } from '../../model/sensors.ts';
import { median } from '../../numeric/statistics.ts';
import { norm } from '../../numeric/vector.ts';
import { sampleAt } from './samples.ts';

/** A stamped foot or a tap is felt with 20 m/s² and more; a body that settles with 1 or 2 (choice of this program; no source). */
const LEAST_mPerS2 = 4;
const LEAST_NOISE = 8;
/** Its strongest sample follows the first within this, from below a fifth: a swing or a step rises more slowly. */
const RISE_s = 0.03;
const RISE_FROM = 0.2;
/** The pulse ends where it has fallen to this share. */
const END = 0.02;
const LONGEST_s = 0.04;

/** Long recordings are searched in windows of this, half of it apart: what is usual in one says nothing of another. */
const WINDOW_s = 1;
/** Shocks nearer to one another are one: its ringing, a heel and then the sole. */
const APART_s = 0.1;
/** Of one, the first that is felt with this share of its strongest. */
const MAIN = 0.5;

export interface SharpShock {
  /** Centroid of its pulse, seconds of the track's times. */
  readonly time_s: number;
  /** Strongest sample away from what is usual, m/s². */
  readonly size_mPerS2: number;
}

/**
 * Time of the first sharp shock between two times that count from the sensor's own first sample, by the centroid of its first pulse along its
 * own direction: between samples, and the same however hard it is felt. A pulse of two samples is placed to a tenth of a sample, longer ones
 * better. In seconds of the track's times; null where there is none.
 */
export function knockTime(track: SensorTrack, from_s: number, to_s: number): number | null {
  const zero_s = track.times_s[0] ?? 0;
  return shocksBetween(track, zero_s + from_s, zero_s + to_s, 1)[0]?.time_s ?? null;
}

/** Sharp shocks between two times of the track, in order of time, each once; weak ones beside a strong one within 0.1 s are part of it. */
export function sharpShocks(track: SensorTrack, from_s: number, to_s: number): readonly SharpShock[] {
  const all: SharpShock[] = [];
  for (let from = from_s; from < to_s; from += 0.5 * WINDOW_s) {
    all.push(...shocksBetween(track, from, Math.min(from + WINDOW_s, to_s), Number.POSITIVE_INFINITY));
  }
  all.sort((a, b) => a.time_s - b.time_s);
  const found: SharpShock[] = [];
  for (let k = 0; k < all.length; ) {
    let end = k + 1;
    while (end < all.length && all[end]!.time_s - all[end - 1]!.time_s < APART_s) end += 1;
    const group = all.slice(k, end);
    const size_mPerS2 = Math.max(...group.map((one) => one.size_mPerS2));
    found.push({ time_s: group.find((one) => one.size_mPerS2 >= MAIN * size_mPerS2)!.time_s, size_mPerS2 });
    k = end;
  }
  return found;
}

/** The first `most` sharp shocks in one window of the track's times. */
function shocksBetween(track: SensorTrack, from_s: number, to_s: number, most: number): SharpShock[] {
  const { acc, times_s } = track;
  if (acc === null) return [];
  const n = times_s.length;
  const first = sampleAt(times_s, n, from_s);
  let last = first;
  while (last < n && times_s[last]! <= to_s) last += 1;
  if (last - first < 5) return [];
  const base = [0, 1, 2].map((c) => median(present(acc.subarray(c * n + first, c * n + last))));
  const away = new Float64Array(last - first);
  const v = [0, 0, 0];
  for (let k = first; k < last; k++) {
    for (let c = 0; c < 3; c++) v[c] = acc[c * n + k]! - base[c]!;
    away[k - first] = norm(v);
  }
  const usual = median(present(away));
  const level = Math.max(LEAST_mPerS2, LEAST_NOISE * usual);
  const found: SharpShock[] = [];
  for (let k = 1; k < away.length; k++) {
    if (!(away[k]! > level)) continue;
    let top = k;
    for (let i = k; i < away.length && times_s[first + i]! - times_s[first + k]! <= RISE_s; i++) {
      if (away[i]! > away[top]!) top = i;
    }
    if (sharp(away, times_s, first, top)) {
      found.push({ time_s: centroid(acc, times_s, n, first + top, base), size_mPerS2: away[top]! });
      if (found.length >= most) return found;
      k = top;
    }
    while (k < away.length && away[k]! > level) k += 1;
  }
  return found;
}

function present(x: Float64Array): Float64Array {
  return x.filter((v) => !Number.isNaN(v));
}

/** True where some sample within the rise before the top is below a fifth of it. */
function sharp(away: Float64Array, times: Float64Array, first: number, top: number): boolean {
  for (let i = top - 1; i >= 0 && times[first + top]! - times[first + i]! <= RISE_s; i--) {
    if (away[i]! <= RISE_FROM * away[top]!) return true;
  }
  return false;
}

/** Centroid in time of the pulse around sample `top`, along the direction it has there; each sample weighs its half steps. */
function centroid(acc: Float64Array, times: Float64Array, n: number, top: number, base: readonly number[]): number {
  const d = [0, 1, 2].map((c) => acc[c * n + top]! - base[c]!);
  const size = norm(d);
  const along = (k: number): number => {
    let sum = 0;
    for (let c = 0; c < 3; c++) sum += (acc[c * n + k]! - base[c]!) * (d[c]! / size);
    return sum;
  };
  let weight = 0;
  let moment = 0;
  const take = (k: number): void => {
    const step = 0.5 * ((times[Math.min(n - 1, k + 1)] ?? 0) - (times[Math.max(0, k - 1)] ?? 0));
    weight += step * along(k);
    moment += step * along(k) * (times[k]! - times[top]!);
  };
  take(top);
  for (const way of [-1, 1] as const) {
    for (let k = top + way; k >= 0 && k < n && Math.abs(times[k]! - times[top]!) <= LONGEST_s; k += way) {
      if (!(along(k) > END * size)) break;
      take(k);
    }
  }
  return times[top]! + moment / weight;
}
