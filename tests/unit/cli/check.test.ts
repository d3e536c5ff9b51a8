import { cpSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { cli } from '../../support/cli.ts';
import { contentsOf, scratchFolder } from '../../support/folders.ts';

const SAMPLES = join(import.meta.dirname, '../../../samples/day');
const scratch = scratchFolder();
const data = join(scratch, 'captures');

const HEAD = `swingbasis: 1
day: two birds
lab: {up: +Z, target: +X, units: mm}
players: [{id: plover, hand: right, sex: male, static: plover/0-static}]
clubs:
  - {id: driver, kind: driver, face_centre_mm: [46.067, -15.125, 13.003]}
  - {id: iron7, kind: iron, face_centre_mm: [46.338, 22.305, 16.257]}
  - {id: putt, kind: putter}
`;
const STATIC = '  - {file: plover/0-static.c3d, role: static}\n';

function dayFile(name: string, trials: string, more = ''): string {
  const path = join(scratch, `${name}.yaml`);
  writeFileSync(path, `${HEAD}${more}trials:\n${trials}`);
  return path;
}

beforeAll(() => {
  mkdirSync(join(data, 'plover'), { recursive: true });
  for (const name of ['0-static', '1-driver-1', '1-driver-2', '2-iron7-1', '2-iron7-2', '2-iron7-3']) {
    cpSync(join(SAMPLES, `plover/${name}.c3d`), join(data, `plover/${name}.c3d`));
  }
  const whole = readFileSync(join(data, 'plover/1-driver-2.c3d'));
  writeFileSync(join(data, 'plover/cut.c3d'), whole.subarray(0, 700));
  cpSync(join(data, 'plover/1-driver-1.c3d'), join(data, 'plover/again.c3d'));
});

describe('check', () => {
  it('of a player with few swings: a line a trial, the counts, what is needed; nothing is written', async () => {
    const rows = `${STATIC}  - {pattern: plover/1-driver-*.c3d, club: driver}\n  - {pattern: plover/2-iron7-*.c3d, club: iron7}\n`;
    const day = dayFile('few', rows);
    const before = contentsOf(scratch);
    const { code, stdout } = await cli('check', day, '--data', data);
    expect(code).toBe(0);
    expect(stdout.split('\n')).toEqual([
      'ok       plover/0-static',
      'ok       plover/1-driver-1',
      'ok       plover/1-driver-2',
      'ok       plover/2-iron7-1',
      'ok       plover/2-iron7-2',
      'ok       plover/2-iron7-3',
      'usable swings (5 needed for a verdict, 8 advised):',
      '  plover: driver 2, irons 3',
      'capture again first:',
      '  1. plover, driver: 2 usable, 3 more for a verdict, 6 more to the 8 that are advised',
      '  2. plover, irons: 3 usable, 2 more for a verdict, 5 more to the 8 that are advised',
      '',
    ]);
    expect(contentsOf(scratch)).toEqual(before);
  });

  it('of a damaged day says of each trial what is wrong, the worst first, exit code 1', async () => {
    const rows = `${STATIC}  - {file: plover/1-driver-1.c3d, club: driver}
  - {file: plover/cut.c3d, club: driver}
  - {file: plover/again.c3d, club: driver}
  - {file: plover/2-iron7-1.c3d, club: iron7, note: seen by eye, gate: accept}
  - {file: plover/2-iron7-2.c3d, club: iron7}
  - {file: plover/2-iron7-3.c3d, club: putt}
  - {file: plover/1-driver-2.c3d, club: driver, use: no, note: practice}
`;
    const day = dayFile('damaged', rows, 'gates: {marker-noise: 0.1}\n');
    const { code, stdout } = await cli('check', day, '--data', data, '--no-repair');
    expect(code).toBe(1);
    const line = (trial: string): string => stdout.split('\n').find((text) => text.includes(`plover/${trial}`)) ?? '';
    expect(line('1-driver-1:')).toMatch(
      /^review {3}plover\/1-driver-1: marker noise 0\.\d mm \(\w+\), more than 0\.1 mm$/,
    );
    expect(line('cut')).toMatch(/^failed {3}plover\/cut: /);
    expect(line('again')).toMatch(/^reject {3}plover\/again: the same file as plover\/1-driver-1$/);
    expect(line('2-iron7-1')).toBe('ok       plover/2-iron7-1: accepted by hand: seen by eye');
    expect(line('2-iron7-3')).toMatch(/^reject {3}plover\/2-iron7-3: head speed \d\d\.\d m\/s, more than 10 m\/s$/);
    expect(line('1-driver-2')).toBe('left-out plover/1-driver-2: practice');
    const again = stdout.slice(stdout.indexOf('capture again first:')).split('\n');
    expect(again[1]).toMatch(
      /^ {2}1\. plover, driver: 1 usable, 4 more .*; lost: plover\/again \(the same file .*\), plover\/cut \(/,
    );
    expect(again[2]).toMatch(/^ {2}2\. plover, irons: 2 usable, 3 more/);
    expect(again[3]).toMatch(/^ {2}3\. plover\/1-driver-1: marker noise .* Calibrate the cameras again/);
  });

  it('of an unfinished day says what is still missing, which is no error, even of sets nobody has yet', async () => {
    const rows = `${STATIC}  - {pattern: plover/1-driver-*.c3d, club: driver, set: before}
  - {pattern: plover/9-driver-*.c3d, club: driver, set: after}
  - {file: plover/2-iron7-1.c3d, club: iron7}
  - {file: plover/8-iron7.c3d, club: iron7}
`;
    const day = dayFile('unfinished', rows, 'compare: {groups: [{of: "driver,after", against: "driver,before"}]}\n');
    const { code, stdout } = await cli('check', day, '--data', data);
    expect(code).toBe(0);
    expect(stdout).toMatch(
      /waiting {2}.+unfinished\.yaml:\d+:\d+: the pattern plover\/9-driver-\*\.c3d matches no file/,
    );
    expect(stdout).toMatch(/waiting {2}.+unfinished\.yaml:\d+:\d+: plover\/8-iron7\.c3d is not in the data folder/);
    expect(stdout).toContain('plover: driver 2, irons 1');
    const processed = await cli('process', day, '--data', data, '--out', join(scratch, 'out'));
    expect(processed.code).toBe(2);
  });

  it('--json has the same in one object', async () => {
    const rows = `${STATIC}  - {file: plover/1-driver-1.c3d, club: driver}\n  - {file: plover/cut.c3d, club: iron7}\n`;
    const { code, stdout } = await cli('check', dayFile('json', rows), '--data', data, '--json');
    expect(code).toBe(1);
    const check = JSON.parse(stdout) as Record<string, unknown>;
    expect(Object.keys(check)).toEqual(['day', 'trials', 'usable_swings', 'capture_again', 'waiting']);
    expect(check['trials']).toMatchObject([
      { trial: 'plover/0-static', verdict: 'ok', why: '', what_to_do: '' },
      { trial: 'plover/1-driver-1', player: 'plover', club: 'driver', set: '', verdict: 'ok' },
      { trial: 'plover/cut', verdict: 'failed' },
    ]);
    expect(check['usable_swings']).toMatchObject({
      needed: 5,
      advised: 8,
      sides: [
        { player: 'plover', side: 'driver', usable: 1, lost: [], doubted: [] },
        { player: 'plover', side: 'irons', usable: 0, lost: ['plover/cut'], doubted: [] },
      ],
    });
  });

  it('a static trial that cannot be used comes before everything that rests on it', async () => {
    writeFileSync(join(data, 'plover/bad-static.c3d'), readFileSync(join(data, 'plover/cut.c3d')));
    const rows =
      '  - {file: plover/bad-static.c3d, id: still, role: static}\n  - {file: plover/1-driver-1.c3d, club: driver}\n';
    const day = dayFile('static', rows);
    writeFileSync(day, readFileSync(day, 'utf8').replace(', static: plover/0-static', ''));
    const { code, stdout } = await cli('check', day, '--data', data);
    expect(code).toBe(1);
    expect(stdout).toMatch(/capture again first:\n {2}1\. still, on which every swing of plover rests: /);
  });

  it('a day file with problems is refused with its lines, exit code 2', async () => {
    const { code, stdout, stderr } = await cli(
      'check',
      dayFile('wrong', '  - {file: plover/1-driver-1.c3d, club: ?}\n'),
      '--data',
      data,
    );
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toMatch(/still unknown \(\?\)/);
    expect(stderr).toContain('1 problem in the day file; nothing was checked');
  });
});
