import { describe, expect, it } from 'vitest';
import { type DayReading, readDay, renderProblemLine } from '../../../src/day/readDay.ts';
import { DEFAULT_SENSOR_PLAN } from '../../../src/model/sensors.ts';

const BIDS = 'study/sub-01/motion/sub-01_task-swing_tracksys-imu_run-1';

const LISTING = [
  'emu/0-static.c3d',
  'emu/1-driver-1.c3d',
  'emu/s/bow.csv',
  'emu/s/driver-1.csv',
  'emu/s/driver-10.csv',
  'emu/s/driver-2.csv',
  'emu/s/hang.csv',
  'emu/s/notes.txt',
  'emu/s/still.csv',
  'emu/s/spare.csv',
  'day2/swing2/club.csv',
  'day2/swing2/pelvis.csv',
  'day2/swing2/readme.txt',
  'day2/swing10/club.csv',
  'day2/empty/readme.c3d',
  'day2/other/deep/club.tsv',
  'list.csv',
  `${BIDS}_motion.tsv`,
  `${BIDS}_channels.tsv`,
  `${BIDS}_channels.json`,
  `${BIDS}_motion.json`,
  'study/sub-01/motion/sub-01_task-swing_tracksys-imu_run-2_motion.tsv',
  'study/sub-01/motion/sub-01_task-swing_run-1_events.tsv',
  'study/sub-01/motion/sub-01_task-walk_events.tsv',
  'study/task-swing_tracksys-imu_motion.json',
  'study/task-swing_tracksys-imu_channels.tsv',
  'study/task-swing_tracksys-omc_motion.json',
  'study/participants.tsv',
];

const HEAD = `swingbasis: 1
day: d
players: [{id: emu}]
clubs: [{id: dr, kind: driver, sensor_shaft: -X}]
`;

const GOOD = `${HEAD}sensors:
  columns: {time: t, gyro: [gx, gy, gz], quaternion: [qw, qx, qy, qz]}
  gyro_unit: deg/s
  places: {pelvis: 7, thorax: chest, club: shaft}
  facing: {pelvis: -Z}
  gyro_range_deg_per_s: 2000
  align: {knock_s: [0, 0.6]}
  use_quaternions: no
trials:
  - {file: emu/s/still.csv, role: static}
  - {file: emu/s/bow.csv, role: functional, movement: bow}
  - {file: emu/s/hang.csv, role: calibration, club: dr}
  - {pattern: emu/s/driver-*.csv, club: dr}
`;

function read(text: string, more: Partial<Parameters<typeof readDay>[1]> = {}): DayReading {
  return readDay(text, { file: 'day.yaml', listing: LISTING, ...more });
}

function planOf(text: string): NonNullable<DayReading['plan']> {
  const { plan, problems } = read(text);
  expect(problems.map(renderProblemLine)).toEqual([]);
  return plan!;
}

function said(text: string): readonly string[] {
  const reading = read(text);
  expect(reading.plan).toBeNull();
  return reading.problems.map(renderProblemLine);
}

describe('a day with sensors', () => {
  const plan = planOf(GOOD);
  it('finds the still pose by its role, and every trial of the player has it', () => {
    expect(plan.players[0]).toMatchObject({ static: null, still: 'emu/s/still' });
    expect(new Set(plan.trials.map(({ still }) => still))).toEqual(new Set(['emu/s/still']));
  });
  it('keeps the movement, the club that hangs, and the axis of its sensor', () => {
    expect(plan.trials.slice(0, 3)).toMatchObject([
      { role: 'static', movement: null },
      { role: 'functional', movement: 'bow' },
      { role: 'calibration', club: 'dr' },
    ]);
    expect(plan.clubs[0]!.sensorShaft).toBe('-X');
  });
  it('reads the settings: units inside are radians, names of sensors are text even where they are numbers', () => {
    expect(plan.trials[3]!.sensors).toEqual({
      ...DEFAULT_SENSOR_PLAN,
      columns: {
        ...DEFAULT_SENSOR_PLAN.columns,
        time: 't',
        gyro: ['gx', 'gy', 'gz'],
        quaternion: ['qw', 'qx', 'qy', 'qz'],
      },
      gyroUnit: 'deg/s',
      useQuaternions: false,
      places: { pelvis: '7', thorax: 'chest', club: 'shaft' },
      facing: { pelvis: '-Z' },
      // 2000°/s, by the definition of the degree
      range: { gyro_radPerS: 2000 * (Math.PI / 180), acc_mPerS2: null },
      align: { kind: 'knock', from_s: 0, to_s: 0.6 },
    });
  });
  it('is a day of markers where nothing of sensors is said', () => {
    const trial = planOf(`${HEAD}trials: [{file: emu/1-driver-1.c3d, club: dr}]\n`).trials[0]!;
    expect(trial).toMatchObject({ source: null, movement: null, still: null, files: ['emu/1-driver-1.c3d'] });
    expect(trial.sensors).toEqual(DEFAULT_SENSOR_PLAN);
  });
});

