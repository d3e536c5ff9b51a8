/** Folders with one table per sensor: which are a recording, and what their names say of role, club and player. */
import { describe, expect, it } from 'vitest';
import { bytesSource } from '../../../src/c3d/readC3d.ts';
import { readDay, renderProblemLine } from '../../../src/day/readDay.ts';
import { draftDay } from '../../../src/pipeline/draft.ts';
import { clubIn, playerOf } from '../../../src/pipeline/draftNames.ts';
import { utf8 } from '../../support/imuFiles.ts';
import { longTable, sensorTable } from '../../support/standingSensors.ts';

const SWING = { rate_Hz: 100, seconds: 4, fastest_degPerS: 600 };
const STILL = { rate_Hz: 100, seconds: 4, fastest_degPerS: 0 };
type Files = Readonly<Record<string, string>>;

/** A folder with a table for each sensor. */
function folder(path: string, sensors: readonly string[], spec = SWING): Files {
  return Object.fromEntries(sensors.map((name, i) => [`${path}${name}.csv`, sensorTable(spec, i + 1)]));
}

function draft(...all: readonly Files[]) {
  const files: Files = Object.assign({}, ...all);
  const listing = Object.keys(files).sort();
  const open = (path: string) => ({ ...bytesSource(utf8(files[path]!)), close: () => undefined });
  const { text } = draftDay({ folder: 'day', listing, open });
  const at = text.indexOf('\ntrials:\n');
  const ids = [...text.matchAll(/^ {2}- id: (.*)$/gm)].map((found) => found[1]!);
  return {
    text,
    trials: text
      .slice(at + 9)
      .trimEnd()
      .split('\n'),
    players: ids,
    listing,
  };
}

const BODY = ['sacrum', 'sternum', 'wrist-left'];
const ALL = [...BODY, 'shaft'];

describe('a day of folders with one table per sensor', () => {
  const day = draft(
    folder('still/', BODY, STILL),
    folder('bow/', BODY),
    folder('tilt/', BODY),
    folder('hang-driver/', ['shaft'], STILL),
    folder('1-driver-1/', ALL),
    folder('1-driver-2/', ALL, { ...SWING, fastest_degPerS: 620 }),
  );

  it('is one trial a folder with the role of its name, the hanging club with its single table as the others', () => {
    expect(day.trials).toEqual([
      '  - { pattern: "1-driver-*/", club: driver } # 2 folders',
      '  - { file: bow/, role: functional, movement: bow } # by its name',
      '  - { file: hang-driver/, role: calibration, club: driver } # by its name: the club hangs still',
      '  - { file: still/, role: static } # by its name',
      '  - { file: tilt/, role: functional, movement: pelvic-tilt } # by its name',
    ]);
  });

  it('has one player, and does not ask for the shaft of the club that hangs', () => {
    expect(day.players).toEqual(['player1']);
    expect(day.text).not.toContain('sensor_shaft');
  });

  it('is taken as it is once the hand is said', () => {
    const { plan, problems } = readDay(day.text.replace('hand: "?"', 'hand: right'), {
      file: 'day.yaml',
      listing: day.listing,
    });
    expect(problems.map(renderProblemLine)).toEqual([]);
    expect(plan!.trials.map(({ id, role, club }) => [id, role, club])).toEqual([
      ['1-driver-1', 'swing', 'driver'],
      ['1-driver-2', 'swing', 'driver'],
      ['bow', 'functional', null],
      ['hang-driver', 'calibration', 'driver'],
      ['still', 'static', null],
      ['tilt', 'functional', null],
    ]);
  });
});

