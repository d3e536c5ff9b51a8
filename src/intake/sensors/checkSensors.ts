/** Raw sensors to signals in SI units, each with what was found out about it and why it cannot be used. Nothing is refused here. */

import type { Diagnostic } from '../../base/diagnostics.ts';
import { formatFixed } from '../../base/format.ts';
import { type Avail, absent, type Missing } from '../../model/availability.ts';
import type { SensorPlan } from '../../model/sensors.ts';
import type { RawSensor } from './columns/rawSensor.ts';
import { sensorDiagnostic } from './diagnosticCodes.ts';
import { type CalmWindow, calmestWindow, isRest, lengthsOf } from './signals/calm.ts';
import { gyroCopiesAcc, sensorsCopy } from './signals/copies.ts';
import { deadChannels, findClipped, repeatedRows } from './signals/rawChecks.ts';
import type { SensorClock } from './signals/sensorClock.ts';
import { type FileOrientation, orientationOf } from './signals/sensorOrientation.ts';
import {
  type AccUnit,
  factor,
  GRAVITY_mPerS2,
  GRAVITY_SHARE,
  type GyroUnit,
  MPS2_PER,
  RAD_PER,
  restLength,
  type SettledUnit,
  settleAccUnits,
  settleGyroUnits,
  tiltOf,
  type UnitCase,
} from './signals/sensorUnits.ts';
import { clockDiagnostics, type SettledClock, settleClocks } from './signals/settleClocks.ts';
import { DEG, reversedByTilt } from './signals/tiltFit.ts';

export interface CheckOptions {
  readonly plan: SensorPlan;
  readonly rate_Hz: number | null;
  readonly swing: boolean;
  readonly insistUnits: boolean;
  readonly insistRate: boolean;
}

export interface CheckedSensor {
  readonly raw: RawSensor;
  readonly settledClock: SettledClock;
  /** null: it could not be settled. */
  readonly clock: SensorClock | null;
  readonly gyroUnit: SettledUnit<GyroUnit>;
  readonly accUnit: SettledUnit<AccUnit>;
  /** rad/s and m/s², planar 3 × rows of the clock. */
  readonly gyro: Float64Array | null;
  readonly acc: Float64Array | null;
  readonly gravity_mPerS2: number | null;
  readonly fastest_radPerS: number | null;
  readonly clipped: Uint8Array;
  readonly orientation: Avail<FileOrientation>;
  /** Why the sensor is left out. */
  readonly problems: readonly Missing[];
  readonly diagnostics: readonly Diagnostic[];
}

export interface CheckedSensors {
  readonly sensors: readonly CheckedSensor[];
  /** What refuses the trial, the gravest first. */
  readonly refusals: readonly Missing[];
}

/** Settles clocks and units of all sensors together and runs the checks on the raw signals. */
export function checkSensors(raws: readonly RawSensor[], options: CheckOptions): CheckedSensors {
  const refusals: Missing[] = copyRefusals(raws);
  const clocks = settleClocks(raws, options);
  for (const { refusal } of clocks) if (refusal !== null) refusals.push(refusal);
  const cases: UnitCase[] = [];
  const indices: number[] = [];
  clocks.forEach(({ clock }, i) => {
    if (clock === null || clock.sensor.rows < FEWEST) return;
    const calm = calmestWindow(clock.sensor.gyro, clock.sensor.acc, clock.sensor.rows, clock.rate_Hz);
    cases.push({ clock, calm, tilt: tiltOf(clock, calm) });
    indices.push(i);
  });
  const gyroUnits = settleGyroUnits(cases, options.plan, options.swing, options.insistUnits);
  const rests = cases.map((one, i) => restLength(one, gyroUnits[i]!.value));
  const accUnits = settleAccUnits(cases, rests, options.plan, options.insistUnits);
  refusals.push(...unitRefusals(gyroUnits), ...unitRefusals(accUnits));
  const sensors = raws.map((raw, i): CheckedSensor => {
    const at = indices.indexOf(i);
    if (at < 0) return withoutClock(raw, clocks[i]!);
    return checkOne(raw, clocks[i]!, cases[at]!, gyroUnits[at]!, accUnits[at]!, rests[at]!, options);
  });
  return { sensors, refusals };
}

