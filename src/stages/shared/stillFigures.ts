/** What a sensor shows in a still stretch: up, bias, noise. */

import type { Vec3 } from '../../model/calibration.ts';
import type { SensorTrack } from '../../model/sensors.ts';
import { norm } from '../../numeric/vector.ts';
import { GRAVITY_mPerS2, type Stretch } from './stillSensors.ts';

/** What a sensor shows in a still stretch. */
export interface StillFigures {
  readonly duration_s: number;
  readonly samples: number;
  /** Mean specific force, m/s², sensor axes; null without an accelerometer. */
  readonly force_mPerS2: Vec3 | null;
  /** Standard deviation of the direction of the mean specific force per axis, rad: noise, slow accelerations, and what its length is off from 9.81. */
  readonly directionSd_rad: number;
  /** Mean angular velocity, rad/s; null without a gyro. */
  readonly rate_radPerS: Vec3 | null;
  /** White noise of the angular velocity per axis and sample, rad/s, from successive differences, which sway leaves alone. */
  readonly rateNoise_radPerS: number;
  /** Standard deviation of the mean as a bias, rad/s: the noise, and the sway, by which the sensor does not end as it began. */
  readonly rateMeanSd_radPerS: number;
}

const BLOCK_s = 0.1;
/**
 * Net turn of a sway over what of it is left when the mean rate is taken off. Half a period from crest to crest turns by 13 times that (closed
 * form), over all phases 9 times in the root mean square; standing sways at about 0.5 Hz, so that a second is half a period. Longer stretches hide
 * less of it, shorter ones more; whole periods end where they began, up to √2 times what is left.
 */
const HIDDEN_SWAY_s = 9;
const LEAST_HIDDEN = Math.SQRT2;

export function stillFigures(track: SensorTrack, { from, to }: Stretch): StillFigures {
  const { times_s, gyro, acc } = track;
  const n = times_s.length;
  const duration_s = times_s[to - 1]! - times_s[from]!;
  const rate = gyro === null ? null : meanOf(gyro, n, from, to);
  const force = acc === null ? null : meanOf(acc, n, from, to);
  const noise = gyro === null ? Number.NaN : noiseOf(gyro, n, from, to);
  let meanSd = Number.NaN;
  if (gyro !== null && rate !== null) {
    const hidden = Math.max(LEAST_HIDDEN, HIDDEN_SWAY_s / duration_s);
    const sway = (hidden * swayOf(gyro, times_s, n, from, to, rate)) / duration_s;
    meanSd = Math.sqrt((noise * noise) / (to - from) + sway * sway);
  }
  return {
    duration_s,
    samples: to - from,
    force_mPerS2: force,
    directionSd_rad: force === null ? Number.NaN : directionSd(acc!, track, from, to, force),
    rate_radPerS: rate,
    rateNoise_radPerS: noise,
    rateMeanSd_radPerS: meanSd,
  };
}

function meanOf(data: Float64Array, n: number, from: number, to: number): Vec3 {
  const sum = [0, 0, 0];
  let count = 0;
  for (let k = from; k < to; k++) {
    if (Number.isNaN(data[k]! + data[n + k]! + data[2 * n + k]!)) continue;
    count += 1;
    for (let c = 0; c < 3; c++) sum[c] = sum[c]! + data[c * n + k]!;
  }
  return [sum[0]! / count, sum[1]! / count, sum[2]! / count];
}

/** Root mean square of successive differences over √2, per axis. */
function noiseOf(data: Float64Array, n: number, from: number, to: number): number {
  let squares = 0;
  let count = 0;
  for (let k = from + 1; k < to; k++) {
    for (let c = 0; c < 3; c++) {
      const d = data[c * n + k]! - data[c * n + k - 1]!;
      if (Number.isNaN(d)) continue;
      squares += d * d;
      count += 1;
    }
  }
  return count > 0 ? Math.sqrt(squares / (2 * count)) : Number.NaN;
}

/** Root mean square, per axis, of the angle about its mean that is left when the mean rate is taken off, rad. */
function swayOf(gyro: Float64Array, times: Float64Array, n: number, from: number, to: number, mean: Vec3): number {
  let variance = 0;
  for (let c = 0; c < 3; c++) {
    let angle = 0;
    let sum = 0;
    let squares = 0;
    for (let k = from + 1; k < to; k++) {
      const rate = 0.5 * (gyro[c * n + k]! + gyro[c * n + k - 1]!) - mean[c]!;
      if (!Number.isNaN(rate)) angle += rate * (times[k]! - times[k - 1]!);
      sum += angle;
      squares += angle * angle;
    }
    const count = Math.max(1, to - from - 1);
    variance += Math.max(0, squares / count - (sum / count) * (sum / count)) / 3;
  }
  return Math.sqrt(variance);
}

function directionSd(acc: Float64Array, track: SensorTrack, from: number, to: number, mean: Vec3): number {
  const n = track.times_s.length;
  const length = norm(mean);
  const noise = noiseOf(acc, n, from, to) / Math.sqrt(to - from);
  const width = Math.max(1, Math.round(BLOCK_s * track.rate_Hz));
  let squares = 0;
  let blocks = 0;
  for (let k = from; k + width <= to; k += width) {
    const block = meanOf(acc, n, k, k + width);
    for (let c = 0; c < 3; c++) squares += ((block[c]! - mean[c]!) * (block[c]! - mean[c]!)) / 3;
    blocks += 1;
  }
  const slow = blocks > 1 ? Math.sqrt(squares / (blocks - 1) / blocks) : 0;
  const off = length - GRAVITY_mPerS2;
  return Math.sqrt(noise * noise + slow * slow + off * off) / length;
}