describe('folders of a single table', () => {
  it.each([
    ['still', 'role: static'],
    ['bow', 'role: functional, movement: bow'],
    ['tilt', 'role: functional, movement: pelvic-tilt'],
    ['turn', 'role: functional, movement: turn'],
    ['hang-7 iron', 'role: calibration, club: iron7'],
  ])('%s/ is the trial of its name', (name, words) => {
    const { trials, players } = draft(folder(`${name}/`, ['sacrum']));
    expect(trials).toHaveLength(1);
    expect(trials[0]!.replaceAll('"', '')).toContain(`{ file: ${name}/, ${words} }`);
    expect(players).toEqual(['player1']);
  });

  it('below the folder of a player belong to that player', () => {
    const { trials, players } = draft(folder('auk/hang-driver/', ['shaft'], STILL), folder('auk/still/', BODY, STILL));
    expect(trials).toEqual([
      '  - { file: auk/hang-driver/, role: calibration, club: driver } # by its name: the club hangs still',
      '  - { file: auk/still/, role: static } # by its name',
    ]);
    expect(players).toEqual(['auk']);
  });

  it('a sensor of any name is known by standing in the still pose and beside it', () => {
    const { trials, text } = draft(
      folder('still/', ['S01', 'S02'], STILL),
      folder('swing7/', ['S01', 'S02', 'S05']),
      folder('swing8/', ['S01', 'S05']),
      folder('hang-driver/', ['S05'], STILL),
    );
    expect(trials.map((line) => /file: ([^,]*)|pattern: ([^,]*)/.exec(line)![0])).toEqual([
      'file: hang-driver/',
      'file: still/',
      'pattern: "swing*/"',
    ]);
    expect(text).toMatch(/ {4}pelvis: "\?" # .*"S05", "S01", "S02"/);
  });

  it('tables whose own names speak of swings, clubs or roles stay trials of their own', () => {
    const { trials, players } = draft(
      folder('auk/', ['driver-1', 'driver-2', 'still']),
      folder('coot/', ['1', '2']),
      folder('hang/', ['driver', 'iron7'], STILL),
    );
    expect(trials).toEqual([
      '  - { pattern: "auk/driver-*.csv", player: auk, club: driver } # 2 files',
      '  - { file: auk/still.csv, player: auk, role: static } # by its name',
      '  - { pattern: "coot/*.csv", player: coot, club: "?" } # 2 files',
      '  - { file: hang/driver.csv, player: player1, role: calibration, club: driver } # by the name of its folder: the club hangs still',
      '  - { file: hang/iron7.csv, player: player1, role: calibration, club: iron7 } # by the name of its folder: the club hangs still',
    ]);
    expect(players).toEqual(['auk', 'coot', 'player1']);
  });

  it('a player with one table of one sensor keeps it', () => {
    const { trials, players } = draft(folder('auk/', ['pelvis']), folder('coot/', ['pelvis']));
    expect(trials.map((line) => line.split(',')[0])).toEqual([
      '  - { file: auk/pelvis.csv',
      '  - { file: coot/pelvis.csv',
    ]);
    expect(players).toEqual(['auk', 'coot']);
  });

  it('beside a table that is no sensor is not read as a whole', () => {
    const { trials } = draft(folder('hang-driver/', ['shaft'], STILL), { 'hang-driver/notes.csv': 'a,b\n1,x\n2,y\n' });
    expect(trials[0]).toContain('{ file: hang-driver/shaft.csv, role: calibration, club: driver }');
  });
});

describe('roles and clubs beyond names', () => {
  it('what stands still with a sensor on the club alone is a club that hangs, not a player', () => {
    const { trials } = draft({
      'd/a.csv': longTable(STILL, ['club']),
      'd/b.csv': longTable(STILL, ['pelvis', 'club']),
    });
    expect(trials).toEqual([
      '  - { file: d/a.csv, role: calibration, club: "?" } # nothing turns in it and only the club has a sensor: the club hangs still',
      '  - { file: d/b.csv, role: static } # nothing turns in it',
    ]);
  });

  it('a club is asked for where no name speaks of one, and none is made up', () => {
    const { text } = draft({ 'd/swing1.csv': longTable(SWING, ['pelvis', 'thorax']) });
    expect(text).toContain('clubs:\n  - { id: "?", kind: "?" }\n');
    expect(text).not.toMatch(/^ *[^#]*(iron|driver)/m);
    expect(draft({ 'd/still.csv': longTable(STILL, ['pelvis']) }).text).toContain('clubs: []\n');
  });

  it.each([
    ['iron7-1', 'iron7'],
    ['7 iron', 'iron7'],
    ['irons', 'iron'],
    ['swingiron7', 'iron7'],
    ['hang7iron', 'iron7'],
    ['myIron5', 'iron5'],
    ['Driver_2', 'driver'],
    ['wood3', 'wood3'],
    ['environment', null],
    ['woodward', null],
  ])('the club in %s is %s', (name, club) => {
    expect(clubIn(name)?.id ?? null).toBe(club);
  });

  it.each([
    ['auk/1.c3d', 'auk'],
    ['1.c3d', 'player1'],
    ['hang-driver', 'player1'],
    ['driver/1.c3d', 'player1'],
    ['7 irons/1.c3d', 'player1'],
    ['auk driver/1.c3d', 'auk-driver'],
    ['2026/1.c3d', '2026'],
  ])('the player of %s is %s', (path, player) => {
    expect(playerOf(path)).toBe(player);
  });
});
