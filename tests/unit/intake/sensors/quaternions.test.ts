import { describe, expect, it } from 'vitest';
import type { ImuRecording } from '../../../../src/imu/types.ts';
import { intakeSensors } from '../../../../src/intake/sensors/intakeSensors.ts';
import type { TrialPlan } from '../../../../src/model/dayPlan.ts';
import type { SensorPlan, SensorTrack } from '../../../../src/model/sensors.ts';
import { type Columns, columnsOf, makeSensor, recording, sensorPlan, table } from '../../../support/madeSensors.ts';
import { clubPlan, playerPlan, trialPlan } from '../../../support/plans.ts';

const made = makeSensor({ noise: 0.002 });

interface Taken {
  readonly track: SensorTrack | null;
  readonly refusal: string;
  readonly up: string;
  readonly messages: readonly string[];
}

function take(
  columns: Columns,
  sensors: Partial<SensorPlan> = {},
  changes: Partial<TrialPlan> = {},
  hand: 'left' | 'right' = 'right',
): Taken {
  const file: ImuRecording = recording(table(columns));
  const { value, diagnostics } = intakeSensors(file, {
    trial: trialPlan({ file: 'pelvis.csv', sensors: sensorPlan(sensors), ...changes }),
    player: playerPlan({ hand }),
    club: clubPlan(),
  });
  return {
    track: value.ok ? value.value.sensors.get('pelvis')! : null,
    refusal: value.ok ? '' : `${value.why.code}: ${value.why.needed}`,
    up: value.ok ? `${value.value.head.facts.up.value} ${value.value.head.facts.up.source}` : '',
    messages: diagnostics.map((one) => `${one.code}: ${one.message}`),
  };
}

const signals = columnsOf(made);
const [w, x, y, z] = made.quaternion as [number[], number[], number[], number[]];
const minus = (values: readonly number[]): number[] => values.map((value) => -value);
const asRead: Columns = [...signals, ['q_w', w], ['q_x', x], ['q_y', y], ['q_z', z]];
const inverse: Columns = [...signals, ['q_w', w], ['q_x', minus(x)], ['q_y', minus(y)], ['q_z', minus(z)]];
/** The scalar last under names that say it is first. */
const misnamed: Columns = [...signals, ['q_w', x], ['q_x', y], ['q_y', z], ['q_z', w]];
const numbered = (parts: readonly (readonly number[])[]): Columns => [
  ...signals,
  ...parts.map((values, i) => [`q${i}`, values] as const),
];

/** Y-up world of a Z-up file: X is the file's X, Y its Z, Z = X × Y = −(file's Y) (worked by hand). */
function expected(sample: number): number[] {
  const R = made.R[sample]!;
  return [R[0]!, R[1]!, R[2]!, R[6]!, R[7]!, R[8]!, -R[3]!, -R[4]!, -R[5]!];
}

function orientationOf(taken: Taken): Float64Array {
  if (taken.track?.orientation.ok !== true) throw new Error(taken.refusal || 'no orientation');
  return taken.track.orientation.value;
}

function reason(taken: Taken): string {
  if (taken.track === null || taken.track.orientation.ok) return 'present';
  return `${taken.track.orientation.why.code}: ${taken.track.orientation.why.needed}`;
}

