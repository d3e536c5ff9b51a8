/** Orientations that a file holds: which reading of the quaternions fits, and which axis of their world points up. */

import { formatFixed } from '../../../base/format.ts';
import { type Avail, absent, present } from '../../../model/availability.ts';
import type { Vec3 } from '../../../model/calibration.ts';
import type { SensorPlan } from '../../../model/sensors.ts';
import { apply3 } from '../../../numeric/rotationKernels.ts';
import { nearestAxis } from '../../detectFacts.ts';
import type { CalmWindow } from './calm.ts';
import {
  fitQuaternions,
  lengthError,
  type QuaternionFit,
  type QuaternionReading,
  READINGS,
  type ReadingFit,
  readingInWords,
  rotationsOf,
} from './quaternionFit.ts';
import type { SensorClock } from './sensorClock.ts';
import { DEG } from './tiltFit.ts';

/** How far from an axis gravity may point in a world that is level. */
const LEVEL_rad = 10 * DEG;
const UNIT_ERROR = 0.05;

export interface FileOrientation {
  /** R_world_sensor in the file's world, 9 × rows. */
  readonly R: Float64Array;
  /** Direction of gravity's reaction (up) in the file's world at rest; null without an accelerometer or rest. */
  readonly up: Vec3 | null;
  /** What was found, in words. */
  readonly evidence: string;
  /** Order or direction that neither the day file nor the data settle. */
  readonly assumed: boolean;
  /** Order that was detected against the usual reading of numbered columns. */
  readonly orderDetected: boolean;
}

const degrees = (rad: number): string => formatFixed(rad / DEG, 1);

/** Orientation of one sensor, or why there is none. `toRad` is the gyro's factor to rad/s. `calm` counts only where the sensor rests. */
export function orientationOf(
  clock: SensorClock,
  rest: CalmWindow | null,
  toRad: number | null,
  plan: SensorPlan,
): Avail<FileOrientation> {
  const { matrices, quaternion, gyro, rows } = clock.sensor;
  if (!plan.useQuaternions && (matrices !== null || quaternion !== null)) {
    return absent('quaternions-unwanted', 'orientations of the file: the day file says use_quaternions: no');
  }
  if (matrices !== null) {
    const inverse = plan.quaternionDirection === 'world-to-sensor';
    const R = inverse ? transposed(matrices) : matrices;
    return present({ R, up: null, evidence: 'rotations of the file', assumed: false, orderDetected: false });
  }
  if (quaternion === null) return absent('no-quaternions', 'quaternions: the file has none for this sensor');
  const off = lengthError(quaternion, rows);
  if (!(off < UNIT_ERROR)) {
    return absent(
      'quaternions-not-unit',
      `quaternions of length 1: those of ${clock.sensor.name} are off by ${formatFixed(off, 3)} (95 % of rows; limit ${UNIT_ERROR}); check sensors: columns: quaternion`,
    );
  }
  const asked: QuaternionReading = { order: 'wxyz', direction: plan.quaternionDirection ?? 'sensor-to-world' };
  if (gyro !== null && toRad !== null) {
    const fit = fitQuaternions(quaternion, gyro, clock.times_s, toRad, asked);
    if (fit.windows >= 5) return byGyro(clock, rest, fit, plan);
  }
  return byGravity(clock, rest, asked, plan);
}

/** Whether a reading is left open by the day file and the names of the columns. */
function isOpen(reading: QuaternionReading, clock: SensorClock, plan: SensorPlan): boolean {
  const direction = plan.quaternionDirection === null || plan.quaternionDirection === reading.direction;
  return direction && (reading.order === 'wxyz' || clock.sensor.quaternionOrder === 'numbers');
}

