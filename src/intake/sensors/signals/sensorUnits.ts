/** Units of gyro and accelerometer: by the day file, by the table, or settled by the data; a contradiction is told with both. */

import { formatFixed } from '../../../base/format.ts';
import type { Missing } from '../../../model/availability.ts';
import type { SensorPlan } from '../../../model/sensors.ts';
import { type CalmWindow, isRest, lengthsOf } from './calm.ts';
import { fitQuaternions, READINGS } from './quaternionFit.ts';
import type { SensorClock } from './sensorClock.ts';
import { DEG, type TiltFit, tiltFit, unitByTilt } from './tiltFit.ts';

export type GyroUnit = 'rad/s' | 'deg/s';
export type AccUnit = 'm/s2' | 'g' | 'mg';

export const RAD_PER: Readonly<Record<GyroUnit, number>> = { 'rad/s': 1, 'deg/s': DEG };
/** Standard gravity in g and mg is exact (CGPM 1901). */
export const MPS2_PER: Readonly<Record<AccUnit, number>> = { 'm/s2': 1, g: 9.80665, mg: 0.00980665 };

export const GRAVITY_mPerS2 = 9.81;
/** Gravity on the ground varies by 0.3 %; the rest is for the scale of a sensor. */
export const GRAVITY_SHARE = 0.03;

export interface SettledUnit<U> {
  readonly value: U | null;
  readonly source: 'set' | 'file' | 'detected' | 'insisted' | 'unknown';
  /** In words; the question where the value is null. */
  readonly evidence: string;
  /** A stated unit that the data contradict, both named. */
  readonly conflict: Missing | null;
}

/** The unit of angular velocity that a text means, or null. */
function gyroUnitOfText(text: string): GyroUnit | null {
  const plain = text.toLowerCase().replace(/[\s_·⋅*]/g, '');
  if (/^(rad|rads|radps|rad\/s|rad\/sec|radians\/s|rads-1|rad\.s-1|rads\^-1|radpers|radpersec)$/.test(plain))
    return 'rad/s';
  if (
    /^(deg|degs|dps|degps|deg\/s|deg\/sec|degrees\/s|degree\/s|°\/s|º\/s|°\/sec|degs-1|degpers|degpersec)$/.test(plain)
  ) {
    return 'deg/s';
  }
  return null;
}

/** The unit of acceleration that a text means, or null. */
function accUnitOfText(text: string): AccUnit | null {
  const plain = text.trim().replace(/[\s_·⋅*]/g, '');
  if (/^(g|G|gn|g0|gee)$/.test(plain)) return 'g';
  if (/^(mg|mG|milli-?g)$/.test(plain)) return 'mg';
  if (/^(m\/s\^?2|m\/s²|m\/s\/s|mps\^?2|ms\^?2|ms\^?-2|ms[⁻-]²|m\/sec\^?2|mpers2|m\/\(s\^?2\))$/i.test(plain))
    return 'm/s2';
  return null;
}

/** One sensor as unit settling reads it. */
export interface UnitCase {
  readonly clock: SensorClock;
  readonly calm: CalmWindow | null;
  readonly tilt: TiltFit | null;
}

/** What gyro and gravity of a sensor say of each other; null without either, or without a calm moment. */
export function tiltOf(clock: SensorClock, calm: CalmWindow | null): TiltFit | null {
  const { gyro, acc } = clock.sensor;
  if (gyro === null || acc === null || calm?.acc == null || !(calm.accSpread < 0.05)) return null;
  return tiltFit(gyro, acc, clock.times_s, clock.rate_Hz, Math.hypot(...calm.acc));
}

const degrees = (rad: number): string => formatFixed(rad / DEG, 1);

/** Beyond the range of such gyros (4,000 °/s is 70 rad/s; common practice, no source). */
const FASTEST_RAW_radPerS = 75;
/** A swing whose fastest sensor turned by less than this in °/s would be none. */
const SLOWEST_SWING = 60;
/** Noise of a gyro at rest, standard deviation per axis: in rad/s below the first, in °/s above the second (common practice, no source). */
const QUIET_RAD = 0.012;
const QUIET_DEG = 0.06;

interface Shown {
  readonly value: GyroUnit;
  readonly evidence: string;
  /** Strong enough to contradict what is stated. */
  readonly strong: boolean;
}

