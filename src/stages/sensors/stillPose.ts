/** What a sensor shows while its wearer stands still: where up is in its axes, its bias, and how still it was. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { Vec3 } from '../../model/calibration.ts';
import type { SensorTrack } from '../../model/sensors.ts';
import { norm } from '../../numeric/vector.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { bodyRates } from './bodyRates.ts';

export interface StillPose {
  /** Unit vector in sensor axes that points up. */
  readonly up: Vec3;
  /** Mean angular velocity, rad/s: the gyro's bias; zero where the angular velocity is that of the file's orientations. */
  readonly bias_radPerS: Vec3;
  /** Standard deviation of the angular velocity, rad/s: root of the mean over the three axes. */
  readonly stillness_radPerS: number;
  /** Length of the mean specific force, m/s²; NaN without an accelerometer. */
  readonly gravity_mPerS2: number;
  /** First and last sample. */
  readonly from: number;
  readonly to: number;
}

/** Two seconds leave 0.005°/s of bias at 0.1°/s of noise and 200 Hz, and average the sway of standing, whose period is about as long. */
const STRETCH_s = 2;
const SHORTEST_s = 0.5;

/**
 * The stillest 2 s of a recording (all of one that is shorter): the stretch whose angular velocity varies least. Up is the mean specific
 * force, or without an accelerometer the vertical of the file's orientations. Absent below 0.5 s and without angular velocity.
 */
export function stillPose(track: SensorTrack, ws: Workspace): Avail<StillPose> {
  const w = bodyRates(track, ws);
  if (w === null) return absent('no-gyro', `a gyro or orientations of the sensor ${track.name}`);
  const n = track.times_s.length;
  const wanted = Math.min(n, Math.round(STRETCH_s * track.rate_Hz));
  if (wanted < SHORTEST_s * track.rate_Hz) return absent('too-short', `half a second of the sensor ${track.name}`);
  const from = stillest(w, n, wanted);
  if (from < 0) return absent('too-short', `half a second without gaps of the sensor ${track.name}`);
  const to = from + wanted - 1;
  const bias = meanOf(w, n, from, to);
  const up = new Float64Array(3);
  const force = track.acc === null ? null : meanOf(track.acc, n, from, to);
  if (force !== null) up.set(force);
  else if (track.orientation.ok) up.set(verticalOf(track.orientation.value, from, to));
  const length = norm(up);
  if (!(length > 0)) return absent('no-gravity', `an accelerometer or orientations of the sensor ${track.name}`);
  return present({
    up: [up[0]! / length, up[1]! / length, up[2]! / length],
    bias_radPerS: track.gyro === null ? [0, 0, 0] : bias,
    stillness_radPerS: spreadOf(w, n, from, to, bias),
    gravity_mPerS2: force === null ? Number.NaN : length,
    from,
    to,
  });
}

/** First sample of the stretch of `count` whose variance is least, among those at least half of whose samples are there; −1 without one. */
function stillest(w: Float64Array, n: number, count: number): number {
  let best = -1;
  let least = Number.POSITIVE_INFINITY;
  const sum = new Float64Array(3);
  let squares = 0;
  let present = 0;
  const take = (k: number, sign: 1 | -1): void => {
    const x = w[k]!;
    const y = w[n + k]!;
    const z = w[2 * n + k]!;
    if (Number.isNaN(x + y + z)) return;
    present += sign;
    sum[0] = sum[0]! + sign * x;
    sum[1] = sum[1]! + sign * y;
    sum[2] = sum[2]! + sign * z;
    squares += sign * (x * x + y * y + z * z);
  };
  for (let k = 0; k < n; k++) {
    take(k, 1);
    if (k >= count) take(k - count, -1);
    if (k < count - 1 || 2 * present < count) continue;
    const mean = sum[0]! * sum[0]! + sum[1]! * sum[1]! + sum[2]! * sum[2]!;
    const variance = squares / present - mean / (present * present);
    if (variance < least) {
      least = variance;
      best = k - count + 1;
    }
  }
  return best;
}

function meanOf(data: Float64Array, n: number, from: number, to: number): Vec3 {
  const sum = [0, 0, 0];
  let count = 0;
  for (let k = from; k <= to; k++) {
    if (Number.isNaN(data[k]! + data[n + k]! + data[2 * n + k]!)) continue;
    count += 1;
    for (let c = 0; c < 3; c++) sum[c] = sum[c]! + data[c * n + k]!;
  }
  return [sum[0]! / count, sum[1]! / count, sum[2]! / count];
}

function spreadOf(w: Float64Array, n: number, from: number, to: number, mean: Vec3): number {
  let squares = 0;
  let count = 0;
  for (let k = from; k <= to; k++) {
    for (let c = 0; c < 3; c++) {
      const d = w[c * n + k]! - mean[c]!;
      if (Number.isNaN(d)) continue;
      squares += d * d;
      count += 1;
    }
  }
  return Math.sqrt(squares / count);
}

/** Mean of the world's Y axis in sensor axes: the second row of R_world_sensor. */
function verticalOf(R: Float64Array, from: number, to: number): Vec3 {
  const sum: [number, number, number] = [0, 0, 0];
  for (let k = from; k <= to; k++) {
    if (Number.isNaN(R[9 * k + 3]!)) continue;
    for (let c = 0; c < 3; c++) sum[c] = sum[c]! + R[9 * k + 3 + c]!;
  }
  return sum;
}
