/** Invented swings of one rigid sensor each, whose motion is known: signals at any rate, with bias, noise, jitter, drops, knock and clock. */

import { type Avail, absent, present } from '../../../../src/model/availability.ts';
import type { Vec3 } from '../../../../src/model/calibration.ts';
import { CLIPPED_GYRO, type SensorPlace, type SensorTrack } from '../../../../src/model/sensors.ts';
import type { SensorTrial, TrialEvent } from '../../../../src/model/trial.ts';
import { createRandom } from '../../../../src/numeric/random.ts';
import { applyT3, expRotation, logRotation, mul3, mulT3, rotationAngle } from '../../../../src/numeric/rotation.ts';
import { trialOf } from '../support.ts';

export const DEG = Math.PI / 180;
const GRAVITY = 9.81;

/** Minimum jerk from 0 to 1 over [0, 1]. */
function smooth(x: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  return x * x * x * (10 + x * (6 * x - 15));
}

export interface Motion {
  /** Share of a chest's swing: 1 peaks at 650°/s. */
  readonly size: number;
  /** Seconds of a pause at the top. */
  readonly pause_s: number;
  /** Constant turn before the takeaway, rad/s: never still. */
  readonly drift_radPerS: number;
  /** Sway while standing, rad at 0.5 Hz about two axes, up to the takeaway and fading in it. */
  readonly sway_rad: number;
  /** Where the sensor sits, metres from the axis. */
  readonly arm: Vec3;
}

export const CHEST: Motion = { size: 1, pause_s: 0, drift_radPerS: 0, sway_rad: 0, arm: [0.1, 0.15, 0.02] };
/** Still before it; from here to the top, and from the top to the finish 0.55 s later. The fastest moment is 0.275 s after the top. */
export const TAKEAWAY_s = 2;
export const TOP_s = 2.8;
export const FASTEST_s = TOP_s + 0.275;
export const END_s = 5;

const a = new Float64Array(9);
const b = new Float64Array(9);
const c = new Float64Array(9);

/** R_world_segment at time t: Ry(turn) · Rx(side) · Rz(bend), world Y up. */
export function truth(motion: Motion, t: number, out: Float64Array, o = 0): void {
  const back = smooth((t - TAKEAWAY_s) / (TOP_s - TAKEAWAY_s));
  const down = smooth((t - TOP_s - motion.pause_s) / 0.55);
  const fade = 1 - smooth((t - TAKEAWAY_s) / 0.4);
  const sway = motion.sway_rad * fade;
  const turn =
    sway * Math.sin(Math.PI * t + 1) + (-90 * back + 190 * down) * motion.size * DEG + motion.drift_radPerS * t;
  const side = (-20 * back + 45 * down) * motion.size * DEG;
  const bend = (-35 + 10 * back + 15 * down) * DEG + sway * Math.sin(1.3 * Math.PI * t);
  expRotation([0, turn, 0], a, 0);
  expRotation([side, 0, 0], b, 0);
  mul3(a, 0, b, 0, c, 0);
  expRotation([0, 0, bend], b, 0);
  mul3(c, 0, b, 0, out, o);
}

export interface SensorOptions {
  readonly place?: SensorPlace;
  readonly motion?: Partial<Motion>;
  readonly rate_Hz?: number;
  /** Rotation vector of the sensor on its segment. */
  readonly mount?: Vec3;
  readonly bias_degPerS?: Vec3;
  readonly accBias?: Vec3;
  readonly gyroNoise_degPerS?: number;
  readonly accNoise?: number;
  readonly seed?: number;
  /** Recording from this true time. */
  readonly from_s?: number;
  readonly to_s?: number;
  /** Stamps are the true time plus this. */
  readonly clock_s?: number;
  readonly jitter_s?: number;
  /** True times in which samples are lost. */
  readonly lost?: readonly (readonly [number, number])[];
  readonly knock?: { readonly at_s: number; readonly size: number; readonly width_s: number };
  readonly limit_degPerS?: number;
  readonly withOrientation?: boolean;
  readonly withoutGyro?: boolean;
  readonly trigger_s?: number;
}

export interface Made {
  readonly track: SensorTrack;
  readonly mount: Float64Array;
  readonly motion: Motion;
  readonly clock_s: number;
}

