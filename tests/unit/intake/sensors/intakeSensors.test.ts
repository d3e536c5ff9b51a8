import { describe, expect, it } from 'vitest';
import type { ImuRecording } from '../../../../src/imu/types.ts';
import { intakeSensors } from '../../../../src/intake/sensors/intakeSensors.ts';
import type { Hand, TrialPlan } from '../../../../src/model/dayPlan.ts';
import type { SensorPlan } from '../../../../src/model/sensors.ts';
import type { SensorTrial } from '../../../../src/model/trial.ts';
import { createWorkspace } from '../../../../src/numeric/workspace.ts';
import { columnsOf, longTable, makeSensor, recording, sensorPlan, table } from '../../../support/madeSensors.ts';
import { clubPlan, playerPlan, trialPlan } from '../../../support/plans.ts';

const DEG = Math.PI / 180;

function take(
  file: ImuRecording,
  sensors: Partial<SensorPlan> = {},
  changes: Partial<TrialPlan> = {},
  hand: Hand | null = 'right',
) {
  return intakeSensors(
    file,
    {
      trial: trialPlan({ file: 'swing.csv', sensors: sensorPlan(sensors), ...changes }),
      player: playerPlan({ hand }),
      club: clubPlan(),
    },
    createWorkspace({ poison: true }),
  );
}

function accepted(...args: Parameters<typeof take>): SensorTrial {
  const { value } = take(...args);
  if (!value.ok) throw new Error(value.why.needed);
  return value.value;
}

function refusal(...args: Parameters<typeof take>): string {
  const { value } = take(...args);
  return value.ok ? 'accepted' : `${value.why.code}: ${value.why.needed}`;
}

const codes = (...args: Parameters<typeof take>): string[] => take(...args).diagnostics.map((one) => one.code);

const pelvis = makeSensor();
const wrist = makeSensor({ number: 1, from_s: 0.013 });

