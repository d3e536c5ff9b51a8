import { describe, expect, it } from 'vitest';
import { FormatError, type FormatProblem } from '../../../src/base/errors.ts';
import { readImu } from '../../../src/imu/readImu.ts';
import type { ImuRecording } from '../../../src/imu/types.ts';
import { BIDS, bidsFiles, named } from '../../support/imuFiles.ts';

function problem(act: () => unknown): FormatProblem {
  try {
    act();
  } catch (error) {
    if (error instanceof FormatError) return error.problem;
    throw error;
  }
  throw new Error('the recording was read');
}

function messages(recording: ImuRecording): (readonly [string, string])[] {
  return recording.diagnostics.map(({ code, message }) => [code, message] as const);
}

const STEM = `${BIDS.folder}${BIDS.stem}`;

function channels(change: (row: string, i: number) => string): ImuRecording {
  return readImu(bidsFiles({ channels: BIDS.channels.map(change) }));
}

describe('a recording with its side-cars', () => {
  const one = readImu(bidsFiles());
  const table = one.tables[0]!;

  it('has one column per channel, with the units of channels.tsv', () => {
    expect(one.kind).toBe('motion-bids');
    expect(one.diagnostics).toEqual([]);
    expect(table.columns).toEqual(['time', 'gyro_x', 'gyro_y', 'gyro_z', 'q_w', 'q_x', 'q_y', 'q_z', 'hip_x']);
    expect(table.units).toEqual(['s', 'rad/s', 'rad/s', 'rad/s', '', '', '', '', 'm']);
    expect([...table.values.subarray(0, 6)]).toEqual([0, 0.01, 0.02, 0.1, 0.4, 0.7]);
    expect([...table.values.subarray(24)]).toEqual([1.5, Number.NaN, 1.7]);
  });

  it('keeps what the side-cars say, a status of bad included', () => {
    expect(one.bids).toMatchObject({ samplingFrequency_Hz: 100, taskName: 'swing', missingValues: null, frames: [] });
    expect(one.bids!.channels[3]).toEqual({
      name: 'gyro_z',
      component: 'z',
      type: 'GYRO',
      trackedPoint: 'pelvis',
      units: 'rad/s',
      placement: 'sacrum',
      referenceFrame: 'local',
      samplingFrequency_Hz: null,
      status: 'bad',
    });
    expect(one.bids!.channels[0]).toMatchObject({ component: '', trackedPoint: '', placement: '' });
  });

  it('a first row equal to the channel names is passed over, and it is said (as information)', () => {
    const header = BIDS.channels.map((row) => row.split('\t')[0]).join('\t');
    const same = readImu(bidsFiles({ rows: [header, ...BIDS.rows] }));
    expect([...same.tables[0]!.values]).toEqual([...table.values]);
    expect(same.diagnostics.map(({ code, severity }) => [code, severity])).toEqual([['bids-header-row', 'info']]);
  });

  it('reference frames of channels.json and events of events.tsv', () => {
    const levels = {
      global: { SpatialAxes: 'ALS', RotationOrder: 'ZXY', RotationRule: 'right-hand', Description: 'the room' },
      local: { SpatialAxes: 'XYZ', RotationOrder: 'n/a' },
    };
    const read = readImu([
      ...bidsFiles(),
      named(`${STEM}_channels.json`, JSON.stringify({ reference_frame: { Levels: levels } })),
      named(
        'sub-01/motion/sub-01_task-swing_run-01_events.tsv',
        'onset\tduration\ttrial_type\n0.01\t0\timpact\nn/a\t0\ttop\n0.02\tn/a\tn/a\n',
      ),
    ]);
    expect(read.bids!.frames).toEqual([
      { name: 'global', spatialAxes: 'ALS', rotationOrder: 'ZXY', rotationRule: 'right-hand' },
      { name: 'local', spatialAxes: '', rotationOrder: '', rotationRule: '' },
    ]);
    expect(read.bids!.events).toEqual([
      { onset_s: 0.01, duration_s: 0, label: 'impact' },
      { onset_s: 0.02, duration_s: 0, label: '' },
    ]);
    expect(messages(read)).toEqual([
      [
        'bids-field-unreadable',
        `${STEM}_channels.json: SpatialAxes of reference frame 'local' is 'XYZ', not three letters of A P L R S I or _`,
      ],
      ['bids-field-unreadable', "sub-01/motion/sub-01_task-swing_run-01_events.tsv, line 3: onset 'n/a' is no number"],
    ]);
  });
});

