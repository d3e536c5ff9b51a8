/**
 * The form of a data set that is written. Source: Brain Imaging Data Structure specification 1.9.0, "Common principles", "Derivatives" and
 * "Motion" (modality-specific files), their rules coded here from the text; what the schema asks beyond the text is not checked here.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { bytesSource, readC3d } from '../../src/c3d/readC3d.ts';
import { readImu } from '../../src/imu/readImu.ts';
import type { NamedBytes } from '../../src/imu/types.ts';
import type { DayResult } from '../../src/pipeline/analyseDay.ts';
import { parseOrders } from '../../src/pipeline/orders.ts';
import { datasetFiles } from '../../src/tables/bids/dataset.ts';
import { type BidsName, bidsLabels, bidsNames } from '../../src/tables/bids/labels.ts';
import { recordingFiles } from '../../src/tables/bids/recording.ts';
import { named } from '../support/imuFiles.ts';
import { GAPS, LEFT, type SampleSeries, SENSORS, sampleSeries } from '../support/sampleSeries.ts';
import { SAMPLE_DATA } from '../support/smallDay.ts';

const TRIALS = [LEFT, GAPS, SENSORS];
let sample: SampleSeries;
let result: DayResult;
let names: readonly BidsName[];
const files = new Map<string, string>();

beforeAll(async () => {
  sample = await sampleSeries(parseOrders('thorax:ZXY,trunk:XYZ'));
  result = sample.result;
  names = bidsNames(result.records.map(({ head }) => head));
  const day = { day: 'a day', players: result.plan.players, program: { name: 'swingbasis', version: '1.2.3' } };
  for (const record of result.records) {
    const { trial } = record.head;
    const name = names.find(({ head }) => head.trial === trial)!;
    for (const { path, text } of recordingFiles(name, record, sample.series.get(trial)!)) {
      files.set(path, [...text].join(''));
    }
  }
  for (const { path, text } of datasetFiles(day, names)) files.set(path, [...text].join(''));
}, 120_000);

/** Cells of a tab-separated file, line by line. */
function cells(path: string): string[][] {
  const text = files.get(path)!;
  expect(text.endsWith('\n'), path).toBe(true);
  return text
    .slice(0, -1)
    .split('\n')
    .map((line) => line.split('\t'));
}
function rowsOf(path: string): Record<string, string>[] {
  const [header, ...rows] = cells(path);
  return rows.map((row) => Object.fromEntries(row.map((cell, i) => [header![i]!, cell])));
}
function json(path: string): Record<string, unknown> {
  return JSON.parse(files.get(path)!) as Record<string, unknown>;
}
const stemOf = (trial: string): string => {
  const { subject, stem } = names.find(({ head }) => head.trial === trial)!;
  return `${subject}/motion/${stem}`;
};

describe('names of files ("Filenames", "Motion")', () => {
  it('are entities with labels of letters and digits in the order of the standard', () => {
    const motion =
      /^(sub-[A-Za-z0-9]+)\/motion\/\1_task-[A-Za-z0-9]+_tracksys-[A-Za-z0-9]+(_acq-[A-Za-z0-9]+)?(_run-[0-9]+)?_desc-[A-Za-z0-9]+_(motion\.tsv|motion\.json|channels\.tsv|events\.tsv)$/;
    const scans = /^(sub-[A-Za-z0-9]+)\/\1_scans\.tsv$/;
    const top = new Set(['dataset_description.json', 'README', 'participants.tsv', 'participants.json', 'scans.json']);
    const inherited = /^task-[A-Za-z0-9]+_desc-[A-Za-z0-9]+_(channels|events)\.json$/;
    const odd = [...files.keys()].filter(
      (path) => !(motion.test(path) || scans.test(path) || top.has(path) || inherited.test(path)),
    );
    expect(odd).toEqual([]);
    expect(stemOf(GAPS)).toBe(
      'sub-osprey/motion/sub-osprey_task-swing_tracksys-markers_acq-driver_run-01_desc-filtered',
    );
    expect(stemOf(LEFT)).toContain('_acq-driverleft_');
    expect(stemOf(SENSORS)).toContain('_tracksys-sensors_');
  });

  it('stay apart where ids differ only in what a label cannot hold, or in case', () => {
    const ids = ['a-b', 'ab', 'A_B', 'ab2', 'é', 'ü', '7'];
    const labels = bidsLabels(ids);
    const all = ids.map((id) => labels.get(id)!);
    for (const label of all) expect(label).toMatch(/^[A-Za-z0-9]+$/);
    expect(new Set(all.map((label) => label.toLowerCase())).size).toBe(ids.length);
    expect(bidsLabels([...ids].reverse())).toEqual(labels);
  });

  it('count runs of one club by trial id', () => {
    const other = (trial: string, club: string) => ({ ...result.records[0]!.head, trial, club });
    const made = bidsNames([other('c', 'driver'), other('a', 'iron'), other('b', 'driver')]);
    expect(made.map(({ head, stem }) => `${head.trial} ${/acq.*run-\d+/.exec(stem)![0]}`)).toEqual([
      'a acq-iron_run-01',
      'b acq-driver_run-01',
      'c acq-driver_run-02',
    ]);
  });
});