describe('settings of sensors over settings', () => {
  const over = (more: string) => planOf(GOOD.replace('bow.csv, ', `bow.csv, sensors: ${more}, `)).trials[1]!.sensors;
  it('a trial overrides key by key, within columns and places too', () => {
    const sensors = over('{columns: {time: ms}, time_unit: ms, places: {thorax: back}, align: stamps}');
    expect(sensors.columns).toMatchObject({ time: 'ms', gyro: ['gx', 'gy', 'gz'] });
    expect(sensors).toMatchObject({
      timeUnit: 'ms',
      gyroUnit: 'deg/s',
      align: { kind: 'stamps' },
      useQuaternions: false,
    });
    expect(sensors.places).toEqual({ pelvis: '7', thorax: 'back', club: 'shaft' });
  });
  it('a sensor that is moved to another place leaves its old one', () => {
    expect(over('{places: {head: chest}}').places).toEqual({ pelvis: '7', head: 'chest', club: 'shaft' });
  });
  it('the day file wins over the lab file key by key', () => {
    const lab = { file: 'lab.yaml', text: 'sensors: {gyro_unit: rad/s, acc_unit: mg, places: {head: cap}}\n' };
    const { plan } = read(GOOD, { lab });
    expect(plan!.trials[0]!.sensors).toMatchObject({ gyroUnit: 'deg/s', accUnit: 'mg' });
    expect(plan!.trials[0]!.sensors.places).toEqual({ pelvis: '7', thorax: 'chest', club: 'shaft', head: 'cap' });
  });
});

describe('files of one trial', () => {
  const trialsOf = (rows: string) => planOf(`${HEAD}trials:\n${rows}`).trials;
  it('a folder is one trial of all its tables; its id has no slash; notes as .txt are not tables beside others', () => {
    expect(trialsOf('  - {file: ./day2//swing2/, club: dr}\n')[0]).toMatchObject({
      id: 'day2/swing2',
      file: 'day2/swing2/',
      files: ['day2/swing2/club.csv', 'day2/swing2/pelvis.csv'],
    });
  });
  it('a pattern that ends in a slash means folders with tables, their numbers counted', () => {
    expect(trialsOf('  - {pattern: day2/*/, club: dr}\n').map(({ id }) => id)).toEqual(['day2/swing2', 'day2/swing10']);
  });
  it('a folder with use: no is taken out of the pattern', () => {
    const trials = trialsOf('  - {pattern: day2/*/, club: dr}\n  - {file: day2/swing2/, use: no, note: slipped}\n');
    expect(trials.map(({ id, use, club }) => [id, use, club])).toEqual([
      ['day2/swing10', true, 'dr'],
      ['day2/swing2', false, 'dr'],
    ]);
  });
  it('a Motion-BIDS recording has its side-cars by the inheritance principle: nearest table, every JSON file, no other task or system', () => {
    const [one, two] = trialsOf('  - {pattern: study/**/*.tsv, club: dr}\n');
    expect(one).toMatchObject({
      id: BIDS,
      file: `${BIDS}_motion.tsv`,
      files: [
        `${BIDS}_motion.tsv`,
        `${BIDS}_motion.json`,
        'study/task-swing_tracksys-imu_motion.json',
        `${BIDS}_channels.tsv`,
        `${BIDS}_channels.json`,
        'study/sub-01/motion/sub-01_task-swing_run-1_events.tsv',
      ],
    });
    expect(two!.files).toEqual([
      'study/sub-01/motion/sub-01_task-swing_tracksys-imu_run-2_motion.tsv',
      'study/task-swing_tracksys-imu_motion.json',
      'study/task-swing_tracksys-imu_channels.tsv',
    ]);
  });
});

