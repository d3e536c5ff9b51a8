import { describe, expect, it } from 'vitest';
import { formatFixed } from '../../../src/base/format.ts';
import { inspectionsJson, inspectSensors } from '../../../src/pipeline/inspect.ts';
import type { Inspection } from '../../../src/pipeline/inspection.ts';
import { inspectionText } from '../../../src/pipeline/inspectText.ts';
import { BIDS, bidsFiles, named } from '../../support/imuFiles.ts';
import { longTable, sensorCells, sensorTable } from '../../support/standingSensors.ts';

const SWING = { rate_Hz: 200, seconds: 4, fastest_degPerS: 600 };

function sound(one: ReturnType<typeof inspectSensors>): Inspection {
  if ('error' in one) throw new Error(one.error.message);
  return one;
}

describe('inspect of tables of sensors', () => {
  const one = sound(inspectSensors([named('day/swing.csv', longTable(SWING, ['sacrum', 'sternum']))], 'day/swing.csv'));

  it('has every key of a C3D file first, null where a table has none, and the sensors at the end', () => {
    expect(Object.keys(one)).toEqual([
      'file', 'bytes', 'processor', 'form', 'points', 'frames', 'firstFrame', 'rate_Hz', 'units', 'analogChannels',
      'analogSamplesPerFrame', 'rotations', 'labels', 'landmarks', 'up', 'target', 'events', 'diagnostics',
      'rotationLabels', 'source', 'sensors', 'questions',
    ]); // biome-ignore format: one glance
    expect(one).toMatchObject({ processor: null, form: null, points: 0, frames: 800, units: null, source: 'sensors' });
    expect(one.rate_Hz).toBe(200);
  });

  it('says of each sensor its place, columns, units, rate, span and gravity at rest', () => {
    expect(one.sensors.map(({ name, place }) => [name, place])).toEqual([
      ['sacrum', 'pelvis'],
      ['sternum', 'thorax'],
    ]);
    const first = one.sensors[0]!;
    expect(first.columns).toEqual({
      time: 'time_s',
      gyro: ['gyro_x', 'gyro_y', 'gyro_z'],
      acc: ['acc_x', 'acc_y', 'acc_z'],
      mag: null,
      quaternion: null,
      trigger: null,
    });
    expect([first.timeUnit, first.gyroUnit, first.accUnit]).toEqual(['s', 'deg/s', 'm/s2']);
    // The table was made with 9.81 m/s² and 600°/s; its ripple is 0.01.
    expect(Math.abs(first.gravity_mPerS2! - 9.81)).toBeLessThan(0.02);
    expect(Math.abs(first.fastest_degPerS! - 600)).toBeLessThan(0.1);
    expect(first.samples).toBe(800);
    expect(first.span_s).toBe(3.995); // 799 steps of 1/200 s
    expect([first.samplesDropped, first.stampsDropped, first.clippedGyro, first.clippedAcc]).toEqual([0, 0, 0, 0]);
  });

  it('in words', () => {
    const text = inspectionText(one);
    expect(text).toContain('2 sensors in 1 table');
    expect(text).toContain('sensor sacrum: place pelvis, 800 samples, 200 Hz, 4.00 s');
    expect(text).toContain('gyro gyro_x gyro_y gyro_z in deg/s, accelerometer acc_x acc_y acc_z in m/s2');
    expect(text).toMatch(/fastest 600°\/s, gravity at rest 9\.8\d\d m\/s²/);
  });

  it('dropped samples are counted, and the longest step is said', () => {
    const lines = sensorTable(SWING).split('\n');
    lines.splice(301, 4);
    lines.splice(101, 2);
    const dropped = sound(inspectSensors([named('hip.csv', lines.join('\n'))], 'hip.csv'));
    expect(dropped.sensors[0]).toMatchObject({ samples: 794, samplesDropped: 6 });
    expect(dropped.sensors[0]!.longestStep_s).toBeCloseTo(5 / 200, 6);
    expect(dropped.sensors[0]!.span_s).toBeCloseTo(799 / 200, 6);
    expect(inspectionText(dropped)).toContain('6 samples dropped (longest step 0.0250 s)');
  });

  it('one table per sensor', () => {
    const files = [named('d/chest.csv', sensorTable(SWING, 1)), named('d/pelvis.csv', sensorTable(SWING, 2))];
    const two = sound(inspectSensors(files, 'd/'));
    expect(two.sensors.map(({ name, file, place }) => [name, file, place])).toEqual([
      ['chest', 'chest.csv', 'thorax'],
      ['pelvis', 'pelvis.csv', 'pelvis'],
    ]);
    expect(two.bytes).toBe(files[0]!.bytes.length + files[1]!.bytes.length);
  });

  it('Motion-BIDS with its events', () => {
    const rows = Array.from({ length: 400 }, (_, i) =>
      [(i / 100).toFixed(2), ...sensorCells(i, { rate_Hz: 100, seconds: 4, fastest_degPerS: 90 }, 1)].join('\t'),
    );
    const channels = [
      'time\tn/a\tLATENCY\tn/a\ts\tn/a\tn/a\tgood',
      ...['x', 'y', 'z'].map((axis) => `gyro_${axis}\t${axis}\tGYRO\tpelvis\tdeg/s\tsacrum\tlocal\tgood`),
      ...['x', 'y', 'z'].map((axis) => `acc_${axis}\t${axis}\tACCEL\tpelvis\tm/s^2\tsacrum\tlocal\tgood`),
    ];
    const json = { TaskName: 'swing', SamplingFrequency: 100, GYROChannelCount: 4 };
    const events = named(`${BIDS.folder}${BIDS.stem}_events.tsv`, 'onset\tduration\ttrial_type\n2.5\t0\timpact\n');
    const bids = sound(inspectSensors([...bidsFiles({ rows, channels, json }), events], 'the recording'));
    expect(bids.sensors.map(({ name, place, gyroUnit }) => [name, place, gyroUnit])).toEqual([
      ['pelvis', 'pelvis', 'deg/s'],
    ]);
    expect(bids.events).toEqual([{ label: 'impact', context: '', time_s: 2.5, frame: 250 }]);
    expect(bids.diagnostics.map(({ code }) => code)).toContain('bids-count-disagrees');
    expect(inspectionText(bids)).toContain('event impact at 2.50000 s, frame 250');
  });

  it('a table of numbers without a sensor is no recording, and it is said what is missing', () => {
    const one = inspectSensors([named('scores.csv', 'hole,par,shots\n1,4,5\n2,3,3\n')], 'scores.csv');
    expect(one).toMatchObject({ file: 'scores.csv', error: { code: 'not-sensors', offset: null } });
    expect(inspectionText(one)).toContain('scores.csv: no recording of sensors; needed columns of a gyro');
    expect(inspectionText(one)).toContain('"hole", "par", "shots"');
  });

  it('a table of trials in words is none either', () => {
    const one = inspectSensors([named('trials.csv', 'file,club\na.c3d,driver\nb.c3d,iron7\n')], 'trials.csv');
    expect(one).toMatchObject({ error: { code: 'table-without-numbers' } });
  });
});