describe('tables ("Tabular files")', () => {
  it('are tab-separated, with as many cells as columns, n/a for what is missing, no empty cell', () => {
    const tables = [...files.keys()].filter((path) => path.endsWith('.tsv'));
    expect(tables.length).toBeGreaterThan(9);
    for (const path of tables) {
      const rows = cells(path);
      const widths = new Set(rows.map((row) => row.length));
      expect([path, widths.size]).toEqual([path, 1]);
      expect(
        rows.flat().filter((cell) => cell === '' || cell !== cell.trim() || cell.includes('\r')),
        path,
      ).toEqual([]);
    }
  });

  it('whose columns the standard does not know describe them in a JSON file', () => {
    const known = new Set(['onset', 'duration', 'trial_type', 'participant_id', 'sex', 'handedness', 'filename']);
    const described = {
      events: 'task-swing_desc-filtered_events.json',
      participants: 'participants.json',
      scans: 'scans.json',
    };
    for (const [kind, side] of Object.entries(described)) {
      const path = [...files.keys()].find((one) => one.endsWith(`${kind}.tsv`))!;
      const own = cells(path)[0]!.filter((column) => !known.has(column));
      expect(own.length).toBeGreaterThan(0);
      for (const column of own) expect(json(side)[column], `${kind} ${column}`).toHaveProperty('Description');
    }
  });
});