function byGyro(
  clock: SensorClock,
  rest: CalmWindow | null,
  fit: QuaternionFit,
  plan: SensorPlan,
): Avail<FileOrientation> {
  const best = (readings: readonly ReadingFit[]): ReadingFit =>
    readings.reduce((a, b) => (b.miss_rad < a.miss_rad ? b : a));
  const chosen = best(fit.readings.filter((one) => isOpen(one, clock, plan)));
  const miss = `${degrees(chosen.miss_rad)}° RMS over ${fit.windows} windows of 0.5 s that turn by ${degrees(fit.turn_rad)}° RMS, limit ${degrees(fit.limit_rad)}°`;
  if (chosen.miss_rad > fit.limit_rad) {
    const other = best(fit.readings);
    const would =
      other.miss_rad <= fit.limit_rad
        ? `; read as ${readingInWords(other)} they would fit (${degrees(other.miss_rad)}°): correct sensors: quaternion_direction or the order of columns: quaternion in the day file`
        : `; no order or direction fits (the best, ${readingInWords(other)}, misses by ${degrees(other.miss_rad)}°)`;
    return absent(
      'quaternions-contradict-gyro',
      `quaternions that turn as the gyro: those of ${clock.sensor.name} (${readingInWords(chosen)}) miss it by ${miss}${would}`,
    );
  }
  const R = rotationsOf(clock.sensor.quaternion!, clock.sensor.rows, chosen);
  const up = upInWorld(R, clock, rest);
  const tilt = up === null ? 0 : offAxis(up);
  if (tilt > LEVEL_rad) {
    return absent(
      'quaternions-not-level',
      `quaternions of a level world: by those of ${clock.sensor.name} gravity at rest is ${degrees(tilt)}° off the nearest axis, limit ${degrees(LEVEL_rad)}°`,
    );
  }
  return present({
    R,
    up,
    evidence: `the quaternions (${readingInWords(chosen)}) turn as the gyro does: ${miss}`,
    assumed: false,
    orderDetected: chosen.order === 'xyzw',
  });
}

/** Without motion or without a gyro: gravity at rest must lie along an axis of the world. */
function byGravity(
  clock: SensorClock,
  rest: CalmWindow | null,
  asked: QuaternionReading,
  plan: SensorPlan,
): Avail<FileOrientation> {
  const open = [asked, ...READINGS].filter((one) => isOpen(one, clock, plan));
  const tried = open.map((reading) => {
    const R = rotationsOf(clock.sensor.quaternion!, clock.sensor.rows, reading);
    const up = upInWorld(R, clock, rest);
    return { reading, R, up, off: up === null ? 0 : offAxis(up) };
  });
  // The reading asked for stays where it is level; another is taken only where that one is not.
  const first = tried[0]!;
  const chosen = first.off <= LEVEL_rad ? first : tried.reduce((a, b) => (b.off < a.off ? b : a));
  if (chosen.off > LEVEL_rad) {
    return absent(
      'quaternions-not-level',
      `quaternions of a level world: by those of ${clock.sensor.name} gravity at rest is ${degrees(chosen.off)}° off the nearest axis in the best reading (${readingInWords(chosen.reading)}), limit ${degrees(LEVEL_rad)}°`,
    );
  }
  const seen =
    chosen.up === null
      ? 'neither motion nor gravity shows the reading'
      : `gravity lies ${degrees(chosen.off)}° off an axis`;
  const levels = tried.filter((one) => one.off <= LEVEL_rad).length;
  return present({
    R: chosen.R,
    up: chosen.up,
    evidence: `read as ${readingInWords(chosen.reading)}: ${seen}`,
    assumed: (chosen.up === null || levels > 1) && plan.quaternionDirection === null,
    orderDetected: chosen.reading.order === 'xyzw',
  });
}

function transposed(matrices: Float64Array): Float64Array {
  const out = new Float64Array(matrices.length);
  for (let at = 0; at < matrices.length; at += 9) {
    for (let r = 0; r < 3; r += 1) for (let c = 0; c < 3; c += 1) out[at + 3 * r + c] = matrices[at + 3 * c + r]!;
  }
  return out;
}

/** Mean direction of the specific force in the world over a calm window. */
function upInWorld(R: Float64Array, clock: SensorClock, rest: CalmWindow | null): Vec3 | null {
  const { acc, rows } = clock.sensor;
  if (rest === null || acc === null) return null;
  const sum: [number, number, number] = [0, 0, 0];
  const v = [0, 0, 0];
  for (let i = rest.from; i < rest.to; i += 1) {
    for (let axis = 0; axis < 3; axis += 1) v[axis] = acc[axis * rows + i]!;
    apply3(R, 9 * i, v, v);
    if (Number.isNaN(v[0]! + v[1]! + v[2]!)) continue;
    for (let axis = 0; axis < 3; axis += 1) sum[axis]! += v[axis]!;
  }
  const length = Math.hypot(...sum);
  return length > 0 ? [sum[0] / length, sum[1] / length, sum[2] / length] : null;
}

function offAxis(up: Vec3): number {
  return Math.acos(Math.min(1, nearestAxis(up).share));
}