/** Every number of a JSON value with its key. */
function numbersIn(value: unknown, key = ''): readonly (readonly [string, number])[] {
  if (typeof value === 'number') return [[key, value]];
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([name, inner]) => numbersIn(inner, Array.isArray(value) ? key : name));
}

/** Decimals that may be there: a microsecond of time, 0.0001 Hz, 0.01°/s, 0.0001 m/s² (finer than any sensor tells); counts are whole. */
const DECIMALS: Readonly<Record<string, number>> = {
  rate_Hz: 4, span_s: 6, longestStep_s: 6, time_s: 6, fastest_degPerS: 2, gravity_mPerS2: 4,
}; // biome-ignore format: one glance

describe('numbers of inspect --json of tables', () => {
  // Rates whose steps are no short numbers, stamps with noise below their digits, a dropped row, Motion-BIDS with an event.
  const rows = Array.from({ length: 400 }, (_, i) =>
    [(i / 142.857).toFixed(5), ...sensorCells(i, { rate_Hz: 142.857, seconds: 2.8, fastest_degPerS: 90 }, 1)].join(
      '\t',
    ),
  );
  const channels = [
    'time\tn/a\tLATENCY\tn/a\ts\tn/a\tn/a\tgood',
    ...['x', 'y', 'z'].map((axis) => `gyro_${axis}\t${axis}\tGYRO\tpelvis\tdeg/s\tsacrum\tlocal\tgood`),
    ...['x', 'y', 'z'].map((axis) => `acc_${axis}\t${axis}\tACCEL\tpelvis\tm/s^2\tsacrum\tlocal\tgood`),
  ];
  const json = { TaskName: 'swing', SamplingFrequency: 142.857 };
  const event = `onset\tduration\ttrial_type\n${1 / 3}\t0\timpact\n`;
  const events = named(`${BIDS.folder}${BIDS.stem}_events.tsv`, event);
  const dropped = sensorTable({ rate_Hz: 250, seconds: 6, fastest_degPerS: 433.3 }).split('\n');
  dropped.splice(200, 1);
  const text = inspectionsJson([
    ...[250, 285.71, 1000 / 3, 59.94].map((rate_Hz) => {
      const seconds = rate_Hz === 250 ? 1399 / 250 : 4;
      return inspectSensors(
        [named('d/s.csv', longTable({ rate_Hz, seconds, fastest_degPerS: 777.7 }, ['hip', 'chest']))],
        'd/s.csv',
      );
    }),
    inspectSensors([named('d/hip.csv', dropped.join('\n'))], 'd/hip.csv'),
    inspectSensors([...bidsFiles({ rows, channels, json }), events], 'bids'),
  ]);
  const all = JSON.parse(text) as Inspection[];

  it('have no digits but those that mean something', () => {
    expect(all.every((one) => !('error' in one))).toBe(true);
    const numbers = numbersIn(all);
    const fine = numbers.filter(([key, value]) => value !== Number(formatFixed(value, DECIMALS[key] ?? 0)));
    expect(fine).toEqual([]);
    // Nothing of the kind 249.99999999999977 or 1.0000000000000002e-7 in the text itself.
    expect(text.replace(/"(?:[^"\\]|\\.)*"/g, '""').match(/\d\.\d{7,}|\de[+-]?\d/g)).toBeNull();
    const keys = new Set(numbers.filter(([, value]) => !Number.isInteger(value)).map(([key]) => key));
    expect([...keys].sort()).toEqual(Object.keys(DECIMALS).sort());
  });

  it('are the ones that the tables were made with', () => {
    expect(all[0]!.sensors[0]).toMatchObject({ rate_Hz: 250, span_s: 5.592, samples: 1399 });
    expect(all[4]!.sensors[0]).toMatchObject({ rate_Hz: 250, samplesDropped: 1, longestStep_s: 0.008 });
    expect(all[5]!.events[0]!.time_s).toBe(0.333333);
    // Stamps of 0.1 ms put a step of 3.5 ms at 285.71 Hz off by up to 0.05 ms, which is 4 Hz by a single step.
    expect(Math.abs(all[1]!.rate_Hz! - 285.71)).toBeLessThan(5);
  });
});
