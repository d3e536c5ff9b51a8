/** One sensor that turns in a known way without travelling, and tables made of such sensors: what the intake of sensors is tested with. */
import type { BidsChannel, ImuRecording, SensorTable, WordColumn } from '../../src/imu/types.ts';
import { DEFAULT_SENSOR_PLAN, type SensorPlan } from '../../src/model/sensors.ts';
import { createRandom } from '../../src/numeric/random.ts';
import {
  applyT3,
  expRotation,
  logRotation,
  mul3,
  mulT3,
  quaternionFromRotation,
} from '../../src/numeric/rotationKernels.ts';

export const G = 9.81;

export interface SensorMaking {
  readonly rate_Hz?: number;
  readonly seconds?: number;
  /** Changes the motion: sensors of different numbers move differently. */
  readonly number?: number;
  /** Standard deviation per axis, rad/s and ten times that in m/s². */
  readonly noise?: number;
  /** Largest turn, rad; 0: still throughout. */
  readonly turn?: number;
  /** First stamp, seconds. */
  readonly from_s?: number;
}

export interface MadeSensor {
  readonly time: number[];
  /** rad/s, three columns. */
  readonly gyro: number[][];
  /** m/s². */
  readonly acc: number[][];
  /** w, x, y, z of R_world_sensor, world +Z up. */
  readonly quaternion: number[][];
  /** R_world_sensor, nine numbers a sample. */
  readonly R: Float64Array[];
}

/** Smooth from 0 to 1 and back between 1 s and the last second. */
function envelope(t: number, seconds: number): number {
  const x = Math.min(1, Math.max(0, (t - 1) / (seconds - 2)));
  const s = Math.sin(Math.PI * x);
  return s * s;
}

/** Turns about three axes one after the other: still for a second at both ends. */
export function makeSensor(making: SensorMaking = {}): MadeSensor {
  const { rate_Hz = 200, seconds = 5, number = 0, noise = 0, turn = 1.2, from_s = 0 } = making;
  const rotationAt = (t: number): Float64Array => {
    const e = turn * envelope(t, seconds);
    const a = new Float64Array(9);
    const b = new Float64Array(9);
    const c = new Float64Array(9);
    const d = new Float64Array(9);
    const out = new Float64Array(9);
    expRotation([0, 0, 0.4 + number + e * Math.sin(2.1 * t + number)], a, 0);
    expRotation([0.9 * e * Math.sin(3.3 * t + 2 * number), 0, 0], b, 0);
    expRotation([0, 0.3 + 0.2 * number + 0.8 * e * Math.cos(2.7 * t), 0], c, 0);
    mul3(a, 0, b, 0, d, 0);
    mul3(d, 0, c, 0, out, 0);
    return out;
  };
  const random = createRandom(1 + number);
  const h = 1e-5;
  const made: MadeSensor = {
    time: [],
    gyro: [[], [], []],
    acc: [[], [], []],
    quaternion: [[], [], [], []],
    R: [],
  };
  const between = new Float64Array(9);
  const w = [0, 0, 0];
  const a = [0, 0, 0];
  const q = new Float64Array(4);
  for (let i = 0; i < Math.round(rate_Hz * seconds); i += 1) {
    const t = i / rate_Hz;
    const R = rotationAt(t);
    mulT3(rotationAt(t - h), 0, rotationAt(t + h), 0, between, 0);
    logRotation(between, 0, w);
    applyT3(R, 0, [0, 0, G], a);
    quaternionFromRotation(R, 0, q);
    made.time.push(from_s + t);
    for (let axis = 0; axis < 3; axis += 1) {
      made.gyro[axis]!.push(w[axis]! / (2 * h) + noise * random.normal());
      made.acc[axis]!.push(a[axis]! + 10 * noise * random.normal());
    }
    for (let k = 0; k < 4; k += 1) made.quaternion[k]!.push(q[k]!);
    made.R.push(R);
  }
  return made;
}

export type Columns = readonly (readonly [string, readonly number[]])[];