describe('a recording ("Motion recording data", "Channels description", "Sidecar JSON")', () => {
  const types = ['ACCEL', 'ANGACCEL', 'GYRO', 'JNTANG', 'LATENCY', 'MAGN', 'MISC', 'ORNT', 'POS', 'VEL'];

  it.each(TRIALS)('%s: samples without a header, a column for each row of channels.tsv', (trial) => {
    const motion = cells(`${stemOf(trial)}_motion.tsv`);
    const channels = rowsOf(`${stemOf(trial)}_channels.tsv`);
    expect(motion).toHaveLength(sample.series.get(trial)!.clock.frames);
    expect(motion[0]).toHaveLength(channels.length);
    expect(motion.flat().filter((cell) => cell !== 'n/a' && !/^-?\d+\.\d+$/.test(cell))).toEqual([]);
  });

  it.each(TRIALS)(
    '%s: required columns first and in order, types in capitals, POS in m by axis, JNTANG in deg',
    (trial) => {
      const path = `${stemOf(trial)}_channels.tsv`;
      expect(cells(path)[0]!.slice(0, 5)).toEqual(['name', 'component', 'type', 'tracked_point', 'units']);
      const channels = rowsOf(path);
      expect(new Set(channels.map(({ name }) => name)).size).toBe(channels.length);
      const levels = (json('task-swing_desc-filtered_channels.json')['reference_frame'] as { Levels: object }).Levels;
      for (const { name, component, type, units, reference_frame, tracked_point } of channels) {
        expect(types, name).toContain(type);
        expect(tracked_point).not.toBe('n/a');
        if (type === 'POS') {
          expect(['x', 'y', 'z']).toContain(component);
          expect([units, reference_frame! in levels]).toEqual(['m', true]);
        } else expect([component, units]).toEqual(['n/a', 'deg']);
      }
      const of = (type: string): string[] => channels.filter((row) => row['type'] === type).map((row) => row['name']!);
      // "JNTANG: joint angle between two fixed axes of two body parts": not against the room
      expect(of('JNTANG')).toEqual(expect.arrayContaining(['trunk.flexion', 'turn_difference', 'trunk.first.XYZ']));
      expect(of('MISC')).toEqual(expect.arrayContaining(['pelvis.turn', 'thorax.inclination', 'thorax.first.ZXY']));
      if (trial !== SENSORS)
        expect(of('JNTANG')).toEqual(expect.arrayContaining(['lead_knee.flexion', 'trail_wrist.flexion']));
      expect(of('POS').length > 0).toBe(trial !== SENSORS);
    },
  );

  it.each(TRIALS)('%s: motion.json has the required fields, and counts that are those of channels.tsv', (trial) => {
    const side = json(`${stemOf(trial)}_motion.json`);
    const channels = rowsOf(`${stemOf(trial)}_channels.tsv`);
    const { rate_Hz, frames } = sample.series.get(trial)!.clock;
    expect(side).toMatchObject({ TaskName: 'swing', SamplingFrequency: rate_Hz, MotionChannelCount: channels.length });
    expect(side['RecordingDuration']).toBe(frames / rate_Hz);
    expect(side['TrackedPointsCount']).toBe(new Set(channels.map((row) => row['tracked_point'])).size);
    for (const type of ['POS', 'JNTANG', 'MISC']) {
      expect(side[`${type}ChannelCount`]).toBe(channels.filter((row) => row['type'] === type).length);
    }
    // the JSON schema of a common validator of the standard allows no other keys here (seen by running it)
    const counts = types.map((type) => `${type}ChannelCount`);
    const known = ['TaskName', 'TaskDescription', 'SamplingFrequency', 'TrackingSystemName', 'MotionChannelCount'];
    known.push('TrackedPointsCount', 'MissingValues', 'RecordingDuration', ...counts);
    expect(Object.keys(side).filter((key) => !known.includes(key))).toEqual([]);
  });

  it('the frame of the places has axes, order and rule of the standard', () => {
    const { Levels } = json('task-swing_desc-filtered_channels.json')['reference_frame'] as {
      Levels: Record<string, { SpatialAxes: string; RotationRule: string }>;
    };
    for (const level of Object.values(Levels)) {
      expect(level.SpatialAxes).toMatch(/^[APLRSI_]{3}$/);
      expect(['left-hand', 'right-hand']).toContain(level.RotationRule);
      // places have no order of rotations, and the standard has no value that says so
      expect(level).not.toHaveProperty('RotationOrder');
    }
  });

  it.each(TRIALS)('%s: events have onset and duration first, seconds from the first sample, by time', (trial) => {
    const path = `${stemOf(trial)}_events.tsv`;
    expect(cells(path)[0]!.slice(0, 3)).toEqual(['onset', 'duration', 'trial_type']);
    const { moments } = result.records.find(({ head }) => head.trial === trial)!;
    const found = Object.entries(moments).flatMap(([position, moment]) =>
      moment.found ? [{ position, ...moment }] : [],
    );
    found.sort((a, b) => a.time_s - b.time_s);
    const rows = rowsOf(path);
    expect(rows.map((row) => [row['trial_type'], row['duration']])).toEqual(
      found.map(({ position }) => [position, 'n/a']),
    );
    rows.forEach((row, i) => {
      // half of the fifth decimal
      expect(Math.abs(Number(row['onset']) - found[i]!.time_s)).toBeLessThanOrEqual(0.5e-5 + 1e-12);
      expect(Math.abs(Number(row['plus_minus']) - 1.96 * found[i]!.sd_s)).toBeLessThanOrEqual(0.5e-5 + 1e-12);
    });
  });
});