describe('side-cars higher up (the inheritance principle of the standard)', () => {
  const [motion, channelsFile] = bidsFiles();

  it('JSON is merged key by key, the nearer over the farther; of one folder the one with more entities', () => {
    const read = readImu([
      motion!,
      channelsFile!,
      named('task-swing_motion.json', '{"TaskName":"far","SamplingFrequency":1,"MissingValues":"-1"}'),
      named('sub-01/sub-01_motion.json', '{"SamplingFrequency":50}'),
      named('sub-01/motion/sub-01_motion.json', '{"TaskName":"near"}'),
      named('sub-01/motion/sub-01_task-swing_motion.json', '{"TaskName":"nearer"}'),
    ]);
    expect(read.bids).toMatchObject({ taskName: 'nearer', samplingFrequency_Hz: 50, missingValues: '-1' });
  });

  it('of several channels.tsv the nearest holds', () => {
    const far = named('task-swing_channels.tsv', 'name\tcomponent\ttype\ttracked_point\tunits\nfar\tx\tPOS\ta\tm\n');
    expect(readImu([...bidsFiles(), far]).tables[0]!.columns[0]).toBe('time');
    const up = { path: 'sub-01/sub-01_channels.tsv', bytes: channelsFile!.bytes };
    expect(readImu([motion!, far, up, bidsFiles()[2]!]).tables[0]!.columns[0]).toBe('time');
  });

  it('side-cars of other runs, subjects or folders do not count', () => {
    const wrongRun = { path: `${STEM.replace('run-01', 'run-02')}_channels.tsv`, bytes: channelsFile!.bytes };
    const beside = { path: 'sub-02/motion/sub-01_channels.tsv', bytes: channelsFile!.bytes };
    const below = { path: `${BIDS.folder}old/sub-01_channels.tsv`, bytes: channelsFile!.bytes };
    expect(problem(() => readImu([motion!, wrongRun, beside, below, bidsFiles()[2]!])).code).toBe(
      'bids-channels-missing',
    );
  });
});

describe('what is required', () => {
  it('without channels.tsv: refused, since the columns have no names', () => {
    expect(problem(() => readImu(bidsFiles().filter(({ path }) => !path.endsWith('channels.tsv'))))).toEqual({
      file: `${STEM}_motion.tsv`,
      code: 'bids-channels-missing',
      offset: null,
      path: [],
      found: 'there is no *_channels.tsv, so the columns have no names, types and units',
      expected: `${BIDS.stem}_channels.tsv or one higher up`,
      wayOut: 'Put the *_channels.tsv of the recording beside it.',
    });
  });

  it('without motion.json: refused, since the rate is not known', () => {
    expect(problem(() => readImu(bidsFiles().slice(0, 2))).code).toBe('bids-motion-json-missing');
  });

  it.each([
    [{ TaskName: 'swing' }, 'SamplingFrequency is missing'],
    [{ TaskName: 'swing', SamplingFrequency: 0 }, 'SamplingFrequency is 0'],
    [{ TaskName: 'swing', SamplingFrequency: '100' }, "SamplingFrequency is '100'"],
    [{ SamplingFrequency: 100 }, 'TaskName is missing'],
    [{ SamplingFrequency: 100, TaskName: '' }, "TaskName is ''"],
  ])('motion.json %j is refused', (json, found) => {
    expect(problem(() => readImu(bidsFiles({ json })))).toMatchObject({ code: 'bids-json-field', found });
  });

  it.each(['', '{', '[]', '"text"', 'null'])('motion.json that is %j is refused', (text) => {
    const files = bidsFiles();
    files[2] = named(files[2]!.path, text);
    expect(problem(() => readImu(files)).code).toBe('bids-json-unreadable');
  });

  it('a required column that is missing is named', () => {
    const header = 'name\tcomponent\tkind\ttracked_point\tunit\tplacement\treference_frame\tstatus';
    expect(problem(() => readImu(bidsFiles({}, header)))).toMatchObject({
      code: 'bids-channels-unreadable',
      found: 'there are no columns type, units',
      expected: 'columns name, component, type, tracked_point, units',
    });
  });

  it('a row of channels.tsv with another number of cells is named with its line', () => {
    const channels = BIDS.channels.map((row, i) => (i === 2 ? row.replace('\tgood', '') : row));
    expect(problem(() => readImu(bidsFiles({ channels })))).toMatchObject({
      code: 'bids-channels-unreadable',
      found: 'line 4 has 7 cells',
      expected: '8, as the header',
    });
  });
});