export function sensor(options: SensorOptions = {}): Made {
  const motion = { ...CHEST, ...options.motion };
  const rate_Hz = options.rate_Hz ?? 240;
  const random = createRandom(options.seed ?? 1);
  const mount = new Float64Array(9);
  expRotation(options.mount ?? [0.4, -1.1, 0.7], mount, 0);
  const times: number[] = [];
  const from = options.from_s ?? 0;
  const to = options.to_s ?? END_s;
  for (let i = 0; from + i / rate_Hz <= to; i++) {
    const t = from + i / rate_Hz + (options.jitter_s ?? 0) * (random.uniform() - 0.5);
    if (!(options.lost ?? []).some(([low, high]) => t > low && t < high)) times.push(t);
  }
  const n = times.length;
  const clock_s = options.clock_s ?? 0;
  const gyro = new Float64Array(3 * n);
  const acc = new Float64Array(3 * n);
  const orientation = new Float64Array(9 * n);
  const clipped = new Uint8Array(n);
  const R = new Float64Array(9);
  const before = new Float64Array(9);
  const after = new Float64Array(9);
  const d = new Float64Array(9);
  const v = [0, 0, 0];
  const h = 1e-4;
  for (let k = 0; k < n; k++) {
    const t = times[k]!;
    const at = (time: number, out: Float64Array): void => {
      truth(motion, time, d);
      mul3(d, 0, mount, 0, out, 0);
    };
    at(t, R);
    at(t - h, before);
    at(t + h, after);
    orientation.set(R, 9 * k);
    // Specific force of the sensor's place R · arm, by the second difference.
    const force = [0, 1, 2].map((r) => {
      let sum = r === 1 ? GRAVITY : 0;
      for (let i = 0; i < 3; i++) {
        const o = 3 * r + i;
        sum += ((after[o]! - 2 * R[o]! + before[o]!) / (h * h)) * motion.arm[i]!;
      }
      return sum;
    });
    if (options.knock !== undefined) {
      const x = (t - options.knock.at_s) / options.knock.width_s;
      if (Math.abs(x) < 0.5) force[1] = force[1]! + options.knock.size * (0.5 + 0.5 * Math.cos(2 * Math.PI * x));
    }
    applyT3(R, 0, force, v);
    for (let i = 0; i < 3; i++) {
      acc[i * n + k] = v[i]! + (options.accBias?.[i] ?? 0) + (options.accNoise ?? 0) * random.normal();
    }
    mulT3(before, 0, after, 0, d, 0);
    logRotation(d, 0, v);
    const limit = (options.limit_degPerS ?? 1e9) * DEG;
    for (let i = 0; i < 3; i++) {
      const value =
        v[i]! / (2 * h) +
        (options.bias_degPerS?.[i] ?? 0) * DEG +
        (options.gyroNoise_degPerS ?? 0) * DEG * random.normal();
      gyro[i * n + k] = Math.max(-limit, Math.min(limit, value));
      if (Math.abs(value) >= limit) clipped[k] = CLIPPED_GYRO;
    }
  }
  const file: Avail<Float64Array> =
    options.withOrientation === true ? present(orientation) : absent('no-orientation', 'orientations in the file');
  return {
    track: {
      place: options.place ?? 'thorax',
      name: `unit-${options.place ?? 'thorax'}`,
      rate_Hz,
      times_s: Float64Array.from(times, (t) => t + clock_s),
      gyro: options.withoutGyro === true ? null : gyro,
      acc,
      mag: null,
      orientation: file,
      trigger_s: options.trigger_s ?? null,
      clipped,
    },
    mount,
    motion,
    clock_s,
  };
}

export function sensorTrial(made: readonly Pick<Made, 'track'>[], events: readonly TrialEvent[] = []): SensorTrial {
  return {
    source: 'sensors',
    head: { ...trialOf({}).head, source: 'sensors' },
    sensors: new Map(made.map(({ track }) => [track.place, track])),
    events,
    diagnostics: [],
  };
}

/** Total and inclination error (degrees) of orientations at true times from `from_s` to `to_s`, heading aligned at the first of them. */
export function errorsOf(
  made: Made,
  R: Float64Array,
  timeOf: (frame: number) => number,
  from_s: number,
  to_s: number,
): { readonly worst: number; readonly rms: number; readonly tilt: number; readonly frames: number } {
  const there = new Float64Array(9);
  const T = new Float64Array(9);
  const d = new Float64Array(9);
  const turned = new Float64Array(9);
  const H = new Float64Array(9);
  let aligned = false;
  let worst = 0;
  let squares = 0;
  let tilt = 0;
  let frames = 0;
  for (let f = 0; 9 * f < R.length; f++) {
    const t = timeOf(f);
    if (t < from_s || t > to_s || Number.isNaN(R[9 * f])) continue;
    truth(made.motion, t, T);
    mul3(T, 0, made.mount, 0, there, 0);
    if (!aligned) {
      for (let i = 0; i < 9; i++) T[i] = R[9 * f + i]!;
      // there · Rᵀ is near a turn about Y.
      const x = row(there, T, 0, 2) - row(there, T, 2, 0);
      const y = row(there, T, 0, 0) + row(there, T, 2, 2);
      expRotation([0, Math.atan2(x, y), 0], H, 0);
      aligned = true;
    }
    mul3(H, 0, R, 9 * f, turned, 0);
    mulT3(there, 0, turned, 0, d, 0);
    const angle = rotationAngle(d, 0) / DEG;
    worst = Math.max(worst, angle);
    squares += angle * angle;
    let up = 0;
    for (let i = 0; i < 3; i++) up += there[3 + i]! * turned[3 + i]!;
    tilt = Math.max(tilt, Math.acos(Math.min(1, up)) / DEG);
    frames += 1;
  }
  return { worst, rms: Math.sqrt(squares / frames), tilt, frames };
}

function row(A: Float64Array, B: Float64Array, i: number, j: number): number {
  return A[3 * i]! * B[3 * j]! + A[3 * i + 1]! * B[3 * j + 1]! + A[3 * i + 2]! * B[3 * j + 2]!;
}
