/** A sensor's samples without the missing ones. */

import type { Vec3 } from '../../model/calibration.ts';
import type { SensorTrack } from '../../model/sensors.ts';
import type { Workspace } from '../../numeric/workspace.ts';

/** Samples in which angular velocity is there; dropped ones are longer steps. Planar arrays have stride `count`. */
export interface Samples {
  readonly count: number;
  readonly times_s: Float64Array;
  /** Sample of the track. */
  readonly source: Float64Array;
  /** Angular velocity with `bias` taken off, rad/s. */
  readonly w: Float64Array;
}

/** `also`: further condition by sample of the track. */
export function presentSamples(
  track: SensorTrack,
  rates: Float64Array,
  bias: Vec3,
  also: (k: number) => boolean,
  ws: Workspace,
): Samples {
  const n = track.times_s.length;
  let count = 0;
  for (let k = 0; k < n; k++) if (isThere(rates, n, k) && also(k)) count += 1;
  const times_s = ws.float64(count);
  const source = ws.float64(count);
  const w = ws.float64(3 * count);
  let at = 0;
  for (let k = 0; k < n; k++) {
    if (!isThere(rates, n, k) || !also(k)) continue;
    times_s[at] = track.times_s[k]!;
    source[at] = k;
    for (let c = 0; c < 3; c++) w[c * count + at] = rates[c * n + k]! - bias[c]!;
    at += 1;
  }
  return { count, times_s, source, w };
}

function isThere(rates: Float64Array, n: number, k: number): boolean {
  return !Number.isNaN(rates[k]! + rates[n + k]! + rates[2 * n + k]!);
}

/** First sample at or after a time; `count` where there is none. */
export function sampleAt(times_s: Float64Array, count: number, time_s: number): number {
  let low = 0;
  let high = count;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (times_s[middle]! < time_s) low = middle + 1;
    else high = middle;
  }
  return low;
}
