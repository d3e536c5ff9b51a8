/** A knock in the specific force of one sensor. */

import type { SensorTrack } from '../../model/sensors.ts';
import { median } from '../../numeric/statistics.ts';
import { norm } from '../../numeric/vector.ts';

/** A stamped foot or a tap is felt with 20 m/s² and more; a body that settles with 1 or 2 (choice of this program; no source). */
const LEAST_mPerS2 = 4;
const LEAST_NOISE = 8;
/** Its strongest sample follows the first within this, from below a fifth: a swing or a step rises more slowly. */
const RISE_s = 0.03;
const RISE_FROM = 0.2;
/** The pulse ends where it has fallen to this share. */
const END = 0.02;
const LONGEST_s = 0.04;

/**
 * Time of the first sharp shock between two times of the sensor's own clock, by the centroid of its first pulse along its own direction: between
 * samples, and the same however hard it is felt. A pulse of two samples is placed to a tenth of a sample, longer ones better. Null where there
 * is none.
 */
export function knockTime(track: SensorTrack, from_s: number, to_s: number): number | null {
  const { acc, times_s } = track;
  if (acc === null) return null;
  const n = times_s.length;
  let first = 0;
  while (first < n && times_s[first]! < from_s) first += 1;
  let last = first;
  while (last < n && times_s[last]! <= to_s) last += 1;
  if (last - first < 5) return null;
  const base = [0, 1, 2].map((c) => median(present(acc.subarray(c * n + first, c * n + last))));
  const away = new Float64Array(last - first);
  const v = [0, 0, 0];
  for (let k = first; k < last; k++) {
    for (let c = 0; c < 3; c++) v[c] = acc[c * n + k]! - base[c]!;
    away[k - first] = norm(v);
  }
  const usual = median(present(away));
  const level = Math.max(LEAST_mPerS2, LEAST_NOISE * usual);
  for (let k = 1; k < away.length; k++) {
    if (!(away[k]! > level)) continue;
    let top = k;
    for (let i = k; i < away.length && times_s[first + i]! - times_s[first + k]! <= RISE_s; i++) {
      if (away[i]! > away[top]!) top = i;
    }
    if (sharp(away, times_s, first, top)) return centroid(acc, times_s, n, first + top, base);
    while (k < away.length && away[k]! > level) k += 1;
  }
  return null;
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