function gyroUnitShown(cases: readonly UnitCase[], swing: boolean): Shown | null {
  const tilt = unitByTilt(cases.flatMap((one) => one.tilt ?? []));
  if (tilt !== null) {
    const other = tilt.unit === 'rad/s' ? 'deg/s' : 'rad/s';
    return {
      value: tilt.unit,
      evidence: `in ${tilt.unit} the gyro foretells the tilt that gravity shows within ${degrees(tilt.miss_rad)}°, in ${other} within ${degrees(tilt.other_rad)}° (median of ${tilt.pairs} pairs of moments)`,
      strong: true,
    };
  }
  for (const { clock } of cases) {
    const { gyro, quaternion } = clock.sensor;
    if (gyro === null || quaternion === null) continue;
    const [rad, deg] = (['rad/s', 'deg/s'] as const).map((unit) => {
      const fit = fitQuaternions(quaternion, gyro, clock.times_s, RAD_PER[unit], READINGS[0]!);
      return { unit, miss: Math.min(...fit.readings.map((one) => one.miss_rad)), ...fit };
    });
    const [best, other] = rad!.miss <= deg!.miss ? [rad!, deg!] : [deg!, rad!];
    if (best.windows >= 5 && best.miss < best.limit_rad && best.miss < 0.5 * other.miss) {
      return {
        value: best.unit,
        evidence: `in ${best.unit} the gyro turns as the quaternions do within ${degrees(best.miss)}° in half a second, in ${other.unit} within ${degrees(other.miss)}°`,
        strong: true,
      };
    }
  }
  let fastest = 0;
  for (const { clock } of cases) {
    if (clock.sensor.gyro === null) continue;
    for (const size of lengthsOf(clock.sensor.gyro, clock.sensor.rows)) fastest = Math.max(fastest, size);
  }
  const reached = formatFixed(fastest, 1);
  if (fastest > FASTEST_RAW_radPerS) {
    return { value: 'deg/s', evidence: `the gyro reaches ${reached}, more than any in rad/s`, strong: true };
  }
  if (swing && fastest > 2 && fastest < SLOWEST_SWING) {
    return { value: 'rad/s', evidence: `the gyro reaches ${reached}; in deg/s that would be no swing`, strong: false };
  }
  const noises = cases.flatMap(({ calm }) => (calm !== null && calm.gyroSd > 0 ? [calm.gyroSd / Math.sqrt(3)] : []));
  const noise = formatFixed(Math.max(...noises), 4);
  if (noises.length > 0 && noises.every((sd) => sd < QUIET_RAD)) {
    return { value: 'rad/s', evidence: `the gyro at rest varies by ${noise}, too little for deg/s`, strong: false };
  }
  if (noises.length > 0 && noises.every((sd) => sd > QUIET_DEG)) {
    return { value: 'deg/s', evidence: `the gyro at rest varies by ${noise}, too much for rad/s`, strong: false };
  }
  return null;
}

/** The unit of the gyros: those of one stated unit, or of none, are judged together. */
export function settleGyroUnits(
  cases: readonly UnitCase[],
  plan: SensorPlan,
  swing: boolean,
  insisted: boolean,
): readonly SettledUnit<GyroUnit>[] {
  const stated = cases.map(({ clock }) => plan.gyroUnit ?? gyroUnitOfText(clock.sensor.units.gyro));
  const groups = new Map<GyroUnit | null, SettledUnit<GyroUnit>>();
  for (const unit of new Set(stated)) {
    const group = cases.filter((one, i) => stated[i] === unit && one.clock.sensor.gyro !== null);
    if (group.length > 0) groups.set(unit, settleGyro(group, unit, plan.gyroUnit !== null, swing, insisted));
  }
  const none: SettledUnit<GyroUnit> = { value: null, source: 'unknown', evidence: 'no gyro', conflict: null };
  return cases.map(({ clock }, i) => (clock.sensor.gyro === null ? none : groups.get(stated[i]!)!));
}

function settleGyro(
  cases: readonly UnitCase[],
  stated: GyroUnit | null,
  set: boolean,
  swing: boolean,
  insisted: boolean,
): SettledUnit<GyroUnit> {
  const shown = gyroUnitShown(cases, swing);
  if (stated === null) {
    if (shown === null) {
      return {
        value: null,
        source: 'unknown',
        evidence:
          'neither a header nor the data say the unit of the gyro; set sensors: gyro_unit (rad/s or deg/s) in the day file',
        conflict: null,
      };
    }
    return { value: shown.value, source: 'detected', evidence: shown.evidence, conflict: null };
  }
  const by = set ? 'the day file' : 'the table';
  if (shown?.strong && shown.value !== stated) {
    if (insisted) return { value: stated, source: 'insisted', evidence: shown.evidence, conflict: null };
    return {
      value: stated,
      source: set ? 'set' : 'file',
      evidence: by,
      conflict: conflict('gyro_unit', `${by} says the gyro is in ${stated}`, shown.value, shown.evidence),
    };
  }
  return { value: stated, source: set ? 'set' : 'file', evidence: by, conflict: null };
}