describe('tables of sensors', () => {
  it('beside one another are told apart by what their names have left over', () => {
    const file = recording(
      table([...columnsOf(pelvis, { prefix: 'sacrum_' }), ...columnsOf(wrist, { prefix: 'wrist_left_', time: false })]),
    );
    const { sensors } = accepted(file);
    expect([...sensors.keys()]).toEqual(['pelvis', 'lead_forearm']);
    expect(sensors.get('lead_forearm')!.gyro![5]).toBe(wrist.gyro[0]![5]);
    expect(sensors.get('pelvis')!.acc![3]).toBe(pelvis.acc[0]![3]);
  });

  it('below one another are told apart by a column of names, each on its own clock with one zero', () => {
    const { sensors } = accepted(
      recording(
        longTable([
          ['sternum', pelvis],
          ['wrist-left', wrist],
        ]),
      ),
    );
    expect([...sensors.keys()]).toEqual(['thorax', 'lead_forearm']);
    expect(sensors.get('thorax')!.times_s[0]).toBe(0);
    expect(sensors.get('lead_forearm')!.times_s[0]).toBeCloseTo(0.013, 12);
    expect(sensors.get('lead_forearm')!.rate_Hz).toBeCloseTo(200, 6);
  });

  it.each([1000, 86_400])('keep clocks that start %d s apart, each whole, from the earliest first sample', (from_s) => {
    const far = makeSensor({ number: 1, from_s });
    const file = recording(
      longTable([
        ['sternum', far],
        ['sacrum', pelvis],
      ]),
    );
    const { sensors } = accepted(file);
    expect(sensors.get('pelvis')!.times_s[0]).toBe(0);
    expect(sensors.get('thorax')!.times_s[0]).toBeCloseTo(from_s, 9);
    expect(sensors.get('thorax')!.times_s.length).toBe(far.time.length);
    expect(sensors.get('thorax')!.rate_Hz).toBeCloseTo(200, 4);
    expect(codes(file)).not.toContain('samples-dropped');
  });

  it('one for each sensor are named by their files', () => {
    const file = recording(
      table(columnsOf(pelvis), { file: 'pelvis.csv' }),
      table(columnsOf(wrist), { file: 'S02_chest.csv' }),
    );
    expect([...accepted(file).sensors.values()].map((one) => [one.place, one.name])).toEqual([
      ['pelvis', 'pelvis'],
      ['thorax', 'S02_chest'],
    ]);
  });

  it('are read by the columns of the day file, {sensor} standing for the name', () => {
    const renamed = columnsOf(pelvis, { time: false }).map(
      ([name, values]) => [`A7/${name.replace('gyro', 'rot').replace('acc', 'f')}`, values] as const,
    );
    const file = recording(table([['clock', pelvis.time], ...renamed]));
    const columns: SensorPlan['columns'] = {
      ...sensorPlan().columns,
      time: 'clock',
      gyro: ['{sensor}/rot_x', '{sensor}/rot_y', '{sensor}/rot_z'],
      acc: ['{sensor}/f_x', '{sensor}/f_y', '{sensor}/f_z'],
    };
    expect([...accepted(file, { columns, places: { pelvis: 'A7' } }).sensors.keys()]).toEqual(['pelvis']);
    expect(refusal(file, { columns: { ...columns, time: 'zeit' } })).toMatch(
      /^column-missing: column "zeit" \(sensors: columns: time\): pelvis\.csv has "clock", .*correct the name in the day file$/,
    );
  });

  it('are refused with the question where two columns read as one axis', () => {
    const file = recording(table([...columnsOf(pelvis), ['gyr_x', pelvis.gyro[1]!]]));
    expect(refusal(file)).toBe(
      'columns-ambiguous: one column for x of the gyro: in pelvis.csv both "gyro_x" and "gyr_x" read so; name the right one in the day file under sensors: columns: gyro',
    );
  });

  it('without a gyro or a quaternion are refused with their columns', () => {
    const file = recording(
      table(
        [
          ['time_s', pelvis.time],
          ['angle', pelvis.gyro[0]!],
        ],
        { file: 'a.csv' },
      ),
    );
    expect(refusal(file)).toMatch(/^no-sensor-columns: .*a\.csv has "time_s", "angle"; name them in the day file/);
  });

  it('whose only name says no place are refused with the key to set', () => {
    const file = recording(table(columnsOf(pelvis), { file: 'run7.csv' }));
    expect(refusal(file)).toMatch(/^no-sensor-places: .*"run7".*sensors: places, such as places: \{ pelvis: run7 \}$/);
    expect([...accepted(file, { places: { thorax: 'run7' } }).sensors.keys()]).toEqual(['thorax']);
  });

  it('keep a slower sensor’s own rows where the others’ rows leave it empty', () => {
    const slow = makeSensor({ number: 1, rate_Hz: 100 });
    const spread = (values: readonly number[]): number[] =>
      pelvis.time.map((_, i) => (i % 2 === 0 ? values[i / 2]! : Number.NaN));
    const file = recording(
      table([
        ['time_s', pelvis.time],
        ...columnsOf(pelvis, { prefix: 'pelvis_', time: false }),
        ...columnsOf(slow, { prefix: 'chest_', time: false }).map(([name, values]) => [name, spread(values)] as const),
      ]),
    );
    const { sensors, head } = accepted(file);
    expect(sensors.get('thorax')!.rate_Hz).toBeCloseTo(100, 6);
    expect(sensors.get('thorax')!.times_s.length).toBe(slow.time.length);
    expect(head.facts.rate_Hz.evidence).toContain('100.0 to 200.0 Hz');
  });

  it('give the rising edge of a trigger on the sensor’s clock', () => {
    const trigger = pelvis.time.map((t) => (t > 2.5001 && t < 3 ? 5 : 0));
    const { sensors } = accepted(recording(table([...columnsOf(pelvis), ['trigger', trigger]])));
    expect(sensors.get('pelvis')!.trigger_s).toBeCloseTo(2.505, 9);
  });
});