describe('the values', () => {
  const column = (trial: string, name: string): number[] => {
    const at = rowsOf(`${stemOf(trial)}_channels.tsv`).findIndex((row) => row['name'] === name);
    return cells(`${stemOf(trial)}_motion.tsv`).map((row) => Number(row[at]));
  };

  it.each([LEFT, GAPS])(
    '%s: places are metres: markers of the club and the ball as far apart as in the recording',
    (trial) => {
      const recording = readC3d(bytesSource(readFileSync(join(SAMPLE_DATA, `${trial}.c3d`))), { file: trial });
      const { points } = sample.series.get(trial)!;
      const measured = points.filter(({ landmark }) => /^(CLUB|BALL)/.test(landmark));
      let compared = 0;
      for (const a of measured) {
        for (const b of measured) {
          if (a.landmark >= b.landmark) continue;
          const ours = [a, b].map(({ landmark }) => ['x', 'y', 'z'].map((c) => column(trial, `${landmark}_${c}`)));
          const theirs = [a, b].map(({ label }) => recording.labels.indexOf(label));
          for (let f = 0; f < recording.frames; f += 13) {
            if (a.state[f] !== 1 || b.state[f] !== 1) continue;
            const here = Math.hypot(...[0, 1, 2].map((c) => ours[0]![c]![f]! - ours[1]![c]![f]!));
            const place = (p: number, c: number): number => recording.xyz[(3 * p + c) * recording.frames + f]!;
            const there = Math.hypot(...[0, 1, 2].map((c) => place(theirs[0]!, c) - place(theirs[1]!, c)));
            // six roundings to the micrometre
            expect(Math.abs(here - there / 1000)).toBeLessThan(2e-6);
            compared += 1;
          }
        }
      }
      expect(compared).toBeGreaterThan(100);
    },
  );

  it.each([LEFT, GAPS])('%s: X is forward, Y up, Z to the right of the body, whichever way it swings', (trial) => {
    const at = (name: string): number => column(trial, name)[0]!;
    // at address: the right hip marker to the right, the front of the pelvis before its back, the breastbone above both
    expect(at('R_ASIS_z') - at('L_ASIS_z')).toBeGreaterThan(0.15);
    expect(at('L_ASIS_x') - at('L_PSIS_x')).toBeGreaterThan(0.08);
    expect(at('IJ_y') - at('L_ASIS_y')).toBeGreaterThan(0.2);
    // the lead hip is the left one of a right-hander
    expect(Math.sign(at('lead_hip_z') - at('trail_hip_z'))).toBe(trial === LEFT ? 1 : -1);
  });

  it.each(TRIALS)('%s: angles are those of the swing in degrees', (trial) => {
    for (const { quantity, order, unit, values } of sample.series.get(trial)!.quantities) {
      if (unit !== 'deg') continue;
      const isAsked = /\.(first|second|third)$/.test(quantity);
      column(trial, isAsked ? `${quantity}.${order}` : quantity).forEach((value, f) => {
        const exact = (values[f]! * 180) / Math.PI;
        // half of the third decimal
        if (!(Math.abs(value - exact) <= 0.5e-3 + 1e-9)) expect([quantity, f, value]).toEqual([quantity, f, exact]);
      });
    }
  });

  it.each(TRIALS)('%s: this program reads them back without a complaint', (trial) => {
    const own = [...files].filter(([path]) => path.startsWith(stemOf(trial)) || path.startsWith('task-'));
    const bytes: NamedBytes[] = own.map(([path, text]) => named(path, text));
    const recording = bytes.find(({ path }) => path.endsWith('_motion.tsv'))!;
    const back = readImu([recording, ...bytes.filter((one) => one !== recording)]);
    expect(back.diagnostics).toEqual([]);
    const channels = rowsOf(`${stemOf(trial)}_channels.tsv`);
    expect(back.tables[0]).toMatchObject({
      rows: sample.series.get(trial)!.clock.frames,
      columns: channels.map((row) => row['name']),
    });
    expect(back.bids!.events.map(({ label }) => label)).toEqual(
      rowsOf(`${stemOf(trial)}_events.tsv`).map((row) => row['trial_type']),
    );
    expect(back.bids!.frames).toMatchObject([{ name: 'player', spatialAxes: 'ASR', rotationRule: 'right-hand' }]);
    const table = back.tables[0]!;
    cells(`${stemOf(trial)}_motion.tsv`).forEach((row, f) => {
      row.forEach((cell, c) => {
        const value = table.values[c * table.rows + f]!;
        if (cell === 'n/a' ? !Number.isNaN(value) : value !== Number(cell)) expect([f, c, value]).toEqual([f, c, cell]);
      });
    });
  });
});

describe('the data set ("Dataset description", "Participants file", "Scans file")', () => {
  it('says that it is a derivative, by which version of the standard and made by what', () => {
    expect(json('dataset_description.json')).toEqual({
      Name: 'a day',
      BIDSVersion: '1.9.0',
      DatasetType: 'derivative',
      GeneratedBy: [{ Name: 'swingbasis', Version: '1.2.3' }],
    });
  });

  it('lists its participants, one for each folder', () => {
    expect(cells('participants.tsv')[0]![0]).toBe('participant_id');
    const listed = rowsOf('participants.tsv');
    const folders = new Set(
      [...files.keys()].filter((path) => path.startsWith('sub-')).map((path) => path.split('/')[0]),
    );
    expect(listed.map((row) => row['participant_id'])).toEqual([...folders].sort());
    expect(listed.find((row) => row['player'] === 'heron')).toMatchObject({ sex: 'male', handedness: 'left' });
  });

  it('names in scans.tsv every recording of a participant and the trial it is of', () => {
    for (const { subject, stem, head } of names) {
      const rows = rowsOf(`${subject}/${subject}_scans.tsv`);
      expect(Object.keys(rows[0]!)[0]).toBe('filename');
      const row = rows.find((one) => one['filename'] === `motion/${stem}_motion.tsv`);
      expect(row).toMatchObject({ trial: head.trial, club: head.club, source: head.file });
      expect(files.has(`${subject}/${row!['filename']}`)).toBe(true);
    }
  });
});