describe('counts that disagree are named with both numbers', () => {
  it('columns against channels: refused', () => {
    expect(problem(() => readImu(bidsFiles({ channels: BIDS.channels.slice(0, 8) })))).toMatchObject({
      code: 'bids-columns-disagree',
      found: `9 columns in ${BIDS.stem}_motion.tsv`,
      expected: '8, one per row of its *_channels.tsv',
    });
  });

  it('MotionChannelCount, TrackedPointsCount and the counts of each type: told, and the channels hold', () => {
    const json = {
      ...BIDS.json,
      MotionChannelCount: 10,
      TrackedPointsCount: 3,
      GYROChannelCount: 6,
      ACCELChannelCount: 3,
      MAGNChannelCount: 0,
      ORNTChannelCount: '4',
      RecordingDuration: 1,
    };
    const tsv = `${STEM}_channels.tsv has`;
    expect(messages(readImu(bidsFiles({ json })))).toEqual([
      ['bids-count-disagrees', `${STEM}_motion.json: MotionChannelCount is 10, ${tsv} 9 channels`],
      ['bids-count-disagrees', `${STEM}_motion.json: TrackedPointsCount is 3, ${tsv} 2 tracked points`],
      ['bids-count-disagrees', `${STEM}_motion.json: ACCELChannelCount is 3, ${tsv} 0 of type ACCEL`],
      ['bids-count-disagrees', `${STEM}_motion.json: GYROChannelCount is 6, ${tsv} 3 of type GYRO`],
      ['bids-count-disagrees', `${STEM}_motion.json: ORNTChannelCount is '4', ${tsv} 4 of type ORNT`],
      [
        'bids-duration-disagrees',
        `${STEM}_motion.json: RecordingDuration 1 s at 100 Hz would be 100 rows, there are 3`,
      ],
    ]);
  });
});