describe('units of sensors', () => {
  const scaled = (gyro: number, acc: number, time = 1) =>
    recording(
      table(
        columnsOf(pelvis).map(([name, values]) => {
          const factor = name.startsWith('gyro') ? gyro : name.startsWith('acc') ? acc : time;
          return [name === 'time_s' ? 'time' : name, values.map((value) => value * factor)] as const;
        }),
      ),
    );

  it.each([
    ['rad/s, m/s², s', 1, 1, 1],
    ['deg/s, g, ms', 1 / DEG, 1 / 9.80665, 1000],
    ['deg/s, mg, µs', 1 / DEG, 1000 / 9.80665, 1e6],
  ])('are detected: %s', (_, gyro, acc, time) => {
    const track = accepted(scaled(gyro, acc, time), {}, { role: 'functional' }).sensors.get('pelvis')!;
    pelvis.gyro.flat().forEach((value, i) => {
      expect(track.gyro![i]).toBeCloseTo(value, 9);
    });
    expect(track.acc![7]).toBeCloseTo(pelvis.acc[0]![7]!, 9);
    expect(track.times_s[100]).toBeCloseTo(0.5, 9);
    expect(codes(scaled(gyro, acc, time))).toContain('sensor-units-detected');
  });

  it('stated by the table are read in any usual spelling', () => {
    const units = ['ms', '°/s', '°/s', '°/s', 'G', 'G', 'G'];
    const columns = columnsOf(pelvis).map(([name, values]) => {
      const factor = name.startsWith('gyro') ? 1 / DEG : name.startsWith('acc') ? 1 / 9.80665 : 1000;
      return [name === 'time_s' ? 'time' : name, values.map((value) => value * factor)] as const;
    });
    const file = recording(table(columns, { units }));
    expect(accepted(file).sensors.get('pelvis')!.gyro![300]).toBeCloseTo(pelvis.gyro[0]![300]!, 9);
    expect(codes(file)).not.toContain('sensor-units-detected');
  });

  it('of the gyro that contradict gravity are refused with both, and held under insist', () => {
    const text = refusal(scaled(1, 1), { gyroUnit: 'deg/s' });
    expect(text).toMatch(
      /^conflict-units: one unit: the day file says the gyro is in deg\/s, the data show rad\/s \(in rad\/s the gyro foretells the tilt that gravity shows within 0\.0°, in deg\/s within \d+\.\d°/,
    );
    expect(text).toContain('list units under insist');
    const held = accepted(scaled(1, 1), { gyroUnit: 'deg/s' }, { insist: ['units'] });
    expect(held.sensors.get('pelvis')!.gyro![300]).toBeCloseTo(pelvis.gyro[0]![300]! * DEG, 12);
  });

  it('of the accelerometer that contradict gravity are refused with both lengths', () => {
    expect(refusal(scaled(1, 1), { accUnit: 'g' })).toMatch(
      /the day file says the accelerometer is in g, the data show m\/s2 \(gravity at rest is 9\.810: 96\.203 m\/s² in g, 9\.81 m\/s² in m\/s2\)/,
    );
  });

  it('of which none makes gravity are refused with the number and the factor that would fit', () => {
    expect(refusal(scaled(1, 1.1))).toMatch(
      /gravity at rest is 10\.791, expected 9\.81 m\/s², 1 g or 1000 mg ± 3 %.*a factor 0\.909/,
    );
    expect(refusal(scaled(1, 1.1), { accUnit: 'm/s2' })).toMatch(
      /^gravity-off: gravity at rest of 9\.81 m\/s² ± 3 %: pelvis in pelvis\.csv shows 10\.791 m\/s² in m\/s2; a factor 0\.909 would fit/,
    );
    const held = take(scaled(1, 1.1), { accUnit: 'm/s2' }, { insist: ['units'] });
    expect(held.value.ok).toBe(true);
    expect(held.diagnostics.map((one) => one.code)).toContain('gravity-off');
  });

  it('3 % off gravity pass, 3.1 % do not', () => {
    expect(take(scaled(1, 1.0299), { accUnit: 'm/s2' }).value.ok).toBe(true);
    expect(take(scaled(1, 1.031), { accUnit: 'm/s2' }).value.ok).toBe(false);
  });

  it('of the gyro are asked for where a still recording cannot tell', () => {
    const still = makeSensor({ turn: 0 });
    const file = recording(table(columnsOf(still)));
    expect(refusal(file, {}, { role: 'static' })).toMatch(
      /^unit-unknown: .*set sensors: gyro_unit \(rad\/s or deg\/s\)/,
    );
    expect(take(file, { gyroUnit: 'rad/s' }, { role: 'static' }).value.ok).toBe(true);
  });
});

describe('facts of a recording of sensors', () => {
  const trial = accepted(recording(table(columnsOf(pelvis))), {}, { target: null });

  it('say that it has no lengths, no target line and no frame in space', () => {
    expect(trial.head.source).toBe('sensors');
    expect(trial.head.facts.units).toMatchObject({ value: 'm', source: 'assumed' });
    expect(trial.head.facts.units.evidence).toBe('a recording of sensors has no lengths');
    expect(trial.head.facts.target).toMatchObject({ source: 'assumed', evidence: 'heading zero at address' });
    expect(trial.head.facts.mirrored.value).toBe(false);
    expect(trial.head.facts.up.evidence).toContain('no axes in space');
    expect(trial.head.facts.rate_Hz.value).toBeCloseTo(200, 6);
  });

  it('reflect a left-hander once: places, specific force and angular velocity', () => {
    const file = recording(table(columnsOf(wrist, { prefix: 'left_wrist_' })));
    const right = accepted(file).sensors.get('lead_forearm')!;
    const left = accepted(file, {}, {}, 'left').sensors.get('trail_forearm')!;
    const n = right.times_s.length;
    for (const i of [0, 300, 612]) {
      expect([left.acc![i], left.acc![n + i], left.acc![2 * n + i]]).toEqual([
        right.acc![i],
        right.acc![n + i],
        -right.acc![2 * n + i]!,
      ]);
      expect([left.gyro![i], left.gyro![n + i], left.gyro![2 * n + i]]).toEqual([
        -right.gyro![i]!,
        -right.gyro![n + i]!,
        right.gyro![2 * n + i],
      ]);
    }
  });

  it('assume the right hand where none is set, and say so', () => {
    expect(codes(recording(table(columnsOf(pelvis))), {}, {}, null)).toContain('hand-assumed');
  });
});
