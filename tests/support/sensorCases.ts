/** Synthetic swings recorded with sensors whose motion is known: from the bytes of their tables through the program's own path. */
import { type ClubSpec, DRIVER, IRON_5, IRON_7, IRON_9 } from '../../samples/generator/club.ts';
import { makeStatic, makeSwing, type Player, seededPlayer } from '../../samples/generator/makeSwing.ts';
import { type Kit, type KitOptions, makeKit, placesInFile } from '../../samples/generator/sensorKit.ts';
import {
  type CalibrationOptions,
  recordCalibration,
  recordHanging,
  recordSwing,
  type SensorRecording,
  type SensorSwingOptions,
} from '../../samples/generator/sensorTrials.ts';
import { type SensorTruth, sensorTruth } from '../../samples/generator/sensorTruth.ts';
import type { Swing } from '../../samples/generator/swing.ts';
import { readImu } from '../../src/imu/readImu.ts';
import { intakeSensors } from '../../src/intake/sensors/intakeSensors.ts';
import type { AnalysisPlan } from '../../src/model/analysisPlan.ts';
import { present } from '../../src/model/availability.ts';
import {
  type ClubPlan,
  DEFAULT_FAULTS,
  DEFAULT_FILTER,
  DEFAULT_GAPS,
  type PlayerPlan,
  type TrialPlan,
} from '../../src/model/dayPlan.ts';
import {
  DEFAULT_SENSOR_PLAN,
  type SensorCalibration,
  type SensorPlan,
  type StandingPose,
} from '../../src/model/sensors.ts';
import type { SensorTrial } from '../../src/model/trial.ts';
import { createWorkspace } from '../../src/numeric/workspace.ts';
import { calibrate } from '../../src/stages/calibrate.ts';
import { calibrateSensors, standingPose } from '../../src/stages/calibrateSensors.ts';
import { toPlayerFrame } from '../../src/stages/toPlayerFrame.ts';
import { clubPlan, playerPlan, trialPlan } from './plans.ts';
import { exactFile, takenIn } from './truthCases.ts';

export interface SensorConditions {
  /** Of swing and calibration trials. */
  readonly signals: SensorSwingOptions & CalibrationOptions;
  readonly kit?: KitOptions;
}

/** As a good day has it: 250 Hz, biases, noise, clocks of their own, a knock. */
export const USUAL: SensorConditions = { signals: { rate_Hz: 250 } };
/** Nothing but the sampling: hardly any noise (what never moves would count as a copy), no bias, sway, missed axis, rounding or clock. */
export const FLAWLESS: SensorConditions = {
  signals: { rate_Hz: 250, noise: 1e-4, digits: [9, 9, 9], clocks: false, sway: 0, axisOff: [0, 0] },
  kit: { flawless: true },
};

const CLUBS = [DRIVER, IRON_7, DRIVER, IRON_5, DRIVER, IRON_9];
const clubOf = (seed: number): ClubSpec => CLUBS[seed % CLUBS.length]!;

export interface SensorCase {
  readonly session: SensorSession;
  readonly swing: Swing;
  readonly truth: SensorTruth;
  readonly recording: SensorRecording;
  readonly trial: SensorTrial;
  readonly plan: AnalysisPlan;
}

/** What one player's session fixes: sensors, plans, the calibration. */
export interface SensorSession {
  readonly player: Player;
  readonly kit: Kit;
  readonly plan: SensorPlan;
  readonly playerPlan: PlayerPlan;
  readonly clubs: readonly ClubPlan[];
  /** With the bends of a marker static trial in the still pose. */
  readonly calibration: SensorCalibration;
  /** Without: no bend in the still pose. */
  readonly zeroed: SensorCalibration;
}

const sessions = new Map<string, SensorSession>();

function sensorSession(player: Player, seed: number, conditions: SensorConditions): SensorSession {
  const key = `${player.id}/${seed}/${JSON.stringify([conditions.signals, conditions.kit])}`;
  const known = sessions.get(key);
  if (known !== undefined) return known;
  const made = makeSession(player, seed, conditions);
  sessions.set(key, made);
  return made;
}

