/** Recordings of sensors to a Trial: the only inward conversion of their units, axes, names and missing values. */

import type { Diagnostic, Outcome } from '../../base/diagnostics.ts';
import type { C3dFile } from '../../c3d/types.ts';
import type { ImuRecording } from '../../imu/types.ts';
import { type Avail, absent, type Missing, present } from '../../model/availability.ts';
import type { ClubPlan, PlayerPlan, SignedAxis, TrialPlan } from '../../model/dayPlan.ts';
import type { SensorPlace, SensorTrack } from '../../model/sensors.ts';
import type { SensorTrial, TrialEvent } from '../../model/trial.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { positionOfEvent } from '../eventNames.ts';
import { recogniseLandmarks } from '../recogniseLandmarks.ts';
import { checkSensors } from './checkSensors.ts';
import { assignPlaces, sensorPlaceOf } from './columns/assignPlaces.ts';
import { sensorsOfBids } from './columns/bidsSensors.ts';
import { listOf } from './columns/columnSets.ts';
import { type FoundSensors, sensorsOfTables } from './columns/tableSensors.ts';
import { sensorDiagnostic } from './diagnosticCodes.ts';
import { sensorsOfRotations, upOfRotations } from './rotationSensors.ts';
import { settleSensorFacts } from './sensorFacts.ts';
import { tellDetected, trackOf } from './sensorTrack.ts';

/** What the intake of sensors needs of the day: the trial with its settings, its player and its club. */
export interface SensorIntakePlan {
  readonly trial: TrialPlan;
  readonly player: PlayerPlan;
  readonly club: ClubPlan | null;
}

/** Whether a C3D file is read as markers or as sensors: as the day file says, otherwise markers where any landmark is recognised. */
export function sourceOfC3d(file: C3dFile, trial: TrialPlan, club: ClubPlan | null): 'markers' | 'sensors' {
  if (trial.source !== null) return trial.source;
  if (file.rotationData === null || file.rotationData.labels.length === 0) return 'markers';
  const { found } = recogniseLandmarks(file, { ...(club?.markers ?? {}), ...trial.markers });
  return found.size > 0 ? 'markers' : 'sensors';
}

/**
 * ImuRecording, or a C3D file with rotations, + plan → SensorTrial: rad/s, m/s², seconds from the earliest first sample, world Y up, places under lead
 * and trail, a left-hander reflected once. Refusals are whole sentences with both values and the key to set.
 * A single sensor that fails a check is left out and told; the trial is refused where none is left. Arrays are lent by `memory` where it is given.
 */
