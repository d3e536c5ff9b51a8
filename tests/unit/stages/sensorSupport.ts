/** Sensors of invented players without files and clocks: tracks from what the generator feels, orientations as they truly are. */
import { DRIVER } from '../../../samples/generator/club.ts';
import { turned, turnIn } from '../../../samples/generator/geometry.ts';
import { makeSwing, type Player, seededPlayer } from '../../../samples/generator/makeSwing.ts';
import { type Kit, type KitOptions, makeKit } from '../../../samples/generator/sensorKit.ts';
import { inMirror, swingFrame } from '../../../samples/generator/sensorMotion.ts';
import {
  type CalibrationMovement,
  type CalibrationOptions,
  recordCalibration,
  recordHanging,
  recordSwing,
  type SensorRecording,
} from '../../../samples/generator/sensorTrials.ts';
import { type SensorTruth, sensorTruth } from '../../../samples/generator/sensorTruth.ts';
import type { Swing } from '../../../samples/generator/swing.ts';
import { truthOf } from '../../../samples/generator/truth.ts';
import { absent, present } from '../../../src/model/availability.ts';
import type { ClubPlan, Role } from '../../../src/model/dayPlan.ts';
import {
  DEFAULT_SENSOR_PLAN,
  type OrientedSensor,
  type OrientedSensors,
  type SensorCalibration,
  type SensorPlace,
  type SensorPlan,
  type SensorTrack,
  type StandingPose,
} from '../../../src/model/sensors.ts';
import { MEASURED } from '../../../src/model/track.ts';
import type { SensorTrial } from '../../../src/model/trial.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { calibrateSensors, type SensorCalibrationInput } from '../../../src/stages/calibrateSensors.ts';
import { clubPlan, playerPlan } from '../../support/plans.ts';
import { trialOf } from './support.ts';

const RAD = Math.PI / 180;

/** Left-handers are mirrored where the trial leaves the file: sensor axes (x, y, −z). */
const FLIP_ACC = [1, 1, -1] as const;
const FLIP_GYRO = [-1, -1, 1] as const;

/** A recording as the intake would leave it, each sensor's stamps made true times. */
export function sensorTrial(
  recording: SensorRecording,
  trial: string,
  options: { readonly hand: 'left' | 'right'; readonly role?: Role } = { hand: 'right' },
): SensorTrial {
  const sensors = new Map<SensorPlace, SensorTrack>();
  for (const { sensor, offset_s, rows } of recording.recorded) {
    const n = rows.length;
    const times_s = new Float64Array(n);
    const gyro = new Float64Array(3 * n);
    const acc = new Float64Array(3 * n);
    rows.forEach((row, k) => {
      times_s[k] = row[0]! - offset_s;
      for (let c = 0; c < 3; c++) {
        gyro[c * n + k] = row[1 + c]! * RAD * (options.hand === 'left' ? FLIP_GYRO[c]! : 1);
        acc[c * n + k] = row[4 + c]! * (options.hand === 'left' ? FLIP_ACC[c]! : 1);
      }
    });
    sensors.set(sensor.place, {
      place: sensor.place,
      name: sensor.name,
      rate_Hz: 250,
      times_s,
      gyro,
      acc,
      mag: null,
      orientation: absent('no-orientation', 'orientations in the file'),
      trigger_s: null,
      clipped: new Uint8Array(n),
    });
  }
  const { head } = trialOf({}, { role: options.role ?? 'swing', hand: options.hand });
  return { source: 'sensors', head: { ...head, source: 'sensors', trial }, sensors, events: [], diagnostics: [] };
}

export interface Session {
  readonly player: Player;
  readonly kit: Kit;
  readonly clubs: readonly ClubPlan[];
  readonly plan: SensorPlan;
  readonly input: SensorCalibrationInput;
}

export interface SessionOptions {
  readonly kit?: KitOptions;
  readonly movements?: readonly Exclude<CalibrationMovement, 'still'>[];
  readonly signals?: Partial<CalibrationOptions>;
  readonly standing?: StandingPose | null;
}

export const CLUB: ClubPlan = clubPlan({ id: DRIVER.id, kind: DRIVER.kind, length_m: DRIVER.length_m });

/** Calibration trials of one player, 250 Hz with noise and biases unless said. */
export function session(seed: number, options: SessionOptions = {}): Session {
  const player = seededPlayer(seed);
  const kit = makeKit(seed, player, { hand: 'right', ...options.kit });
  const { hand } = kit;
  const signals = { rate_Hz: 250, ...options.signals };
  const movements = options.movements ?? ['bow', 'pelvic-tilt'];
  return {
    player,
    kit,
    clubs: [CLUB],
    plan: DEFAULT_SENSOR_PLAN,
    input: {
      player: playerPlan({ id: player.id, hand, sex: player.sex, height_m: player.height_m }),
      still: sensorTrial(recordCalibration(seed + 1, kit, 'still', signals), 'still', { hand, role: 'static' }),
      movements: movements.map((movement, i) => ({
        movement,
        trial: sensorTrial(recordCalibration(seed + 2 + i, kit, movement, signals), movement, { hand }),
      })),
      hanging: [
        {
          club: CLUB.id,
          trial: sensorTrial(recordHanging(seed + 9, kit, signals), 'hang', { hand, role: 'calibration' }),
        },
      ],
      clubs: [CLUB],
      plan: DEFAULT_SENSOR_PLAN,
      standing: options.standing ?? null,
    },
  };
}