describe('channels that are written differently', () => {
  it('columns in another order are found by their names, with a warning', () => {
    const header = 'name\ttype\tcomponent\ttracked_point\tunits\tplacement\treference_frame\tstatus';
    const swapped = BIDS.channels.map((row) => row.replace(/^(\S+)\t(\S+)\t(\S+)/, '$1\t$3\t$2'));
    const one = readImu(bidsFiles({ channels: swapped }, header));
    expect(one.bids!.channels).toEqual(readImu(bidsFiles()).bids!.channels);
    expect(one.diagnostics.map(({ code, severity }) => [code, severity])).toEqual([['bids-channels-order', 'warning']]);
  });

  it('lower-case types and ANGACC of an older draft are read as what was meant', () => {
    const one = channels((row, i) => row.replace('GYRO', i === 1 ? 'gyro' : i === 2 ? 'ANGACC' : 'GYRO'));
    expect(one.bids!.channels.slice(1, 4).map(({ type }) => type)).toEqual(['GYRO', 'ANGACCEL', 'GYRO']);
    expect(one.diagnostics.slice(0, 2).map(({ code, message }) => [code, message])).toEqual([
      ['bids-type-written-differently', `${STEM}_channels.tsv, line 3: type 'gyro' is read as GYRO`],
      ['bids-type-written-differently', `${STEM}_channels.tsv, line 4: type 'ANGACC' is read as ANGACCEL`],
    ]);
  });

  it.each([
    ['POS', 'PLACE', 'bids-type-unknown'],
    ['hip_x\tx', 'hip_x\tX', 'bids-component-unknown'],
    ['hip_x\tx', 'hip_x\tforward', 'bids-component-unknown'],
    ['hip_x\tx', 'hip_x\tquat_x', 'bids-component-unknown'],
    ['LATENCY\tn/a\ts', 'LATENCY\tn/a\tms', 'bids-unit-unexpected'],
    ['POS\thip\tm', 'JNTANG\thip\trad', 'bids-unit-unexpected'],
    ['hip_x', 'gyro_x', 'column-names-repeated'],
  ])('%j written as %j gives the warning %s', (from, to, code) => {
    const one = channels((row) => row.replace(from, to));
    const found = one.diagnostics.filter(({ code }) => code !== 'bids-count-disagrees');
    expect(found.map(({ code, severity }) => [code, severity])).toEqual([[code, 'warning']]);
  });

  it('sampling_frequency of a channel is a rate or is told', () => {
    const header = 'name\tcomponent\ttype\ttracked_point\tunits\tsampling_frequency\treference_frame\tstatus';
    const rows = BIDS.channels.map((row, i) =>
      row.replace(/(.*\t)[^\t]+(\t[^\t]+\t[^\t]+)$/, `$1${['n/a', '200', 'fast', '-5'][i] ?? '100'}$2`),
    );
    const one = readImu(bidsFiles({ channels: rows }, header));
    expect(one.bids!.channels.slice(0, 5).map((channel) => channel.samplingFrequency_Hz)).toEqual([
      null,
      200,
      null,
      null,
      100,
    ]);
    expect(one.diagnostics.map(({ code }) => code)).toEqual(['bids-field-unreadable', 'bids-field-unreadable']);
  });
});

describe('MissingValues', () => {
  const withMissing = (missing: unknown, rows: readonly string[]): number[] => [
    ...readImu(bidsFiles({ rows, json: { ...BIDS.json, MissingValues: missing } })).tables[0]!.values,
  ];

  it('a number is missing wherever it stands, whatever its digits', () => {
    const rows = ['0\t-999\t-999.0\t1\t1\t0\t0\t0\t2', '1\t1\t2\t-9.99e2\t1\t0\t0\t0\t2'];
    for (const missing of ['-999', -999]) {
      const values = withMissing(missing, rows);
      expect(values.slice(2, 8)).toEqual([Number.NaN, 1, Number.NaN, 2, 1, Number.NaN]);
    }
  });

  it('zero is missing only where all channels of one type and point are zero; a time of zero stays', () => {
    const rows = ['0\t0\t0\t0\t0\t0\t0\t0\t0', '1\t0\t0\t0.5\t1\t0\t0\t0\t2'];
    const values = withMissing('0', rows);
    expect(values.slice(0, 2)).toEqual([0, 1]);
    expect(values.slice(2, 8)).toEqual([Number.NaN, 0, Number.NaN, 0, Number.NaN, 0.5]);
    expect(values.slice(8, 16)).toEqual([Number.NaN, 1, Number.NaN, 0, Number.NaN, 0, Number.NaN, 0]);
  });

  it('a word of its own is missing without a warning', () => {
    const rows = Array.from({ length: 40 }, (_, i) => `${i}\t${i === 5 ? 'lost' : i}\t2\t3\t1\t0\t0\t0\t2`);
    const one = readImu(bidsFiles({ rows, json: { ...BIDS.json, MissingValues: 'lost' } }));
    expect(one.diagnostics).toEqual([]);
    expect(one.tables[0]!.values[45]).toBeNaN();
    const without = readImu(bidsFiles({ rows }));
    expect(without.diagnostics.map(({ code }) => code)).toEqual(['cells-not-numbers']);
  });
});
