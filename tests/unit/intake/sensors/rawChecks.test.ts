import { describe, expect, it } from 'vitest';
import type { ImuRecording } from '../../../../src/imu/types.ts';
import { describeSensors } from '../../../../src/intake/sensors/describeSensors.ts';
import { intakeSensors } from '../../../../src/intake/sensors/intakeSensors.ts';
import { CLIPPED_ACC, CLIPPED_GYRO, type SensorPlan } from '../../../../src/model/sensors.ts';
import { type Columns, columnsOf, makeSensor, recording, sensorPlan, table } from '../../../support/madeSensors.ts';
import { clubPlan, playerPlan, trialPlan } from '../../../support/plans.ts';

const made = makeSensor({ noise: 0.002 });

function take(file: ImuRecording, sensors: Partial<SensorPlan> = {}) {
  const units = { gyroUnit: 'rad/s', accUnit: 'm/s2' } as const;
  const { value, diagnostics } = intakeSensors(file, {
    trial: trialPlan({ file: 'pelvis.csv', sensors: sensorPlan({ ...units, ...sensors }) }),
    player: playerPlan(),
    club: clubPlan(),
  });
  const message = (code: string): string => diagnostics.find((one) => one.code === code)?.message ?? '';
  return {
    refusal: value.ok ? '' : `${value.why.code}: ${value.why.needed}`,
    sensors: value.ok ? value.value.sensors : new Map(),
    message,
  };
}

const replaced = (changes: Readonly<Record<string, readonly number[]>>): ImuRecording =>
  recording(table(columnsOf(made).map(([name, values]) => [name, changes[name] ?? values] as const)));
const scaled = (values: readonly number[], k: number): number[] =>
  values.map((value) => Number((k * value).toFixed(4)));

describe('gyro columns that copy the accelerometer', () => {
  const [ax, ay, az] = made.acc as [number[], number[], number[]];

  it.each([
    ['exactly', { gyro_x: ax, gyro_y: ay, gyro_z: az }, 'gyro_x is 1.0000 times acc_x'],
    [
      'scaled, in another order',
      { gyro_x: scaled(az, 0.1), gyro_y: scaled(ax, 0.1), gyro_z: scaled(ay, 0.1) },
      'gyro_x is 0.1000 times acc_z',
    ],
    [
      'with the sign reversed',
      { gyro_x: scaled(ax, -1), gyro_y: scaled(ay, -1), gyro_z: scaled(az, -1) },
      'gyro_x is -1.0000 times acc_x',
    ],
  ])('%s are refused', (_, changes, found) => {
    const { refusal } = take(replaced(changes));
    expect(refusal).toMatch(
      /^gyro-copies-accelerometer: a gyro of its own: 3 of 3 gyro columns of pelvis in pelvis\.csv/,
    );
    expect(refusal).toContain(found);
  });

  it('are refused where a single one does', () => {
    expect(take(replaced({ gyro_y: scaled(az, 2) })).refusal).toContain('1 of 3 gyro columns');
  });

  it('are not seen in honest signals, nor in columns that keep one value', () => {
    expect(take(replaced({})).refusal).toBe('');
    const zero = made.time.map(() => 0);
    expect(take(replaced({ gyro_x: zero, acc_x: zero })).refusal).not.toContain('copies');
  });
});

describe('a sensor that copies another', () => {
  it('is refused with both names', () => {
    const file = recording(
      table(columnsOf(made), { file: 'pelvis.csv' }),
      table(columnsOf(made), { file: 'thorax.csv' }),
    );
    expect(take(file).refusal).toBe(
      'sensor-copies-sensor: signals of its own for each sensor: the gyro and accelerometer of thorax in thorax.csv copies that of pelvis in pelvis.csv, row for row; export both sensors again',
    );
  });

  it('is not one that moves alike', () => {
    const other = makeSensor({ number: 0.01, noise: 0.002 });
    const file = recording(
      table(columnsOf(made), { file: 'pelvis.csv' }),
      table(columnsOf(other), { file: 'thorax.csv' }),
    );
    expect(take(file).refusal).toBe('');
  });
});