export function calibrated(made: Session, changes: Partial<SensorCalibrationInput> = {}) {
  return calibrateSensors({ ...made.input, ...changes }, createWorkspace({ poison: true }));
}

export interface OrientedSwing {
  readonly swing: Swing;
  readonly truth: SensorTruth;
  /** By the markers' rules. */
  readonly markerTimes_s: ReturnType<typeof truthOf>['time_s'];
  readonly oriented: OrientedSensors;
  readonly trial: SensorTrial;
  /** The swing's own time at time 0 of the motion. */
  readonly start_s: number;
}

const FRAME_s = 1 / 250;

/** A swing whose sensors' orientations are the true ones, each turned about the vertical by an angle of its own. */
export function orientedSwing(
  made: Session,
  seed: number,
  options: { readonly tied?: boolean; readonly without?: readonly SensorPlace[] } = {},
): OrientedSwing {
  const { swing } = makeSwing(seed, made.player, DRIVER, { rate_Hz: 240, noise_mm: 0 });
  const { hand } = made.kit;
  const recording = recordSwing(seed, made.kit, swing, { rate_Hz: 250, knock: false });
  const whole = sensorTrial(recording, `swing-${seed}`, { hand });
  const trial = {
    ...whole,
    sensors: new Map([...whole.sensors].filter(([place]) => !options.without?.includes(place))),
  };
  const start_s = Math.max(...[...trial.sensors.values()].map((track) => track.times_s[0]!)) + FRAME_s;
  const end_s = Math.min(...[...trial.sensors.values()].map((track) => track.times_s.at(-1)!));
  const frames = Math.floor((end_s - start_s) / FRAME_s);
  const clock = { rate_Hz: 250, frames };
  const sensors = new Map<SensorPlace, ReturnType<typeof present<OrientedSensor>>>();
  [...trial.sensors].forEach(([place, track], i) => {
    const sensor = made.kit.sensors.find((one) => one.place === place)!;
    const heading = turned([0, 1, 0], options.tied ? 0.7 : 0.7 + 1.9 * i);
    const data = new Float64Array(9 * frames);
    const w_radPerS = new Float64Array(3 * frames);
    // A left-hander's sensor sits mirrored on the mirrored body.
    const flip = hand === 'left' ? [1, 1, -1] : [1, 1, 1];
    for (let f = 0; f < frames; f++) {
      const t = start_s + f * FRAME_s;
      const still = t < swing.setup.contact;
      const { axes } = swingFrame(swing, place as 'pelvis', t, !still);
      const world = hand === 'left' ? inMirror(() => ({ axes, at: [0, 0, 0] }))(t).axes : axes;
      const columns = (['x', 'y', 'z'] as const).map((name) => {
        // Column of R_world_sensor in the mirrored or plain world.
        const m = made.kit.sensors.find((one) => one.place === place)!.mount[name];
        const own = [0, 1, 2].map((r) => world.x[r]! * m[0] + world.y[r]! * m[1] + world.z[r]! * m[2]);
        return own as [number, number, number];
      });
      for (let c = 0; c < 3; c++) {
        const v = columns[c]!.map((value, r) => value * flip[r]! * flip[c]!) as [number, number, number];
        const turnedV = turnIn(heading, v);
        for (let r = 0; r < 3; r++) data[9 * f + 3 * r + c] = turnedV[r]!;
      }
      const k = Math.max(0, Math.round((t - track.times_s[0]!) / FRAME_s));
      const n = track.times_s.length;
      for (let c = 0; c < 3; c++) {
        const bias = sensor.gyroBias_degPerS[c]! * RAD * (hand === 'left' ? FLIP_GYRO[c]! : 1);
        w_radPerS[c * frames + f] = track.gyro![c * n + Math.min(n - 1, k)]! - bias;
      }
    }
    sensors.set(
      place,
      present({
        track,
        method: 'strap-down',
        R: {
          dimension: 9,
          clock,
          data,
          state: new Uint8Array(frames).fill(MEASURED),
          noise: 0.002,
          provenance: 'true',
        },
        w_radPerS,
        bias_radPerS: [0, 0, 0],
        biasSd_radPerS: 0,
        driftBound_rad: 0.004,
        closingTilt_rad: 0.005,
      }),
    );
  });
  return {
    swing,
    truth: sensorTruth(swing),
    markerTimes_s: truthOf(swing, 0).time_s,
    oriented: { clock, start_s, sensors, still_s: [0, 0.2] },
    trial,
    start_s,
  };
}

export type { SensorCalibration };
