import { describe, expect, it } from 'vitest';
import { bytesSource } from '../../../src/c3d/readC3d.ts';
import { readDay, renderProblemLine } from '../../../src/day/readDay.ts';
import { type Draft, draftDay } from '../../../src/pipeline/draft.ts';
import { guessRole } from '../../../src/pipeline/draftSensors.ts';
import { utf8 } from '../../support/imuFiles.ts';
import { longTable, sensorTable } from '../../support/standingSensors.ts';

const SWING = { rate_Hz: 100, seconds: 4, fastest_degPerS: 600 };
const STILL = { rate_Hz: 100, seconds: 4, fastest_degPerS: 0 };
const NAMES = ['sacrum', 'sternum', 'wrist-left', 'shaft'];

function draft(files: Readonly<Record<string, string>>): Draft {
  const listing = Object.keys(files).sort();
  const open = (path: string) => ({ ...bytesSource(utf8(files[path]!)), close: () => undefined });
  return draftDay({ folder: 'a day', listing, open });
}

const DAY: Readonly<Record<string, string>> = {
  'ann/still.csv': longTable(STILL, NAMES),
  'ann/bow.csv': longTable(SWING, NAMES),
  'ann/pelvic-tilt.csv': longTable(SWING, NAMES),
  'ann/hang-driver.csv': longTable(STILL, NAMES),
  'ann/driver-1.csv': longTable(SWING, NAMES),
  'ann/driver-2.csv': longTable({ ...SWING, fastest_degPerS: 640 }, NAMES),
  'ann/iron7-1.csv': longTable({ ...SWING, fastest_degPerS: 560 }, NAMES),
  'scores.csv': 'hole,par,shots\n1,4,5\n2,3,3\n',
  'trials.csv': 'file,club\nann/driver-1.csv,driver\nann/driver-2.csv,driver\n',
  'notes.txt': 'Windy.\nCold.\n',
};

