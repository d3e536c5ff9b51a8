/** What the program makes of synthetic swings recorded with sensors against what is true of them. */
import type { SensorRecording } from '../../samples/generator/sensorTrials.ts';
import type { SensorTruth } from '../../samples/generator/sensorTruth.ts';
import type { TruePosition } from '../../samples/generator/truth.ts';
import type { AnalysisPlan } from '../../src/model/analysisPlan.ts';
import type { Cell } from '../../src/model/swingRecord.ts';
import type { SensorTrial } from '../../src/model/trial.ts';
import { createWorkspace, type Workspace } from '../../src/numeric/workspace.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import { motionFromSensors } from '../../src/pipeline/motionFromSensors.ts';
import { alignClocks } from '../../src/stages/alignClocks.ts';
import { orientSensors } from '../../src/stages/orientSensors.ts';
import { angleError, cellsAtTimes, count, countPositions } from './trueTimes.ts';
import { ErrorTable } from './truthCases.ts';

/** A trial of sensors whose swing is known. */
export interface KnownSwing {
  readonly trial: SensorTrial;
  readonly plan: AnalysisPlan;
  readonly truth: SensorTruth;
  readonly recording: Pick<SensorRecording, 'offset_s' | 'first_s'>;
}

export interface SensorMeasured {
  /** Degrees, `quantity@position`, read at the true time. */
  readonly angles: ErrorTable;
  /** The same where the program found the position. */
  readonly found: ErrorTable;
  /** Milliseconds by position. */
  readonly times: ErrorTable;
  /** Times a position or angle was not found, with the reason. */
  readonly missing: Map<string, number>;
  readonly methods: Map<string, number>;
}

export function nothingMeasured(): SensorMeasured {
  return {
    angles: new ErrorTable(),
    found: new ErrorTable(),
    times: new ErrorTable(),
    missing: new Map(),
    methods: new Map(),
  };
}

/** Against which zero of forward and side bend. */
export type Zero = 'anatomical' | 'zeroed';

export function measureSensors(cases: Iterable<KnownSwing>, zero: Zero = 'anatomical'): SensorMeasured {
  const measured = nothingMeasured();
  const ws = createWorkspace();
  for (const one of cases) addSwing(measured, one, zero, ws);
  return measured;
}

/** `ws` is not the one whose memory the trial lies in. */
export function addSwing(measured: SensorMeasured, one: KnownSwing, zero: Zero, ws: Workspace): void {
  ws.reset();
  const begin_s = zeroOf(one, ws);
  ws.reset();
  const motion = motionFromSensors(one.trial, one.plan, ws).value;
  const time = (position: TruePosition): number => one.truth.time_s[position] - begin_s;
  for (const cell of cellsAtTimes(motion, time, time('P7'), ws))
    addAngle(measured.angles, measured, cell, one.truth[zero]);
  ws.reset();
  const record = analyseTrial(one.trial, one.plan, ws);
  countPositions(record, measured, (position, moment) =>
    measured.times.at(position).add(1000 * (moment.time_s - time(position))),
  );
  for (const cell of record.cells) addAngle(measured.found, null, cell, one.truth[zero]);
}

/** The swing's own time at time 0 of its motion: what is true at t happens at t − zero there. */
function zeroOf(one: KnownSwing, ws: Workspace): number {
  const { plan, calibration } = one.plan.sensors!;
  if (!calibration.ok) throw new Error(calibration.why.needed);
  const aligned = alignClocks(one.trial, plan, ws).value;
  const bias = new Map(
    [...calibration.value.mountings].flatMap(([place, mounting]) =>
      mounting.ok ? [[place, mounting.value.bias_radPerS] as const] : [],
    ),
  );
  const { start_s } = orientSensors(aligned, { plan, bias }, ws).value;
  // The clock that alignment leaves as it is: of the first sensor that has one.
  const reference = [...one.trial.sensors.keys()].find(
    (place) => aligned.sensors.get(place)!.times_s[0] === one.trial.sensors.get(place)!.times_s[0],
  );
  const offset = one.recording.offset_s[reference as 'pelvis'];
  if (offset === undefined) throw new Error('no sensor kept its clock');
  return start_s + one.recording.first_s - offset;
}

function addAngle(table: ErrorTable, measured: SensorMeasured | null, cell: Cell, truth: SensorTruth['zeroed']): void {
  const values = (truth as Readonly<Record<string, Readonly<Record<string, number>>>>)[cell.position];
  const is = values?.[cell.quantity];
  if (is === undefined) return;
  if (cell.value === null) {
    if (measured) count(measured.missing, `${cell.quantity}@${cell.position}: ${cell.why?.needed}`);
    return;
  }
  table.at(`${cell.quantity}@${cell.position}`).add(angleError(cell.value, is));
}
