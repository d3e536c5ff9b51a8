/** What `inspect` says of a recording of sensors: the findings of the intake without its refusals. */

import type { Diagnostic } from '../../base/diagnostics.ts';
import type { C3dFile } from '../../c3d/types.ts';
import type { ImuRecording } from '../../imu/types.ts';
import type { TrialPlan } from '../../model/dayPlan.ts';
import { CLIPPED_ACC, CLIPPED_GYRO, DEFAULT_SENSOR_PLAN } from '../../model/sensors.ts';
import { type CheckedSensor, checkSensors } from './checkSensors.ts';
import { type AssignedPlace, assignPlaces } from './columns/assignPlaces.ts';
import type { Described } from './described.ts';
import { findSensors } from './intakeSensors.ts';

export type { Described } from './described.ts';

/** The part of a trial's plan that says how its sensors are read. */
export type DescribeOptions = Pick<TrialPlan, 'file' | 'sensors' | 'insist' | 'rate_Hz'>;

/**
 * One sensor of a recording as `inspect` shows it. Nothing is refused here: what the intake would refuse stands in `problems`.
 */
export interface SensorDescription {
  /** As the file names it (the table's stem where there is one table a sensor). */
  readonly name: string;
  /** Table it stands in, without folders. */
  readonly file: string;
  /** Place on the body as a day file names it (`pelvis`, `left_forearm` …; `lead_…` or `trail_…` where the name says so); null: ask for `sensors: places`. */
  readonly place: Described<string>;
  /** Column names by meaning, in the order x, y, z or w, x, y, z; null where there are none. */
  readonly columns: {
    readonly time: string | null;
    readonly gyro: readonly string[] | null;
    readonly acc: readonly string[] | null;
    readonly mag: readonly string[] | null;
    readonly quaternion: readonly string[] | null;
    readonly trigger: string | null;
  };
  /** Samples used, after rows with broken stamps were dropped. */
  readonly samples: number;
  /** One over the median step. */
  readonly rate_Hz: Described<number>;
  readonly timeUnit: Described<string>;
  readonly gyroUnit: Described<string>;
  readonly accUnit: Described<string>;
  /** Largest angular speed, rad/s; null without a gyro or its unit. */
  readonly fastest_radPerS: number | null;
  /** Length of the mean specific force at rest, m/s²; null where there is no rest or no unit. */
  readonly gravity_mPerS2: number | null;
  /** Rows whose stamp was missing, repeated or went backward. */
  readonly stampsDropped: number;
  /** Samples missing between the stamps, and the longest such step in seconds (0 without). */
  readonly samplesDropped: number;
  readonly longestStep_s: number;
  /** Samples at the range limit. */
  readonly clipped: { readonly gyro: number; readonly acc: number };
  /** Whether the quaternions fit, in words; '' where there are none. */
  readonly quaternions: string;
  /** Why the intake would leave the sensor out or refuse the trial: whole sentences. */
  readonly problems: readonly string[];
}

/** What `inspect` says of a recording of sensors. */
export interface SensorsDescription {
  readonly sensors: readonly SensorDescription[];
  /** Sentences of what would refuse the trial as a whole, each with the key to set. */
  readonly questions: readonly string[];
  readonly diagnostics: readonly Diagnostic[];
}

/** What the intake knows of a recording that `inspect` asks for; `trial` says what a day file would. */
export function describeSensors(
  recording: ImuRecording | C3dFile,
  trial: DescribeOptions = { file: '', sensors: DEFAULT_SENSOR_PLAN, insist: [], rate_Hz: null },
): SensorsDescription {
  const found = findSensors(recording, trial);
  if (!found.ok) return { sensors: [], questions: [found.why.needed], diagnostics: [] };
  const raws = found.value.sensors;
  const checked = checkSensors(raws, {
    plan: trial.sensors,
    rate_Hz: trial.rate_Hz,
    swing: false,
    insistUnits: trial.insist.includes('units'),
    insistRate: trial.insist.includes('rate'),
  });
  const assigned = assignPlaces(
    raws.map((raw) => raw.name),
    trial.sensors.places,
  );
  return {
    sensors: checked.sensors.map((sensor, i) => describe(sensor, assigned.places[i]!)),
    questions: checked.refusals.map((why) => why.needed),
    diagnostics: [
      ...found.value.diagnostics,
      ...assigned.diagnostics,
      ...checked.sensors.flatMap((sensor) => sensor.diagnostics),
    ],
  };
}

function describe(sensor: CheckedSensor, place: AssignedPlace): SensorDescription {
  const { raw, clock, orientation } = sensor;
  const hasOrientation = raw.quaternion !== null || raw.matrices !== null;
  let quaternions = '';
  if (hasOrientation) {
    quaternions = orientation.ok ? orientation.value.evidence : `not used: ${orientation.why.needed}`;
  }
  return {
    name: raw.name,
    file: raw.file,
    place: { value: place.place, evidence: place.evidence },
    columns: raw.columns,
    samples: clock?.sensor.rows ?? 0,
    rate_Hz: {
      value: clock?.rate_Hz ?? null,
      evidence:
        clock === null ? sensor.settledClock.evidence : clock.fromStamps ? 'the time stamps' : 'the stated rate',
    },
    timeUnit: { value: sensor.settledClock.unit, evidence: sensor.settledClock.evidence },
    gyroUnit: { value: sensor.gyroUnit.value, evidence: sensor.gyroUnit.evidence },
    accUnit: { value: sensor.accUnit.value, evidence: sensor.accUnit.evidence },
    fastest_radPerS: sensor.fastest_radPerS,
    gravity_mPerS2: sensor.gravity_mPerS2,
    stampsDropped: clock?.stampsDropped ?? 0,
    samplesDropped: clock?.samplesDropped ?? 0,
    longestStep_s: clock?.longestStep_s ?? 0,
    clipped: { gyro: countBit(sensor.clipped, CLIPPED_GYRO), acc: countBit(sensor.clipped, CLIPPED_ACC) },
    quaternions,
    problems: sensor.problems.map((why) => why.needed),
  };
}

function countBit(marks: Uint8Array, bit: number): number {
  let count = 0;
  for (const mark of marks) if ((mark & bit) !== 0) count += 1;
  return count;
}