const FEWEST = 20;

/** Questions and contradictions of units, once each: a contradiction refuses the trial where no sensor with a rest agrees with what is stated. */
function unitRefusals(units: readonly SettledUnit<string>[]): Missing[] {
  const asked = units.filter((one) => one.value === null && one.evidence.includes('; set sensors'));
  const known = units.filter((one) => one.value !== null);
  const out: Missing[] = [];
  const conflicting = known.filter((one) => one.conflict !== null);
  if (conflicting.length > 0 && 2 * conflicting.length >= known.length) out.push(conflicting[0]!.conflict!);
  if (asked.length > 0 && known.length === 0) {
    out.push({ code: 'unit-unknown', needed: `a unit: ${asked[0]!.evidence}` });
  }
  return out;
}

function copyRefusals(raws: readonly RawSensor[]): Missing[] {
  const out: Missing[] = [];
  for (const raw of raws) {
    const copies = gyroCopiesAcc(raw);
    const first = copies[0];
    if (first === undefined) continue;
    const g = raw.columns.gyro![first.gyro]!;
    const a = raw.columns.acc![first.acc]!;
    out.push({
      code: 'gyro-copies-accelerometer',
      needed: `a gyro of its own: ${copies.length} of 3 gyro columns of ${raw.name} in ${raw.file} copy its accelerometer (${g} is ${formatFixed(first.factor, 4)} times ${a} in every row); export both signals again`,
    });
  }
  for (let i = 0; i < raws.length; i += 1) {
    for (let j = i + 1; j < raws.length; j += 1) {
      const signals = sensorsCopy(raws[i]!, raws[j]!);
      if (signals.length === 0) continue;
      const words = signals.map((signal) => (signal === 'gyro' ? 'gyro' : 'accelerometer')).join(' and ');
      out.push({
        code: 'sensor-copies-sensor',
        needed: `signals of its own for each sensor: the ${words} of ${raws[j]!.name} in ${raws[j]!.file} copies that of ${raws[i]!.name} in ${raws[i]!.file}, row for row; export both sensors again`,
      });
    }
  }
  return out;
}

function withoutClock(raw: RawSensor, settledClock: SettledClock): CheckedSensor {
  const none: SettledUnit<never> = { value: null, source: 'unknown', evidence: 'no times', conflict: null };
  const short = `${FEWEST} samples: ${raw.name} in ${raw.file} has ${settledClock.clock?.sensor.rows ?? raw.rows}`;
  return {
    raw,
    settledClock,
    clock: null,
    gyroUnit: none,
    accUnit: none,
    gyro: null,
    acc: null,
    gravity_mPerS2: null,
    fastest_radPerS: null,
    clipped: new Uint8Array(0),
    orientation: absent('no-quaternions', 'a clock'),
    problems: [settledClock.refusal ?? { code: 'too-few-samples', needed: short }],
    diagnostics: [],
  };
}