describe('clipping', () => {
  const fast = makeSensor({ turn: 3 });
  const limit = 5;
  const clip = (values: readonly number[]): number[] => values.map((value) => Math.max(-limit, Math.min(limit, value)));
  const columns: Columns = columnsOf(fast).map(([name, values]) => [
    name,
    name.startsWith('gyro') ? clip(values) : values,
  ]);
  const beyond = fast.time.map((_, i) => (fast.gyro.some((axis) => Math.abs(axis[i]!) >= limit) ? CLIPPED_GYRO : 0));
  const atLimit = beyond.filter((bit) => bit !== 0).length;

  it('is found by flat tops, marked sample by sample and told with count and times', () => {
    expect(atLimit).toBeGreaterThan(20);
    const taken = take(recording(table(columns)));
    expect([...taken.sensors.get('pelvis')!.clipped]).toEqual(beyond);
    expect(taken.message('gyro-clipped')).toMatch(
      new RegExp(
        `^pelvis: ${atLimit} samples at the limit \\(flat tops at a repeated extreme\\), at \\d\\.\\d{3}–\\d\\.\\d{3} s`,
      ),
    );
  });

  it('is found by the declared range', () => {
    const taken = take(recording(table(columns)), { range: { gyro_radPerS: limit, acc_mPerS2: 9 } });
    const { clipped } = taken.sensors.get('pelvis')!;
    for (let i = 0; i < clipped.length; i += 1) {
      // 0.2 % below the limit counts as at it.
      const gyro = fast.gyro.some((axis) => Math.abs(axis[i]!) >= 0.998 * limit);
      const acc = fast.acc.some((axis) => Math.abs(axis[i]!) >= 0.998 * 9);
      expect(clipped[i]).toBe((gyro ? CLIPPED_GYRO : 0) + (acc ? CLIPPED_ACC : 0));
    }
    expect(taken.message('acc-clipped')).toContain('the range of the day file');
  });

  it('is not seen in a smooth peak, coarse as its steps may be', () => {
    const coarse = columnsOf(fast).map(
      ([name, values]) =>
        [name, name.startsWith('gyro') ? values.map((value) => Math.round(20 * value) / 20) : values] as const,
    );
    expect(take(recording(table(coarse))).message('gyro-clipped')).toBe('');
  });
});

describe('channels', () => {
  it('that keep one value are told', () => {
    const taken = take(replaced({ gyro_z: made.time.map(() => 0.5) }));
    expect(taken.message('dead-channel')).toBe(
      'pelvis: gyro_z in pelvis.csv keeps one value (0.5000) in all 1000 rows',
    );
  });

  it('that repeat rows are told: the table is faster than the sensor', () => {
    const hold = (values: readonly number[]): number[] => values.map((_, i) => values[i - (i % 2)]!);
    const file = recording(
      table(columnsOf(made).map(([name, values]) => [name, name === 'time_s' ? values : hold(values)])),
    );
    expect(take(file).message('values-repeated')).toMatch(
      /50 % of the gyro's rows in pelvis\.csv repeat the row before/,
    );
  });
});

describe('a gyro with its signs reversed', () => {
  it('is left out with both misses; the other sensors stay', () => {
    const other = makeSensor({ number: 1, noise: 0.002 });
    const wrong = columnsOf(made).map(
      ([name, values]) => [name, name.startsWith('gyro') ? scaled(values, -1) : values] as const,
    );
    const file = recording(table(wrong, { file: 'pelvis.csv' }), table(columnsOf(other), { file: 'thorax.csv' }));
    const taken = take(file);
    expect([...taken.sensors.keys()]).toEqual(['thorax']);
    expect(taken.message('gyro-contradicts-gravity')).toMatch(
      /that of pelvis in pelvis\.csv misses gravity's direction by \d+\.\d°, with all signs reversed by 0\.\d°/,
    );
    expect(take(recording(table(wrong))).refusal).toMatch(/^gyro-contradicts-gravity/);
  });
});

describe('what inspect is told', () => {
  it('has names, places, columns, rate, units with evidence, gravity and problems, and refuses nothing', () => {
    const { sensors, questions } = describeSensors(
      recording(table(columnsOf(made, { quaternion: true }), { file: 'sacrum.csv' })),
    );
    expect(questions).toEqual([]);
    expect(sensors).toHaveLength(1);
    expect(sensors[0]).toMatchObject({
      name: 'sacrum',
      place: { value: 'pelvis' },
      columns: { time: 'time_s', gyro: ['gyro_x', 'gyro_y', 'gyro_z'], quaternion: ['q_w', 'q_x', 'q_y', 'q_z'] },
      gyroUnit: { value: 'rad/s' },
      accUnit: { value: 'm/s2' },
      samples: 1000,
      problems: [],
    });
    expect(sensors[0]!.gravity_mPerS2).toBeCloseTo(9.81, 1);
    expect(sensors[0]!.quaternions).toContain('turn as the gyro does');
  });

  it('gives the question where the intake would refuse', () => {
    const none = describeSensors(recording(table([['time_s', made.time]], { file: 'a.csv' })));
    expect(none.questions[0]).toContain('a.csv has "time_s"');
    const wrong = describeSensors(
      replaced({ acc_x: scaled(made.acc[0]!, 3), acc_y: scaled(made.acc[1]!, 3), acc_z: scaled(made.acc[2]!, 3) }),
    );
    expect(wrong.questions[0]).toContain('set sensors: acc_unit');
    expect(wrong.sensors[0]!.problems).toHaveLength(1);
  });
});