/** Columns of a sensor under the plain names, a prefix before each. */
export function columnsOf(
  made: MadeSensor,
  options: { readonly prefix?: string; readonly time?: boolean; readonly quaternion?: boolean } = {},
): Columns {
  const { prefix = '', time = true, quaternion = false } = options;
  const named = (names: readonly string[], values: readonly number[][]): Columns =>
    names.map((name, i) => [`${prefix}${name}`, values[i]!] as const);
  return [
    ...(time ? ([['time_s', made.time]] as const) : []),
    ...named(['gyro_x', 'gyro_y', 'gyro_z'], made.gyro),
    ...named(['acc_x', 'acc_y', 'acc_z'], made.acc),
    ...(quaternion ? named(['q_w', 'q_x', 'q_y', 'q_z'], made.quaternion) : []),
  ];
}

export function table(
  columns: Columns,
  options: { readonly file?: string; readonly units?: readonly string[]; readonly words?: readonly WordColumn[] } = {},
): SensorTable {
  const rows = columns[0]![1].length;
  const values = new Float64Array(columns.length * rows);
  columns.forEach(([, column], at) => {
    values.set(column, at * rows);
  });
  return {
    file: options.file ?? 'pelvis.csv',
    columns: columns.map(([name]) => name),
    units: options.units ?? columns.map(() => ''),
    rows,
    values,
    words: options.words ?? [],
  };
}

export function recording(...tables: SensorTable[]): ImuRecording {
  return { kind: 'delimited', tables, bids: null, diagnostics: [] };
}

/** A table with the rows of all sensors below one another, by time, and a column of names. */
export function longTable(sensors: readonly (readonly [string, MadeSensor])[], file = 'swing.csv'): SensorTable {
  const rows = sensors
    .flatMap(([, made], s) => made.time.map((time, row) => ({ time, s, row })))
    .sort((a, b) => a.time - b.time);
  const column = (pick: (made: MadeSensor) => readonly number[]): number[] =>
    rows.map(({ s, row }) => pick(sensors[s]![1])[row]!);
  return table(
    [
      ['time_s', column((made) => made.time)],
      ['sensor', rows.map(() => Number.NaN)],
      ...(['x', 'y', 'z'] as const).map((axis, i) => [`gyro_${axis}`, column((made) => made.gyro[i]!)] as const),
      ...(['x', 'y', 'z'] as const).map((axis, i) => [`acc_${axis}`, column((made) => made.acc[i]!)] as const),
    ],
    {
      file,
      words: [{ column: 1, words: sensors.map(([name]) => name), index: Int32Array.from(rows, ({ s }) => s) }],
    },
  );
}

type Channel = Partial<BidsChannel> & { readonly name: string };

const NO_CHANNEL: BidsChannel = {
  name: '',
  component: '',
  type: '',
  trackedPoint: '',
  units: '',
  placement: '',
  referenceFrame: '',
  samplingFrequency_Hz: null,
  status: '',
};

/** A Motion-BIDS recording of channels and their columns. */
export function bidsRecording(
  columns: readonly (readonly [Channel, readonly number[]])[],
  changes: Partial<NonNullable<ImuRecording['bids']>> = {},
): ImuRecording {
  return {
    kind: 'motion-bids',
    tables: [
      table(
        columns.map(([one, values]) => [one.name, values] as const),
        { file: 'sub-01_task-swing_tracksys-imu_motion.tsv', units: columns.map(([one]) => one.units ?? '') },
      ),
    ],
    bids: {
      samplingFrequency_Hz: 200,
      samplingFrequencyEffective_Hz: null,
      taskName: 'swing',
      missingValues: null,
      channels: columns.map(([one]) => ({ ...NO_CHANNEL, ...one })),
      frames: [],
      events: [],
      ...changes,
    },
    diagnostics: [],
  };
}

/** GYRO and ACCEL channels of one tracked point. */
export function bidsSensor(point: string, made: MadeSensor): readonly (readonly [Channel, readonly number[]])[] {
  return (['x', 'y', 'z'] as const).flatMap((component, i) => [
    [
      { name: `${point}_gyro_${component}`, component, type: 'GYRO', trackedPoint: point, units: 'rad/s' },
      made.gyro[i]!,
    ],
    [
      { name: `${point}_acc_${component}`, component, type: 'ACCEL', trackedPoint: point, units: 'm/s^2' },
      made.acc[i]!,
    ],
  ]);
}

export function sensorPlan(changes: Partial<SensorPlan> = {}): SensorPlan {
  return { ...DEFAULT_SENSOR_PLAN, ...changes };
}