describe('the still pose', () => {
  const two = GOOD.replace('spare', 'x').replace(
    '  - {file: emu/s/bow.csv',
    '  - {file: emu/s/spare.csv, role: static}\n  - {file: emu/s/bow.csv',
  );
  it('markers and sensors have one each, found by role', () => {
    const plan = planOf(`${GOOD}  - {file: emu/0-static.c3d, role: static}\n`);
    expect(plan.players[0]).toMatchObject({ static: 'emu/0-static', still: 'emu/s/still' });
  });
  it('of two one must be named', () => {
    expect(said(two)).toEqual([
      'day.yaml:3:11: emu has 2 still poses of the sensors (emu/s/still, emu/s/spare); name one under still, or each trial’s under its own still (emu/s/bow has none)',
    ]);
  });
  it('named for the player it counts for every trial, named for a trial for that one', () => {
    const plan = planOf(
      two
        .replace('{id: emu}', '{id: emu, still: emu/s/still.csv}')
        .replace('csv, club: dr}', 'csv, club: dr, still: emu/s/spare}'),
    );
    expect(plan.trials.map(({ id, still }) => [id, still])).toEqual([
      ['emu/s/still', 'emu/s/still'],
      ['emu/s/spare', 'emu/s/spare'],
      ['emu/s/bow', 'emu/s/still'],
      ['emu/s/hang', 'emu/s/still'],
      ['emu/s/driver-1', 'emu/s/spare'],
      ['emu/s/driver-2', 'emu/s/spare'],
      ['emu/s/driver-10', 'emu/s/spare'],
    ]);
  });
  it('a C3D file named as the still pose is read as sensors', () => {
    const plan = planOf(`${GOOD.replace('{id: emu}', '{id: emu, still: emu/0-static}')}  - {file: emu/0-static.c3d}\n`);
    expect(plan.players[0]).toMatchObject({ static: null, still: 'emu/0-static' });
    expect(plan.trials.at(-1)).toMatchObject({ role: 'static', source: 'sensors' });
  });
});

describe('what does not fit is said at its place', () => {
  const cases: readonly (readonly [string, string, readonly string[]])[] = [
    ['an unknown key', GOOD.replace('gyro_unit', 'gyro_units'), ['day.yaml:7:3: "gyro_units" is not a key in sensors; did you mean gyro_unit?']],
    ['an unknown place', GOOD.replace('thorax: chest', 'torax: chest'), ['day.yaml:8:23: "torax" is not a key in sensors.places; did you mean thorax?']],
    ['an unknown key of a column', GOOD.replace('time: t', 'tme: t'), ['day.yaml:6:13: "tme" is not a key in sensors.columns; did you mean time?']],
    ['two names for a gyro', GOOD.replace('[gx, gy, gz]', '[gx, gy]'), ['day.yaml:6:28: sensors.columns.gyro: give 3 names of columns, as [gyro_x, gyro_y, gyro_z]']],
    ['an unknown alignment', GOOD.replace('{knock_s: [0, 0.6]}', 'stamp'), ['day.yaml:11:10: sensors.align: "stamp": write stamps, trigger, or {knock_s: [0, 0.6]}']],
    ['a knock that ends before it begins', GOOD.replace('[0, 0.6]', '[0.6, 0]'), ['day.yaml:11:20: the first time comes before the second, as [0, 0.6]']],
    ['one sensor at two places', GOOD.replace('club: shaft', 'club: chest'), ['day.yaml:8:44: the sensor chest is at thorax already; one sensor has one place']],
    ['an unknown movement', GOOD.replace('movement: bow', 'movement: bo'), ['day.yaml:15:55: trials[2].movement: "bo" is none of bow, pelvic-tilt, turn; did you mean bow?']],
    ['a functional trial without movement', GOOD.replace(', movement: bow', ''), ['day.yaml:15:5: a functional trial of sensors needs movement: one of bow, pelvic-tilt, turn']],
    ['a movement of a swing', GOOD.replace('role: functional, ', ''), ['day.yaml:15:37: a movement needs role: functional, and this is role: swing']],
    ['a hanging club without its name', GOOD.replace('calibration, club: dr', 'calibration'), ['day.yaml:16:5: a calibration trial of sensors is a club that hangs still: it needs club']],
    ['a table said to be markers', GOOD.replace('csv, club: dr', 'csv, club: dr, source: markers'), ['driver-1', 'driver-2', 'driver-10'].map((name) => `day.yaml:17:53: emu/s/${name}.csv is no C3D file; markers are read from C3D files`)],
    ['markers with settings of sensors', `${GOOD}  - {file: emu/1-driver-1.c3d, source: markers, sensors: {heading: file}}\n`, ['day.yaml:18:40: emu/1-driver-1.c3d: movement, still and sensors are settings of sensors, not of markers']],
    ['a still pose that is none', GOOD.replace('{id: emu}', '{id: emu, still: emu/s/stil}'), ['day.yaml:3:28: no trial of emu has the id or file emu/s/stil; did you mean emu/s/still?']],
    ['a still pose of markers', `${GOOD.replace('{id: emu}', '{id: emu, still: emu/0-static}')}  - {file: emu/0-static.c3d, source: markers}\n`, ['day.yaml:3:28: emu/0-static is a recording of markers; the still pose is one of sensors']],
    ['a table as the static trial', GOOD.replace('{id: emu}', '{id: emu, static: emu/s/still}'), ['day.yaml:3:29: emu/s/still is a recording of sensors: name it under still; static is for markers']],
    ['a folder without its slash', `${GOOD}  - {file: day2/swing2, club: dr}\n`, ['day.yaml:18:12: day2/swing2 is not in the data folder; it is a folder: write day2/swing2/ where it holds one table per sensor']],
    ['a folder that is not there', `${GOOD}  - {file: day2/swing3/, club: dr}\n`, ['day.yaml:18:12: day2/swing3/ is not in the data folder; did you mean day2/swing2/?']],
    ['a folder without tables', `${GOOD}  - {file: day2/empty/, club: dr}\n`, ['day.yaml:18:12: the folder day2/empty/ holds no table of sensors (.csv, .tsv, .txt); C3D files are named one by one or by a pattern']],
    ['a folder with two recordings', `${GOOD}  - {file: study/sub-01/motion/, club: dr}\n`, [`day.yaml:18:12: study/sub-01/motion/ holds more than one recording; name each by its file, such as ${BIDS}_motion.tsv, or by a pattern`]],
    ['a pattern that matches no folder', `${GOOD}  - {pattern: day2/s/, club: dr}\n`, ['day.yaml:18:15: the pattern day2/s/ matches no folder with tables of sensors']],
    ['a pattern of folders in the wrong case', `${GOOD}  - {pattern: Day2/*/, club: dr}\n`, ['day.yaml:18:15: the pattern Day2/*/ matches no folder with tables of sensors; letters count as written, capital and small']],
    ['a pattern without the extension of tables', GOOD.replace('driver-*.csv', 'driver-*'), ['day.yaml:17:15: the pattern emu/s/driver-* matches no file; tables of sensors are meant by a pattern with their extension, such as emu/s/driver-*.csv']],
    ['a table that a folder holds already', `${GOOD}  - {file: day2/swing2/, club: dr}\n  - {file: day2/swing2/club.csv, club: dr}\n`, ['day.yaml:19:12: day2/swing2/club.csv is already named in line 18; a file belongs to one entry']],
  ]; // biome-ignore format: one case a line
  it.each(cases)('%s', (_, text, lines) => {
    expect(said(text)).toEqual(lines);
  });

  it.each(['emu-sensors', 'Emu-sensors-2', 'emu-sensors-details', 'emu-sensors-2-details'])(
    'a player %s, whose sheets would overwrite those of emu, is refused',
    (id) => {
      const text = GOOD.replace('{id: emu}', `{id: emu}, {id: ${id}}`).replace(/csv,/g, 'csv, player: emu,');
      expect(said(text)).toEqual([
        `day.yaml:3:27: the id ${id} would share a file with a sheet of another player; choose another`,
      ]);
    },
  );
});