describe('a draft of a day of sensors', () => {
  const { text, recordings, others } = draft(DAY);
  const lines = text.split('\n');

  it('writes how the tables are read, with the evidence', () => {
    expect(lines).toEqual(
      expect.arrayContaining([
        'sensors:',
        '  # columns recognised: time_s, gyro_x gyro_y gyro_z, acc_x acc_y acc_z',
        expect.stringMatching(/^ {2}time_unit: s # ./),
        expect.stringMatching(/^ {2}gyro_unit: deg\/s # ./),
        expect.stringMatching(/^ {2}acc_unit: m\/s2 # ./),
        '    pelvis: sacrum # by its name',
        '    thorax: sternum # by its name',
        '    club: shaft # by its name',
      ]),
    );
    expect(text).toMatch(/^ {4}left_(forearm|hand): wrist-left # by its name$/m);
  });

  it('guesses the role of each trial from its name, and swings by their clubs', () => {
    expect(lines.slice(lines.indexOf('trials:') + 1, lines.indexOf('trials:') + 7)).toEqual([
      '  - { file: ann/bow.csv, role: functional, movement: bow } # by its name',
      '  - { pattern: "ann/driver-*.csv", club: driver } # 2 files',
      '  - { file: ann/hang-driver.csv, role: calibration, club: driver } # by its name: the club hangs still',
      '  - { file: ann/iron7-1.csv, club: iron7 }',
      '  - { file: ann/pelvic-tilt.csv, role: functional, movement: pelvic-tilt } # by its name',
      '  - { file: ann/still.csv, role: static } # by its name',
    ]);
    expect(recordings).toBe(7);
  });

  it('has no lab, since no file has markers, and asks for the hand', () => {
    expect(text).not.toContain('lab:');
    expect(text).toContain('hand: "?" # right or left');
  });

  it('asks for the axis of the shaft only of the club that was not recorded hanging', () => {
    expect(lines).toContain('  - { id: driver, kind: driver }');
    expect(lines).toContain('  - { id: iron7, kind: iron, sensor_shaft: "?" }');
  });

  it('tables that are no recordings are said to be none, and are no trials', () => {
    expect(others).toEqual([
      'notes.txt is no recording of sensors: no column holds numbers',
      expect.stringMatching(
        /^scores\.csv is no recording of sensors: needed columns of a gyro .*"hole", "par", "shots"/,
      ),
      'trials.csv is no recording of sensors: no column holds numbers',
    ]);
    for (const sentence of others) expect(lines).toContain(`# ${sentence}`);
    expect(lines.filter((line) => line.startsWith('  - ') && /scores|trials|notes/.test(line))).toEqual([]);
  });

  it('is a day file that is taken once its ? are filled in', () => {
    const unfilled = readDay(text, { file: 'day.yaml', listing: Object.keys(DAY) });
    expect(unfilled.problems.map(({ code }) => code)).toContain('unknown-value');
    const answered = text.replace('hand: "?"', 'hand: right').replace('sensor_shaft: "?"', 'sensor_shaft: +X');
    const filled = readDay(answered, { file: 'day.yaml', listing: Object.keys(DAY) });
    expect(filled.problems.map(renderProblemLine)).toEqual([]);
    expect(filled.plan!.trials.map(({ role }) => role).sort()).toEqual([
      'calibration',
      'functional',
      'functional',
      'static',
      'swing',
      'swing',
      'swing',
    ]);
    expect(filled.plan!.trials[0]!.sensors).toMatchObject({ gyroUnit: 'deg/s', places: { pelvis: 'sacrum' } });
  });
});

describe('folders and Motion-BIDS', () => {
  const folder = (name: string, fastest: number) => ({
    [`${name}/pelvis.csv`]: sensorTable({ ...SWING, fastest_degPerS: fastest }, 1),
    [`${name}/thorax.csv`]: sensorTable({ ...SWING, fastest_degPerS: fastest }, 2),
  });

  it('a folder with one table per sensor is one trial; what stands still without a telling name is static', () => {
    const { text } = draft({ ...folder('day2/driver1', 600), ...folder('day2/driver2', 620), ...folder('day2/a', 0) });
    expect(text).toContain('  - { file: day2/a/, role: static } # nothing turns in it');
    expect(text).toContain('  - { pattern: "day2/driver*/", club: driver } # 2 folders');
    expect(text).toContain('    pelvis: pelvis # by its name');
  });

  it('a *_motion.tsv is one trial, its side-cars are none and are not told', () => {
    const rows = sensorTable(SWING, 1).trimEnd().split('\n').slice(1);
    const channels = [
      'name\tcomponent\ttype\ttracked_point\tunits',
      'time\tn/a\tLATENCY\tn/a\ts',
      ...['x', 'y', 'z'].map((axis) => `gyro_${axis}\t${axis}\tGYRO\tpelvis\tdeg/s`),
      ...['x', 'y', 'z'].map((axis) => `acc_${axis}\t${axis}\tACCEL\tpelvis\tm/s^2`),
    ];
    const stem = 'sub-01/motion/sub-01_task-driver_tracksys-imu_run-1';
    const { text, others } = draft({
      [`${stem}_motion.tsv`]: `${rows.join('\n').replaceAll(',', '\t')}\n`,
      [`${stem}_channels.tsv`]: `${channels.join('\n')}\n`,
      [`sub-01/sub-01_task-driver_motion.json`]: '{"TaskName":"driver","SamplingFrequency":100}',
    });
    expect(text).toContain(`  - { file: ${stem}_motion.tsv, club: driver }`);
    expect(others).toEqual([]);
  });

  it('a sensor whose place is not known leaves the question for pelvis and thorax, with the names there are', () => {
    const { text } = draft({ 'd/swing1.csv': longTable(SWING, ['S01', 'S02']) });
    expect(text).toContain('    pelvis: "?" # the name of its sensor in the files: "S01", "S02"');
    expect(text).toContain('    thorax: "?" # the name of its sensor in the files: "S01", "S02"');
  });

  it('a sensor on the club without a hanging trial leaves the question for its axis', () => {
    const { text } = draft({ 'd/driver1.csv': longTable(SWING, ['pelvis', 'club']) });
    expect(text).toContain('  - { id: driver, kind: driver, sensor_shaft: "?" }');
  });

  it('results of an earlier run are passed over', () => {
    const { others, recordings } = draft({
      'd/driver1.csv': longTable(SWING, ['pelvis', 'club']),
      'd/results/run.json': '{}',
      'd/results/tables/angles.csv': 'swing,angle\n1,2\n',
    });
    expect([others, recordings]).toEqual([[], 1]);
  });
});

describe('roles by name', () => {
  it.each([
    ['a/still', 'static', null],
    ['a/N-pose', 'static', null],
    ['a/0-static_1', 'static', null],
    ['a/trunk-bow', 'functional', 'bow'],
    ['a/hip_hinge2', 'functional', 'bow'],
    ['a/tilt', 'functional', 'pelvic-tilt'],
    ['a/turn', 'functional', 'turn'],
    ['a/hang-iron7', 'calibration', null],
    ['a/sub-1_task-hangdriver', 'calibration', null],
    ['a/hanger', 'swing', null],
    ['bow/driver-1', 'swing', null],
    ['a/rainbow', 'swing', null],
    ['a/tiltshift', 'swing', null],
  ] as const)('%s is %s', (id, role, movement) => {
    expect(guessRole(id, [{ fastest_radPerS: 10 }])).toMatchObject({ role, movement });
  });
  it('stillness decides only where all sensors are known to be still', () => {
    expect(guessRole('a/1', [{ fastest_radPerS: 0.1 }, { fastest_radPerS: 0.2 }]).role).toBe('static');
    expect(guessRole('a/1', [{ fastest_radPerS: 0.1 }, { fastest_radPerS: null }]).role).toBe('swing');
    expect(guessRole('a/1', [{ fastest_radPerS: 0.1 }, { fastest_radPerS: 3 }]).role).toBe('swing');
    expect(guessRole('a/1', []).role).toBe('swing');
  });
});
