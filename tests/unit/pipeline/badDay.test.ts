import { cpSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { beforeAll, describe, expect, it } from 'vitest';
import { type CliRun, cli } from '../../support/cli.ts';
import { contentsOf, scratchFolder } from '../../support/folders.ts';

const SAMPLES = join(import.meta.dirname, '../../../samples/day');
const folder = join(scratchFolder(), 'bad day');

const DAY = `swingbasis: 1
day: A day of bad input
lab: {up: +Z, target: +X, units: mm}
players:
  - {id: plover, hand: right, sex: male, static: plover/0-static}
  - {id: wren, hand: right, sex: female}
clubs:
  - {id: driver, kind: driver}
  - {id: iron7, kind: iron}
trials:
  - {file: plover/0-static.c3d, player: plover, role: static}
  - {pattern: plover/1-driver-?.c3d, player: plover, club: driver}
  - {pattern: plover/2-iron7-?.c3d, player: plover, club: iron7}
  - {file: plover/2-iron7-4.c3d, use: no, note: slipped}
  - {file: bad/empty.c3d, player: plover, club: driver}
  - {file: bad/text.c3d, player: plover, club: driver}
  - {file: bad/truncated.c3d, player: plover, club: driver}
  - {file: bad/header-only.c3d, player: plover, club: driver}
  - {file: bad/another-body.c3d, player: plover, club: driver}
  - {file: bad/no-club.c3d, player: plover}
  - {file: bad/standing.c3d, player: plover, club: driver}
  - {file: wren/only-swing.c3d, player: wren, club: driver}
`;

let run: CliRun;
let rows: Record<string, string>[] = [];

/** The project's check of a bad day: every bad file is named with its reason, the rest is processed, the exit code is 1. */
beforeAll(async () => {
  const copy = (from: string, to: string) => cpSync(join(SAMPLES, `${from}.c3d`), join(folder, `${to}.c3d`));
  for (const name of ['0-static', '1-driver-1', '1-driver-2', '2-iron7-1', '2-iron7-2', '2-iron7-4']) {
    copy(`plover/${name}`, `plover/${name}`);
  }
  mkdirSync(join(folder, 'bad'));
  const swing = readFileSync(join(SAMPLES, 'plover/3-driver-1.c3d'));
  writeFileSync(join(folder, 'bad/empty.c3d'), '');
  writeFileSync(join(folder, 'bad/text.c3d'), 'frame,time\n'.repeat(200));
  writeFileSync(join(folder, 'bad/truncated.c3d'), swing.subarray(0, Math.floor(0.6 * swing.length)));
  writeFileSync(join(folder, 'bad/header-only.c3d'), swing.subarray(0, 512));
  copy('wren/3-driver-1', 'bad/another-body');
  copy('plover/3-driver-2', 'bad/no-club');
  copy('plover/0-static', 'bad/standing');
  copy('wren/1-driver-1', 'wren/only-swing');
  writeFileSync(join(folder, 'day.yaml'), DAY);
  run = await cli('process', join(folder, 'day.yaml'));
  rows = parse(readFileSync(join(folder, 'results/tables/trials.csv')), { columns: true }) as Record<string, string>[];
});

describe('a day of bad input', () => {
  it('ends with exit code 1', () => {
    expect(run.code).toBe(1);
  });
  it.each([
    ['bad/empty', 'failed', /has 0 bytes; expected a header of 512 bytes/],
    ['bad/text', 'failed', /byte 2 is 114; expected 80/],
    ['bad/truncated', 'rejected', /frames/],
    ['bad/header-only', 'failed', /block/],
    [
      'bad/another-body',
      'rejected',
      /this is not the body of plover: \d+ lengths differ by more than 5 % \((left|right) PSIS to (left|right) PSIS \d+ mm, calibrated/,
    ],
    ['bad/no-club', 'rejected', /no club is named for this swing in the day file/],
    ['bad/standing', 'rejected', /no swing was found/],
    ['plover/2-iron7-4', 'left-out', /^slipped$/],
  ])('%s is %s, and its reason is in the table, on the screen and in the report', (trial, status, reason) => {
    const row = rows.find((one) => one['trial'] === trial);
    expect(row).toMatchObject({ status });
    expect(row!['reason']).toMatch(reason);
    expect(row!['sha256']).toMatch(/^[0-9a-f]{64}$/);
    expect(run.stdout).toContain(`${status}: ${trial}: ${row!['reason']}`);
    const page = readFileSync(join(folder, 'results/index.html'), 'utf8');
    expect(page).toContain(trial);
  });
  it('the rest is used: the good trials have their values', () => {
    const used = rows.filter((row) => row['status'] === 'used').map((row) => row['trial']);
    expect(used).toEqual([
      'plover/0-static', 'plover/1-driver-1', 'plover/1-driver-2', 'plover/2-iron7-1', 'plover/2-iron7-2', 'wren/only-swing',
    ]); // biome-ignore format: one glance
    const angles = readFileSync(join(folder, 'results/tables/angles.csv'), 'utf8');
    expect(angles).toMatch(/plover,driver,driver,,plover\/1-driver-1,pelvis\.forward_bend,P4,-?\d+\.\d{3},deg,YXZ/);
    expect(angles).not.toContain('bad/');
  });
  it('a player with one swing gets a sheet and is told why there is no comparison', () => {
    expect(run.stdout).toMatch(/^wren: no comparison: .*swing/m);
    expect(contentsOf(join(folder, 'results')).has('players/wren.svg')).toBe(true);
  });
  it('the run record counts them', () => {
    const record = JSON.parse(readFileSync(join(folder, 'results/run.json'), 'utf8')) as Record<string, unknown>;
    expect(record['trials']).toEqual({ used: 6, left_out: 1, rejected: 4, failed: 3 });
    expect(run.stdout).toContain('6 of 14 trials used, 1 left out, 4 rejected, 3 failed');
  });
  it('run again over its own output, every byte is the same', async () => {
    const before = contentsOf(join(folder, 'results'));
    expect((await cli('process', join(folder, 'day.yaml'))).code).toBe(1);
    const after = contentsOf(join(folder, 'results'));
    expect([...after.keys()]).toEqual([...before.keys()]);
    for (const [path, bytes] of after) expect(Buffer.compare(bytes, before.get(path)!), path).toBe(0);
  });
  it('with --data elsewhere and --lab beneath, the same trials are found', async () => {
    const away = join(scratchFolder(), 'away');
    mkdirSync(away);
    writeFileSync(join(away, 'lab.yaml'), 'lab: {up: +Z, target: +X, units: mm}\n');
    writeFileSync(join(away, 'day.yaml'), DAY.replace(/^lab:.*\n/m, ''));
    const { code } = await cli('process', join(away, 'day.yaml'), '--data', folder, '--lab', join(away, 'lab.yaml'));
    expect(code).toBe(1);
    const there = readFileSync(join(away, 'results/tables/angles.csv'));
    expect(there.equals(readFileSync(join(folder, 'results/tables/angles.csv')))).toBe(true);
  });
  it('--strict rejects what carries a warning and says which', async () => {
    const out = join(scratchFolder(), 'strict');
    writeFileSync(join(folder, 'no-target.yaml'), DAY.replace('target: +X, ', ''));
    const { stdout } = await cli('process', join(folder, 'no-target.yaml'), '--strict', '--out', out);
    expect(stdout).toMatch(/rejected: wren\/only-swing: refused with --strict: .* \(target-assumed\)/);
  });
});
