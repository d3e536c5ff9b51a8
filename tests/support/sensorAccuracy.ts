/** What the program makes of synthetic swings recorded with sensors against what is true of them. */
import type { SensorRecording } from '../../samples/generator/sensorTrials.ts';
import type { SensorTruth } from '../../samples/generator/sensorTruth.ts';
import type { AnalysisPlan } from '../../src/model/analysisPlan.ts';
import { CATALOGUE } from '../../src/model/catalogue.ts';
import type { Motion } from '../../src/model/motion.ts';
import type { Moment, PositionId } from '../../src/model/positions.ts';
import type { Cell, SwingRecord } from '../../src/model/swingRecord.ts';
import type { SensorTrial } from '../../src/model/trial.ts';
import { createWorkspace, type Workspace } from '../../src/numeric/workspace.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import { motionFromSensors } from '../../src/pipeline/motionFromSensors.ts';
import { alignClocks } from '../../src/stages/alignClocks.ts';
import { jointAngles } from '../../src/stages/jointAngles.ts';
import { orientSensors } from '../../src/stages/orientSensors.ts';
import { readQuantities } from '../../src/stages/readQuantities.ts';
import { ALL_TRUE, ErrorTable } from './truthCases.ts';

const DEGREES = 180 / Math.PI;

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

function count(map: Map<string, number>, key: string): void {
  map.set(key, (map.get(key) ?? 0) + 1);
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
  for (const cell of cellsAt(motion, one, begin_s, ws)) addAngle(measured.angles, measured, cell, one.truth[zero]);
  ws.reset();
  const record = analyseTrial(one.trial, one.plan, ws);
  addTimes(measured, record, one, begin_s);
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

function cellsAt(motion: Motion, one: KnownSwing, zero: number, ws: Workspace): readonly Cell[] {
  const moments = new Map<PositionId, Moment>();
  for (const position of ALL_TRUE) {
    const t = one.truth.time_s[position] - zero;
    moments.set(position, {
      found: true,
      time_s: t,
      sd_s: 0,
      method: 'event',
      confidence: 1,
      flags: [],
      window_s: position === 'P1' ? [t - 0.1, t] : position === 'P10' ? [t, t + 0.1] : null,
      eventOffset_s: null,
    });
  }
  const none = { ok: false, why: { code: 'not-asked', needed: '' } } as const;
  const before = Math.floor((one.truth.time_s.P7 - zero) * motion.clock.rate_Hz);
  return readQuantities(
    {
      motion,
      angles: jointAngles(motion, [], ws).value,
      found: { moments, impact: { ok: true, value: { before, after: before + 1, evidence: 'event' } } },
      club: { 'head-speed': none, attack: none, path: none },
    },
    CATALOGUE,
    ws,
  ).value.cells;
}

function addAngle(table: ErrorTable, measured: SensorMeasured | null, cell: Cell, truth: SensorTruth['zeroed']): void {
  const values = (truth as Readonly<Record<string, Readonly<Record<string, number>>>>)[cell.position];
  const is = values?.[cell.quantity];
  if (is === undefined) return;
  if (cell.value === null) {
    if (measured) count(measured.missing, `${cell.quantity}@${cell.position}: ${cell.why?.needed}`);
    return;
  }
  const turns = Math.round((cell.value - is) / (2 * Math.PI));
  table.at(`${cell.quantity}@${cell.position}`).add((cell.value - is - 2 * Math.PI * turns) * DEGREES);
}

function addTimes(measured: SensorMeasured, record: SwingRecord, one: KnownSwing, zero: number): void {
  for (const position of ALL_TRUE) {
    const moment = record.moments[position];
    if (moment?.found !== true) {
      count(measured.missing, `${position}: ${moment?.why.needed ?? 'no moment'}`);
      continue;
    }
    count(measured.methods, `${position} ${moment.method}`);
    measured.times.at(position).add(1000 * (moment.time_s + zero - one.truth.time_s[position]));
  }
}
