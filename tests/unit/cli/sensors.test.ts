import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { cli } from '../../support/cli.ts';
import { bidsFiles } from '../../support/imuFiles.ts';
import { longTable, sensorTable } from '../../support/standingSensors.ts';

const SWING = { rate_Hz: 100, seconds: 4, fastest_degPerS: 600 };
let scratch: string;

function put(path: string, content: string | Uint8Array): string {
  const full = join(scratch, path);
  mkdirSync(dirname(full), { recursive: true });
  writeFileSync(full, content);
  return full;
}

beforeAll(() => {
  scratch = mkdtempSync(join(tmpdir(), 'swingbasis sensors '));
});
afterAll(() => {
  rmSync(scratch, { recursive: true, force: true });
});

describe('inspect', () => {
  it('takes tables, folders of tables with or without a slash, and Motion-BIDS with side-cars higher up', async () => {
    const table = put('one/swing.csv', longTable(SWING, ['sacrum', 'sternum']));
    put('two/pelvis.csv', sensorTable(SWING, 1));
    put('two/thorax.tsv', sensorTable(SWING, 2).replaceAll(',', '\t'));
    put('two/notes.txt', 'windy\n');
    const [motion, channels, json] = bidsFiles();
    const recording = put(`bids/${motion!.path}`, motion!.bytes);
    put('bids/sub-01/sub-01_task-swing_channels.tsv', channels!.bytes);
    put('bids/task-swing_motion.json', json!.bytes);
    const two = join(scratch, 'two');
    const { code, stdout } = await cli('inspect', '--json', table, `${two}/`, two, recording, dirname(recording));
    const all = JSON.parse(stdout) as { file: string; source: string; sensors: { name: string; place: string }[] }[];
    expect(all.map(({ file }) => file)).toEqual([table, `${two}/`, two, recording, recording]);
    expect(all.map(({ sensors }) => sensors.map(({ name }) => name))).toEqual([
      ['sacrum', 'sternum'],
      ['pelvis', 'thorax'],
      ['pelvis', 'thorax'],
      ['pelvis'],
      ['pelvis'],
    ]);
    expect(all.every(({ source }) => source === 'sensors')).toBe(true);
    expect(code).toBe(0);
  });

  it('a table that is no recording gives exit code 1 and says what it lacks; the others are shown', async () => {
    const table = put('three/swing.csv', longTable(SWING, ['sacrum', 'sternum']));
    const scores = put('three/scores.csv', 'hole,par\n1,4\n2,3\n');
    const { code, stdout } = await cli('inspect', scores, table, join(scratch, 'nothing.csv'));
    expect(code).toBe(1);
    expect(stdout).toContain('needed columns of a gyro');
    expect(stdout).toContain('sensor sternum: place thorax');
    expect(stdout).toContain('[file-not-readable]');
  });

  it('a folder without tables is not readable as a recording', async () => {
    put('four/a.c3d', 'x');
    const { code, stdout } = await cli('inspect', join(scratch, 'four'));
    expect(code).toBe(1);
    expect(stdout).toContain('holds no table of sensors');
  });

  it.each([
    [['--angles-between', 'pelvis'], 'write two rotations, PARENT,CHILD'],
    [['--angles-between', 'a,b', '--order', 'XXY'], '--order XXY: write one of XYZ'],
    [['--order', 'XYZ'], '--order belongs to --angles-between'],
  ])('%j is a mistake of usage', async (args, message) => {
    const { code, stderr } = await cli('inspect', 'a.c3d', ...args);
    expect(code).toBe(2);
    expect(stderr).toContain(message);
  });

  it('a table of sensors has no rotations to compare', async () => {
    const table = put('five/swing.csv', longTable(SWING, ['sacrum', 'sternum']));
    const { code, stdout } = await cli('inspect', table, '--angles-between', 'a,b');
    expect(code).toBe(1);
    expect(stdout).toContain('[rotation-not-found]');
  });
});

describe('draft', () => {
  it('of a folder of tables writes a day file; of one without recordings nothing, and says what its tables are not', async () => {
    put('six/driver-1.csv', longTable(SWING, ['sacrum', 'sternum']));
    put('six/still.csv', longTable({ ...SWING, fastest_degPerS: 0 }, ['sacrum', 'sternum']));
    const first = await cli('draft', join(scratch, 'six'));
    expect(first.code).toBe(0);
    const text = readFileSync(join(scratch, 'six/day.yaml'), 'utf8');
    expect(text).toContain('role: static');
    expect(first.stderr).toMatch(/Fill in the unknown facts/);
    put('seven/trials.csv', 'file,club\na.c3d,driver\n');
    const none = await cli('draft', join(scratch, 'seven'));
    expect(none.code).toBe(2);
    expect(none.stderr).toContain(
      'holds no .c3d file and no recording of sensors: trials.csv is no recording of sensors',
    );
    expect(existsSync(join(scratch, 'seven/day.yaml'))).toBe(false);
  });
});