export function intakeSensors(
  recording: ImuRecording | C3dFile,
  context: SensorIntakePlan,
  memory?: Workspace,
): Outcome<Avail<SensorTrial>> {
  const { trial, player, club } = context;
  const diagnostics: Diagnostic[] = [];
  const refuse = (why: Missing): Outcome<Avail<SensorTrial>> => ({ value: { ok: false, why }, diagnostics });
  const insist = (fact: TrialPlan['insist'][number]): boolean => trial.insist.includes(fact);
  const plan = trial.sensors;

  const found = findSensors(recording, trial);
  if (!found.ok) return refuse(found.why);
  diagnostics.push(...found.value.diagnostics);
  const { sensors } = found.value;
  const checked = checkSensors(sensors, {
    plan,
    rate_Hz: trial.rate_Hz,
    swing: trial.role === 'swing',
    insistUnits: insist('units'),
    insistRate: insist('rate'),
  });
  if (checked.refusals.length > 0) return refuse(checked.refusals[0]!);
  const assigned = assignPlaces(
    sensors.map((sensor) => sensor.name),
    plan.places,
    neededIn(trial.role),
  );
  diagnostics.push(...assigned.diagnostics);
  const placed = checked.sensors
    .map((sensor, i) => ({ sensor, place: assigned.places[i]!.place }))
    .filter((one) => one.place !== null);
  if (placed.length === 0) {
    const names = sensors.map((sensor) => sensor.name);
    const why = assigned.places[0]?.evidence ?? '';
    return refuse({
      code: 'no-sensor-places',
      needed: `places of the sensors: the recording has ${listOf(names)} (${names[0]}: ${why}); name them in the day file under sensors: places, such as places: { pelvis: ${names[0]} }`,
    });
  }
  const usable = placed.filter((one) => one.sensor.problems.length === 0);
  for (const { sensor } of placed) {
    diagnostics.push(...sensor.diagnostics);
    if (sensor.problems.length > 0) {
      diagnostics.push(
        sensorDiagnostic('sensor-left-out', `${sensor.raw.name} was left out: it needs ${sensor.problems[0]!.needed}`),
      );
    }
  }
  if (usable.length === 0) return refuse(placed[0]!.sensor.problems[0]!);
  tellDetected(
    usable.map((one) => one.sensor),
    diagnostics,
  );

  const hand = trial.hand ?? player.hand;
  const fromC3d = !('tables' in recording);
  const settled = settleSensorFacts({
    sensors: usable.map((one) => one.sensor),
    up: trial.up,
    target: trial.target,
    hand,
    insistUp: insist('up'),
    insistRate: insist('rate'),
    rate_Hz: trial.rate_Hz,
    fileUp: fromC3d
      ? recording.rotationData === null
        ? null
        : upOfRotations(recording.rotationData)
      : upOfBids(recording),
    headingOfFile: plan.heading === 'file',
  });
  if (!settled.ok) return refuse(settled.why);
  diagnostics.push(...settled.value.diagnostics);
  const { facts } = settled.value;

  const zero = Math.min(...usable.map((one) => one.sensor.clock!.times_s[0]!));
  const tracks = new Map<SensorPlace, SensorTrack>();
  for (const { sensor, place } of usable) {
    const own = sensorPlaceOf(place!, facts.hand.value);
    const other = tracks.get(own);
    if (other !== undefined) {
      diagnostics.push(
        sensorDiagnostic(
          'place-ambiguous',
          `"${other.name}" and "${sensor.raw.name}" are both ${own.replaceAll('_', ' ')}; the first is used`,
        ),
      );
      continue;
    }
    tracks.set(own, trackOf(sensor, own, zero, facts, trial.target, memory, diagnostics));
  }
  return {
    value: present({
      source: 'sensors',
      head: {
        source: 'sensors',
        trial: trial.id,
        file: trial.file,
        player: player.id,
        club: trial.club,
        kind: club?.kind ?? null,
        set: trial.set,
        role: trial.role,
        order: trial.order,
        facts,
        substitutions: [],
      },
      sensors: tracks,
      events: eventsOf(recording, trial),
      diagnostics: [],
    }),
    diagnostics,
  };
}

/** Sensors of a recording with their columns, before any check. */
export function findSensors(
  recording: ImuRecording | C3dFile,
  trial: Pick<TrialPlan, 'file' | 'sensors' | 'insist' | 'rate_Hz'>,
): Avail<FoundSensors> {
  if (!('tables' in recording)) return sensorsOfRotations(recording, trial.file, trial.rate_Hz);
  if (recording.tables.length === 0) return absent('no-sensor-columns', `a table of sensors: ${trial.file} holds none`);
  return recording.kind === 'motion-bids'
    ? sensorsOfBids(recording, trial.insist.includes('units'))
    : sensorsOfTables(recording, trial.sensors);
}

/** Up by the spatial axes of the reference frame of the orientations: S is up, I is down (BIDS specification, modality motion). */
function upOfBids(recording: ImuRecording): { value: SignedAxis; evidence: string } | null {
  const { bids } = recording;
  if (bids === null) return null;
  const named = bids.channels.find((one) => one.type.toUpperCase() === 'ORNT')?.referenceFrame ?? '';
  const frame =
    bids.frames.find((one) => one.name === named) ?? (bids.frames.length === 1 ? bids.frames[0] : undefined);
  const letters = frame?.spatialAxes.toUpperCase() ?? '';
  for (const [letter, sign] of [
    ['S', '+'],
    ['I', '-'],
  ] as const) {
    const at = letters.indexOf(letter);
    if (at >= 0 && at < 3) {
      return {
        value: `${sign}${(['X', 'Y', 'Z'] as const)[at]!}`,
        evidence: `the reference frame's axes are ${letters}`,
      };
    }
  }
  return null;
}

/** The body's calibration trials do without the club, a hanging club without the body. */
function neededIn(role: TrialPlan['role']): (place: string) => boolean {
  if (role === 'calibration') return (place) => place === 'club';
  return (place) => role === 'swing' || place !== 'club';
}

function eventsOf(recording: ImuRecording | C3dFile, trial: TrialPlan): TrialEvent[] {
  const events = !('tables' in recording)
    ? recording.events.map((one) => ({ label: one.label.trim(), time_s: one.time_s }))
    : (recording.bids?.events ?? []).map((one) => ({ label: one.label.trim(), time_s: one.onset_s }));
  return events
    .filter((one) => Number.isFinite(one.time_s))
    .map((one) => ({ ...one, position: positionOfEvent(one.label, trial.events) }))
    .sort((a, b) => a.time_s - b.time_s);
}