describe('files that no entry names', () => {
  it('tables are noted where others are used; lists of trials, side-cars and notes are not', () => {
    const { notes } = read(`${GOOD}  - {file: emu/0-static.c3d, role: static}\n  - {file: emu/1-driver-1.c3d, club: dr}
  - {file: day2/empty/readme.c3d, club: dr}\n`);
    expect(notes).toEqual([
      '1 tables of sensors (.csv, .tsv) of the data folder are not in the day file: emu/s/spare.csv',
    ]);
  });
  it('beside a folder of tables its neighbours are noted, and beside a recording with side-cars the other recordings', () => {
    const { notes } = read(`${HEAD}trials:
  - {file: day2/swing2/, club: dr}
  - {file: ${BIDS}_motion.tsv, club: dr}
`);
    expect(notes[1]).toBe(
      '2 tables of sensors (.csv, .tsv) of the data folder are not in the day file: day2/swing10/club.csv, study/sub-01/motion/sub-01_task-swing_tracksys-imu_run-2_motion.tsv',
    );
  });
  it('the list of trials itself is none of them', () => {
    const table = 'file,role,club,source,movement,still\nlist2.csv,functional,,sensors,bow,pose\npose.csv,static,,,,\n';
    const { plan, notes, problems } = readDay('swingbasis: 1\nday: d\nplayers: [{id: emu}]\ntrials_csv: list.csv\n', {
      file: 'day.yaml',
      listing: ['list.csv', 'list2.csv', 'pose.csv'],
      trialsCsv: () => new TextEncoder().encode(table),
    });
    expect(problems).toEqual([]);
    expect(plan!.trials[0]).toMatchObject({ source: 'sensors', movement: 'bow', still: 'pose' });
    expect(notes.some((note) => note.includes('not in the day file'))).toBe(false);
  });
});