function makeSession(player: Player, seed: number, conditions: SensorConditions): SensorSession {
  const { signals } = conditions;
  const kit = makeKit(seed, player, conditions.kit);
  const who = playerPlan({ id: player.id, hand: kit.hand, sex: player.sex, height_m: player.height_m, still: 'still' });
  const plan: SensorPlan = {
    ...DEFAULT_SENSOR_PLAN,
    timeUnit: 's',
    gyroUnit: 'deg/s',
    accUnit: 'm/s2',
    places: placesInFile(kit),
    align: { kind: 'knock', from_s: 0, to_s: 0.6 },
  };
  const clubs = [DRIVER, IRON_5, IRON_7, IRON_9].map(({ id, kind, length_m }) => clubPlan({ id, kind, length_m }));
  const taken = (recording: SensorRecording, id: string, changes: Partial<TrialPlan>): SensorTrial =>
    takenFrom(recording, { plan, who, club: null, separate: false }, id, changes);
  const ws = createWorkspace();
  const still = taken(recordCalibration(seed + 1, kit, 'still', signals), 'still', { role: 'static' });
  const movements = (['bow', 'pelvic-tilt'] as const).map((movement, i) => ({
    movement,
    trial: taken(recordCalibration(seed + 2 + i, kit, movement, signals), movement, { role: 'functional', movement }),
  }));
  const hanging = [...new Set([clubOf(seed), IRON_7])].map(({ id }, i) => ({
    club: id,
    trial: taken(recordHanging(seed + 4 + i, kit, signals), `hang-${id}`, { role: 'calibration', club: id }),
  }));
  const standing = standingOf(seed, player, kit.hand, who);
  const input = { player: who, still, movements, hanging, clubs, plan, standing };
  return {
    player,
    kit,
    plan,
    playerPlan: who,
    clubs,
    calibration: calibrateSensors(input, ws).value,
    zeroed: calibrateSensors({ ...input, standing: null }, ws).value,
  };
}

function standingOf(seed: number, player: Player, hand: 'left' | 'right', who: PlayerPlan): StandingPose {
  const made = makeStatic(seed, player, { rate_Hz: 240, noise_mm: 0, rounding: false, hand });
  const plan = trialPlan({
    id: 'static',
    file: 'static.c3d',
    player: player.id,
    role: 'static',
    club: null,
    up: '+Z',
    target: '+X',
    units: 'mm',
  });
  const ws = createWorkspace();
  const still = toPlayerFrame(takenIn(exactFile(made.content), plan, who, null), ws).value;
  return standingPose(still, calibrate(still, who, ws).value, ws);
}

interface Reading {
  readonly plan: SensorPlan;
  readonly who: PlayerPlan;
  readonly club: ClubPlan | null;
  readonly separate: boolean;
}

/** Bytes to trial. */
function takenFrom(
  recording: SensorRecording,
  { plan, who, club, separate }: Reading,
  id: string,
  changes: Partial<TrialPlan>,
): SensorTrial {
  const files = separate
    ? [...recording.tables()].map(([name, bytes]) => ({ path: `${id}/${name}.csv`, bytes }))
    : [{ path: `${id}.csv`, bytes: recording.table() }];
  const trial = trialPlan({
    id,
    file: files[0]!.path,
    files: files.map(({ path }) => path),
    source: 'sensors',
    player: who.id,
    club: club?.id ?? null,
    sensors: plan,
    still: 'still',
    ...changes,
  });
  const taken = intakeSensors(readImu(files), { trial, player: who, club }, createWorkspace());
  if (!taken.value.ok) throw new Error(`${id}: ${taken.value.why.needed}`);
  return taken.value.value;
}

/** One swing of a session: with the club of its seed or an iron 7, which hang. */
export function swingOfSession(
  session: SensorSession,
  seed: number,
  swing: Swing,
  conditions: SensorConditions,
): SensorCase {
  const recording = recordSwing(seed, session.kit, swing, conditions.signals);
  const { id } = swing.club.spec;
  const club = session.clubs.find((one) => one.id === id)!;
  const reading = { plan: session.plan, who: session.playerPlan, club, separate: false };
  return {
    session,
    swing,
    truth: sensorTruth(swing),
    recording,
    trial: takenFrom(recording, reading, `swing-${seed}`, {}),
    plan: {
      player: session.playerPlan,
      club,
      calibration: null,
      filter: DEFAULT_FILTER,
      gaps: DEFAULT_GAPS,
      faults: DEFAULT_FAULTS,
      orders: [],
      sensors: { plan: session.plan, calibration: present(session.calibration) },
      sha256: '',
    },
  };
}

/** The same swing with the calibration that knows no marker static trial. */
export function zeroedCase(one: SensorCase): SensorCase {
  const sensors = { ...one.plan.sensors!, calibration: present(one.session.zeroed) };
  return { ...one, plan: { ...one.plan, sensors } };
}

/** The same swing from one table a sensor. */
export function fromSeparateTables(one: SensorCase): SensorCase {
  const { plan, playerPlan: who } = one.session;
  const reading = { plan, who, club: one.plan.club, separate: true };
  return { ...one, trial: takenFrom(one.recording, reading, one.trial.head.trial, {}) };
}

/** One swing of an invented player; every seed is another player, the club goes round. */
export function sensorCase(seed: number, conditions: SensorConditions): SensorCase {
  const player = seededPlayer(seed);
  const session = sensorSession(player, seed, conditions);
  return swingOfSession(session, seed, inventedSwing(seed, player, clubOf(seed)), conditions);
}

const swings = new Map<string, Swing>();

/** The motion alone: markers, which are not looked at, at a few frames. */
export function inventedSwing(seed: number, player: Player, club: ClubSpec): Swing {
  const key = `${player.id}/${seed}/${club.id}`;
  const swing = swings.get(key) ?? makeSwing(seed, player, club, { rate_Hz: 10, noise_mm: 0 }).swing;
  swings.set(key, swing);
  return swing;
}