function checkOne(
  raw: RawSensor,
  settledClock: SettledClock,
  one: UnitCase,
  gyroUnit: SettledUnit<GyroUnit>,
  accUnit: SettledUnit<AccUnit>,
  rest: number | null,
  options: CheckOptions,
): CheckedSensor {
  const { clock, calm, tilt } = one;
  const { sensor } = clock;
  const { name, file } = sensor;
  const problems: Missing[] = [];
  const diagnostics: Diagnostic[] = [...clockDiagnostics(clock, name)];
  const inSi = (planar: Float64Array | null, per: number | null): Float64Array | null =>
    planar === null || per === null ? null : planar.map((value) => value * per);
  const gyro = inSi(sensor.gyro, gyroUnit.value === null ? null : RAD_PER[gyroUnit.value]);
  const acc = inSi(sensor.acc, accUnit.value === null ? null : MPS2_PER[accUnit.value]);
  for (const settled of [gyroUnit, accUnit]) if (settled.conflict !== null) problems.push(settled.conflict);
  for (const [settled, planar] of [
    [gyroUnit, sensor.gyro],
    [accUnit, sensor.acc],
  ] as const) {
    if (planar !== null && settled.value === null) {
      problems.push({ code: 'unit-unknown', needed: `a unit: ${settled.evidence}` });
    }
  }
  const unknown = [sensor.gyro === null ? '' : sensor.units.gyro, sensor.acc === null ? '' : sensor.units.acc];
  [gyroUnit, accUnit].forEach((settled, i) => {
    if (settled.source !== 'detected' || unknown[i] === '') return;
    diagnostics.push(
      sensorDiagnostic('sensor-unit-unknown', `${name}: the unit "${unknown[i]}" in ${file} is not understood`),
    );
  });
  if (sensor.gyro === null && sensor.quaternion === null && sensor.matrices === null) {
    problems.push({ code: 'no-rotation-signal', needed: `a gyro or quaternions: ${name} in ${file} has neither` });
  }
  diagnostics.push(...deadChannels(sensor), ...repeatedRows(sensor));

  const gravity = rest === null || accUnit.value === null ? null : rest * MPS2_PER[accUnit.value];
  if (gravity !== null && accUnit.conflict === null && Math.abs(gravity / GRAVITY_mPerS2 - 1) > GRAVITY_SHARE) {
    const message = `gravity at rest of 9.81 m/s² ± 3 %: ${name} in ${file} shows ${formatFixed(gravity, 3)} m/s² in ${accUnit.value}; a factor ${factor(gravity)} would fit; correct the scale or sensors: acc_unit, or list units under insist`;
    diagnostics.push(sensorDiagnostic('gravity-off', message));
    if (!options.insistUnits) problems.push({ code: 'gravity-off', needed: message });
  }
  if (acc !== null && gravity === null) {
    diagnostics.push(sensorDiagnostic('gravity-not-seen', `${name}: no moment of rest, gravity could not be checked`));
  }
  if (tilt !== null && gyroUnit.value !== null && gyroUnit.conflict === null) {
    const reversed = reversedByTilt(tilt, gyroUnit.value);
    if (reversed !== null) {
      const message = `a gyro that turns as gravity does: that of ${name} in ${file} misses gravity's direction by ${formatFixed(reversed.miss_rad / DEG, 1)}°, with all signs reversed by ${formatFixed(reversed.reversed_rad / DEG, 1)}° (medians over 0.4 s); its axes are left-handed or its sign is wrong; correct the export`;
      diagnostics.push(sensorDiagnostic('gyro-contradicts-gravity', message));
      problems.push({ code: 'gyro-contradicts-gravity', needed: message });
    }
  }
  const { clipped, told } = findClipped(clock, gyro, acc, options.plan);
  diagnostics.push(...told);
  const resting: CalmWindow | null =
    calm !== null &&
    (gyroUnit.value !== null || sensor.gyro === null) &&
    isRest(calm, RAD_PER[gyroUnit.value ?? 'deg/s'])
      ? calm
      : null;
  const toRad = gyroUnit.value === null ? null : RAD_PER[gyroUnit.value];
  return {
    raw,
    settledClock,
    clock,
    gyroUnit,
    accUnit,
    gyro,
    acc,
    gravity_mPerS2: gravity,
    fastest_radPerS: gyro === null ? null : lengthsOf(gyro, sensor.rows).reduce((a, b) => Math.max(a, b), 0),
    clipped,
    orientation: orientationOf(clock, resting, toRad, options.plan),
    problems,
    diagnostics,
  };
}