function conflict(key: string, said: string, shown: string, evidence: string): Missing {
  return {
    code: 'conflict-units',
    needed: `one unit: ${said}, the data show ${shown} (${evidence}); correct sensors: ${key} in the day file, or list units under insist to hold the stated one`,
  };
}

/** Length of gravity at rest in the table's unit; null where the sensor never rests. */
export function restLength(one: UnitCase, gyroUnit: GyroUnit | null): number | null {
  if (one.calm?.acc == null || !isRest(one.calm, RAD_PER[gyroUnit ?? 'deg/s'])) return null;
  return Math.hypot(...one.calm.acc);
}

/** Whether a length is gravity in a unit. */
function isGravity(length: number, unit: AccUnit): boolean {
  return Math.abs((length * MPS2_PER[unit]) / GRAVITY_mPerS2 - 1) <= GRAVITY_SHARE;
}

function accUnitShown(rest: number): AccUnit | null {
  return (['m/s2', 'g', 'mg'] as const).find((unit) => isGravity(rest, unit)) ?? null;
}

/** The unit of the accelerometers; `rests` are the lengths of gravity at rest in the table's unit. Each sensor by itself where stated, else together. */
export function settleAccUnits(
  cases: readonly UnitCase[],
  rests: readonly (number | null)[],
  plan: SensorPlan,
  insisted: boolean,
): readonly SettledUnit<AccUnit>[] {
  const counts = new Map<AccUnit, number>();
  cases.forEach(({ clock }, i) => {
    const rest = rests[i];
    const unit = clock.sensor.acc === null || rest == null ? null : accUnitShown(rest);
    if (unit !== null) counts.set(unit, (counts.get(unit) ?? 0) + 1);
  });
  const common = [...counts].sort((a, b) => b[1] - a[1])[0]?.[0] ?? null;
  return cases.map(({ clock }, i): SettledUnit<AccUnit> => {
    const { acc, units } = clock.sensor;
    if (acc === null) return { value: null, source: 'unknown', evidence: 'no accelerometer', conflict: null };
    const rest = rests[i] ?? null;
    const shown = rest === null ? null : accUnitShown(rest);
    const stated = plan.accUnit ?? accUnitOfText(units.acc);
    const length = rest === null ? '' : formatFixed(rest, rest < 100 ? 3 : 1);
    if (stated === null) {
      const value = shown ?? common;
      if (value === null) {
        const seen =
          rest === null
            ? 'no moment of rest shows gravity'
            : `gravity at rest is ${length}, expected 9.81 m/s², 1 g or 1000 mg ± 3 % (a factor ${factor(rest)} would make it 9.81)`;
        return {
          value: null,
          source: 'unknown',
          evidence: `${seen}; set sensors: acc_unit (m/s2, g or mg) in the day file`,
          conflict: null,
        };
      }
      const evidence = shown === null ? `as of the other sensors` : `gravity at rest is ${length} ${value}`;
      return { value, source: 'detected', evidence, conflict: null };
    }
    const set = plan.accUnit !== null;
    const by = set ? 'the day file' : 'the table';
    if (shown !== null && shown !== stated) {
      const evidence = `gravity at rest is ${length}: ${formatFixed(rest! * MPS2_PER[stated], 3)} m/s² in ${stated}, ${formatFixed(rest! * MPS2_PER[shown], 2)} m/s² in ${shown}`;
      if (insisted) return { value: stated, source: 'insisted', evidence, conflict: null };
      return {
        value: stated,
        source: set ? 'set' : 'file',
        evidence: by,
        conflict: conflict('acc_unit', `${by} says the accelerometer is in ${stated}`, shown, evidence),
      };
    }
    return { value: stated, source: set ? 'set' : 'file', evidence: by, conflict: null };
  });
}

/** The factor that makes a length at rest 9.81. */
export function factor(rest: number): string {
  const value = GRAVITY_mPerS2 / rest;
  return formatFixed(value, value < 0.1 ? 5 : 3);
}