describe('quaternions of a file', () => {
  it('that turn as the gyro does become orientations in a world with Y up, the up axis detected', () => {
    const taken = take(asRead);
    const R = orientationOf(taken);
    for (const sample of [0, 250, 700]) {
      // Largest element error of an orientation read from double-precision quaternions.
      expected(sample).forEach((value, i) => {
        expect(R[9 * sample + i]).toBeCloseTo(value, 9);
      });
    }
    expect(taken.up).toBe('+Z detected');
    expect(taken.messages.join()).not.toContain('quaternion');
  });

  it('of a left-hander are mirrored: S·R·S with S = diag(1, 1, −1) (definitions 1)', () => {
    const right = orientationOf(take(asRead));
    const left = orientationOf(take(asRead, {}, {}, 'left'));
    const signs = [1, 1, -1, 1, 1, -1, -1, -1, 1];
    for (const sample of [100, 600]) {
      signs.forEach((sign, i) => {
        expect(left[9 * sample + i]).toBe(sign * right[9 * sample + i]!);
      });
    }
  });

  it('from world to sensor are turned round where the day file leaves it open', () => {
    const R = orientationOf(take(inverse));
    expect(R[9 * 500]).toBeCloseTo(expected(500)[0]!, 9);
    expect(reason(take(inverse, { quaternionDirection: 'world-to-sensor' }))).toBe('present');
  });

  it('in a direction that the day file states wrongly are not used, and the one that fits is named', () => {
    const text = reason(take(inverse, { quaternionDirection: 'sensor-to-world' }));
    expect(text).toMatch(
      /^quaternions-contradict-gyro: quaternions that turn as the gyro: those of pelvis \(w x y z, sensor to world\) miss it by \d+\.\d° RMS over \d+ windows of 0\.5 s/,
    );
    expect(text).toMatch(
      /read as w x y z, world to sensor they would fit \(0\.\d°\): correct sensors: quaternion_direction/,
    );
    expect(take(inverse, { quaternionDirection: 'sensor-to-world' }).messages.join()).toContain(
      'quaternions-contradict-gyro',
    );
  });

  it('whose names put the scalar first but whose values put it last are not used, and the order that fits is named', () => {
    expect(reason(take(misnamed))).toMatch(/read as x y z w, sensor to world they would fit \(0\.\d°\)/);
  });

  it('numbered from 0 are read w first, or as detected where only the other order fits; both are said', () => {
    const first = take(numbered([w, x, y, z]));
    expect(orientationOf(first)[9 * 500]).toBeCloseTo(expected(500)[0]!, 9);
    expect(first.messages.join()).toContain(
      'quaternion-order-assumed: pelvis: the quaternions (w x y z, sensor to world)',
    );
    const last = take(numbered([x, y, z, w]));
    expect(orientationOf(last)[9 * 500]).toBeCloseTo(expected(500)[0]!, 9);
    expect(last.messages.join()).toContain(
      'quaternion-order-assumed: pelvis: the quaternions (x y z w, sensor to world)',
    );
  });

  it('of another motion fit in no order or direction, with the numbers', () => {
    const other = makeSensor({ number: 3 }).quaternion;
    const text = reason(
      take([...signals, ['q_w', other[0]!], ['q_x', other[1]!], ['q_y', other[2]!], ['q_z', other[3]!]]),
    );
    expect(text).toMatch(
      /^quaternions-contradict-gyro: .* limit \d+\.\d°; no order or direction fits \(the best, .* misses by \d+\.\d°\)$/,
    );
  });

  it('may change sign from row to row', () => {
    const flip = (values: readonly number[]): number[] => values.map((value, i) => (i % 3 === 0 ? -value : value));
    const taken = take([...signals, ['q_w', flip(w)], ['q_x', flip(x)], ['q_y', flip(y)], ['q_z', flip(z)]]);
    expect(orientationOf(taken)[9 * 501]).toBeCloseTo(expected(501)[0]!, 9);
  });

  it('that are no unit quaternions are not used, with how far they are off', () => {
    const text = reason(
      take([
        ...signals,
        ['q_w', w.map((v) => 1.2 * v)],
        ['q_x', x.map((v) => 1.2 * v)],
        ['q_y', y.map((v) => 1.2 * v)],
        ['q_z', z.map((v) => 1.2 * v)],
      ]),
    );
    expect(text).toMatch(/^quaternions-not-unit: .* off by 0\.200 \(95 % of rows; limit 0\.05\)/);
  });

  it('are not used where the day file says so', () => {
    expect(reason(take(asRead, { useQuaternions: false }))).toContain('use_quaternions: no');
  });

  it('lie in a world whose up axis may be set; against gravity it is refused, unless insisted', () => {
    expect(take(asRead, {}, { up: '+Z' }).up).toBe('+Z set');
    expect(take(asRead, {}, { up: '+Y' }).refusal).toMatch(
      /^conflict-up: the day file sets up \+Y, the data show \+Z \(gravity at rest points along \+Z by the quaternions of 1 sensors\)/,
    );
    expect(take(asRead, {}, { up: '+Y', insist: ['up'] }).up).toBe('+Y insisted');
  });

  it('alone, without gyro and accelerometer, are taken as stated; direction and up are said to be assumed', () => {
    const taken = take([
      ['time_s', made.time],
      ['q_w', w],
      ['q_x', x],
      ['q_y', y],
      ['q_z', z],
    ]);
    expect(orientationOf(taken)[9 * 500]).toBeCloseTo(expected(500)[0]!, 9);
    expect(taken.messages.map((one) => one.split(':')[0])).toEqual([
      'world-up-assumed',
      'quaternion-direction-assumed',
    ]);
    expect(taken.track!.gyro).toBeNull();
  });

  it('of a still recording are judged by gravity: the reading that is level is taken', () => {
    const still = makeSensor({ turn: 0, number: 2, noise: 0.002 });
    const [a, b, c, d] = still.quaternion as [number[], number[], number[], number[]];
    const columns: Columns = [...columnsOf(still), ['q_w', a], ['q_x', minus(b)], ['q_y', minus(c)], ['q_z', minus(d)]];
    const taken = take(columns, {}, { role: 'static' });
    const R = orientationOf(taken);
    expect(R[9 * 100 + 3]).toBeCloseTo(still.R[100]![6]!, 9);
    expect(reason(take(columns, { quaternionDirection: 'sensor-to-world' }, { role: 'static' }))).toMatch(
      /^quaternions-not-level: .* off the nearest axis/,
    );
  });
});
