import { spawn } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { cli } from '../../support/cli.ts';
import { contentsOf, scratchFolder } from '../../support/folders.ts';

const ROOT = join(import.meta.dirname, '../../..');
const SAMPLES = join(ROOT, 'samples/day');
const scratch = scratchFolder();

describe('the command line', () => {
  it('alone prints the three commands of a first day', async () => {
    const { code, stdout } = await cli();
    expect(code).toBe(0);
    for (const line of ['swingbasis demo', 'swingbasis draft FOLDER', 'swingbasis process FOLDER/day.yaml'])
      expect(stdout).toContain(line);
  });
  it('prints its version', async () => {
    const version = (JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as { version: string }).version;
    expect(await cli('--version')).toEqual({ code: 0, stdout: `${version}\n`, stderr: '' });
  });
  it.each(['inspect', 'draft', 'check', 'process', 'compare', 'demo'])(
    '%s --help has an example and costs no error',
    async (command) => {
      const { code, stdout } = await cli(command, '--help');
      expect(code).toBe(0);
      expect(stdout).toContain(`$ swingbasis ${command}`);
    },
  );
  it.each([
    [['proces', 'day.yaml'], 'Did you mean process?'],
    [['process', 'day.yaml', '--curvs'], 'Did you mean --curves?'],
    [['inspect'], "missing required argument 'file'"],
    [['process', 'a', 'b'], 'too many arguments'],
    [['process', 'day.yaml', '--orders', 'ZXX'], '--orders: "ZXX" is none of the orders'],
    [['process', 'day.yaml', '--orders', 'torax:ZXY'], 'did you mean thorax?'],
    [['process', 'day.yaml', '--order-check', 'thorx'], 'did you mean thorax?'],
    [['compare', 'a', 'b', '--order-check', 'thorax'], '--order-check belongs to one folder'],
    [['process', 'nowhere.yaml'], 'there is no day file nowhere.yaml'],
    [['process', ROOT], 'is a folder; name the day file in it'],
    [['draft', join(ROOT, 'nowhere')], 'cannot be listed: it does not exist'],
    [['draft', join(ROOT, 'scripts')], 'holds no .c3d file'],
  ])('%j cannot run: exit code 2, and the message says what to do', async (args, message) => {
    const { code, stdout, stderr } = await cli(...args);
    expect(code).toBe(2);
    expect(stderr).toContain(message);
    expect(stdout).toBe('');
  });
  it.each([
    [['compare', '--help'], 0],
    [['inspect', '--json', join(SAMPLES, 'heron/1-driver-1.c3d')], 0],
    [['inspect', 'nowhere.c3d'], 1],
  ])('%j: a reader that leaves early is no error', async (args, expected) => {
    const child = spawn(process.execPath, [join(ROOT, 'bin/swingbasis'), ...args], {
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    child.stdout.destroy();
    let errors = '';
    child.stderr.on('data', (text) => {
      errors += String(text);
    });
    const code = await new Promise((done) => {
      child.on('close', done);
    });
    expect({ code, stack: /EPIPE|\n {4}at /.test(errors) }).toEqual({ code: expected, stack: false });
  });
  it('is a committed executable of a few lines', () => {
    const path = join(ROOT, 'bin/swingbasis');
    if (process.platform !== 'win32') expect(statSync(path).mode & 0o111).toBe(0o111);
    const lines = readFileSync(path, 'utf8').trimEnd().split('\n');
    expect(lines[0]).toBe('#!/usr/bin/env node');
    expect(lines.length).toBeLessThanOrEqual(15);
  });
});

describe('inspect', () => {
  const good = join(SAMPLES, 'heron/1-driver-1.c3d');
  it('--json gives an array with every key of the interface, in the order of the files', async () => {
    const { code, stdout } = await cli('inspect', '--json', good, join(ROOT, 'package.json'), 'nowhere.c3d');
    expect(code).toBe(1);
    const all = JSON.parse(stdout) as Record<string, unknown>[];
    expect(Object.keys(all[0]!)).toEqual([
      'file', 'bytes', 'processor', 'form', 'points', 'frames', 'firstFrame', 'rate_Hz', 'units', 'analogChannels',
      'analogSamplesPerFrame', 'rotations', 'labels', 'landmarks', 'up', 'target', 'events', 'diagnostics',
      'rotationLabels', 'source', 'sensors', 'questions',
    ]); // biome-ignore format: one glance
    expect(all[0]).toMatchObject({ file: good, bytes: statSync(good).size, rate_Hz: 240, up: '+Z', target: '+X' });
    expect(all[1]).toEqual({
      file: join(ROOT, 'package.json'),
      error: { code: 'not-c3d', message: expect.stringContaining('byte 2') as string, offset: 1 },
    });
    expect(all[2]).toMatchObject({ file: 'nowhere.c3d', error: { code: 'file-not-readable', offset: null } });
  });
  it('of one good file alone is still an array, exit code 0', async () => {
    const { code, stdout } = await cli('inspect', '--json', good);
    expect(code).toBe(0);
    expect(JSON.parse(stdout)).toHaveLength(1);
  });
  it('--quality writes a figure of each file with points and says where; other files have a line', async () => {
    const folder = join(scratch, 'quality figures');
    const osprey = join(SAMPLES, 'osprey/1-driver-2.c3d');
    const files = [osprey, good, join(SAMPLES, 'wren/1-driver-1.c3d'), join(ROOT, 'package.json')];
    const { code, stderr } = await cli('inspect', ...files, '--quality', folder);
    expect(code).toBe(1);
    const names = ['1-driver-2-quality.svg', '1-driver-1-quality.svg', '1-driver-1-2-quality.svg'];
    const lines = stderr.trimEnd().split('\n');
    expect(lines.slice(0, 3)).toEqual(names.map((name, i) => `${files[i]}: quality figure ${join(folder, name)}`));
    expect(lines[3]).toMatch(/package\.json: no quality figure: .*byte 2/);
    expect([...contentsOf(folder).keys()]).toEqual([...names].sort());
    const text = contentsOf(folder).get(names[0]!)!.toString();
    // the sample's own gap: 14 frames of one marker; its ball is not seen again after the strike
    expect(text).toContain('L_ASIS: frames');
    expect(text).toContain('BALL: frames');
  });
  it('in words names the landmarks and the error of a bad file', async () => {
    const { code, stdout } = await cli('inspect', good, join(ROOT, 'package.json'));
    expect(code).toBe(1);
    expect(stdout).toContain('48 points × 610 frames');
    expect(stdout).toContain('CLUB_HEAD_1');
    expect(stdout).toContain('[not-c3d]');
  });
});

describe('draft', () => {
  it('writes a day file that process refuses until its ? are filled in, then processes; it never overwrites', async () => {
    const folder = join(scratch, 'draft day');
    mkdirSync(join(folder, 'swings'), { recursive: true });
    for (const name of ['0-static', '1-driver-1', '1-driver-2', '2-iron7-1', '2-iron7-2']) {
      cpSync(join(SAMPLES, `heron/${name}.c3d`), join(folder, 'swings', `${name}.c3d`));
    }
    writeFileSync(join(folder, 'swings/empty.c3d'), '');
    const path = join(folder, 'day.yaml');
    const first = await cli('draft', folder);
    expect(first).toMatchObject({ code: 0, stdout: `${path}\n` });
    const text = readFileSync(path, 'utf8');
    expect(text).toContain('hand: left # detected: the left hand is nearer the club head');
    expect(text).toContain('role: static');
    expect(text).toContain('pattern: "swings/1-driver-*.c3d"');
    expect(text).toMatch(/# swings\/empty\.c3d is left out, it cannot be read/);

    const again = await cli('draft', folder);
    expect(again.code).toBe(2);
    expect(again.stderr).toContain('already exists; it is never overwritten');

    const refused = await cli('process', path);
    expect(refused.code).toBe(2);
    const line = text.split('\n').findIndex((one) => one.includes('target: "?"')) + 1;
    expect(refused.stderr).toContain(`${path}:${line}:11: lab.target is still unknown (?)`);
    expect(existsSync(join(folder, 'results'))).toBe(false);

    writeFileSync(path, text.replace('target: "?"', 'target: +X'));
    const done = await cli('process', path, '--orders', 'thorax:ZXY', '--curves');
    expect(done.stderr).toContain('1 .c3d files of the data folder are not in the day file: swings/empty.c3d');
    expect(done.code).toBe(0);
    expect(done.stdout).toContain('5 of 5 trials used');
    const out = contentsOf(join(folder, 'results'));
    expect(out.get('tables/angles.csv')!.toString()).toContain('thorax.first');
    expect(out.get('tables/comparison.csv')!.toString()).toMatch(/thorax\.first,P4,deg,ZXY,/);
    expect([...out.keys()]).toEqual(
      expect.arrayContaining(['index.html', 'run.json', 'tables/curves.csv', 'trials/swings/1-driver-1.json']),
    );
    const record = JSON.parse(out.get('run.json')!.toString()) as Record<string, unknown>;
    expect(Object.keys(record)).toEqual([
      'program',
      'version',
      'tables',
      'day',
      'date',
      'options',
      'inputs',
      'trials',
      'libraries',
      'comparison',
      'without_record',
      'checkpoints',
    ]);
    expect(record).toMatchObject({ trials: { used: 5, left_out: 0, rejected: 0, failed: 0 } });
    expect(out.get('run.json')!.toString()).not.toContain(scratch);
  });
});

describe('an interruption', () => {
  const main = join(ROOT, 'scripts/swingbasis.ts');
  /** The sample day; a signal at the first progress, another where `again`. */
  async function interrupted(out: string, again: boolean): Promise<{ readonly code: number; readonly stderr: string }> {
    const child = spawn(
      process.execPath,
      ['--import', 'tsx', main, 'process', join(SAMPLES, 'day.yaml'), '--out', out, '--workers', '1'],
      {
        cwd: ROOT,
      },
    );
    let stderr = '';
    let sent = 0;
    child.stderr.on('data', (chunk: Buffer) => {
      stderr += chunk.toString();
      if (sent === 0 && /\d+ of \d+ trials/.test(stderr)) sent += Number(child.kill('SIGINT'));
      if (again && sent === 1 && stderr.includes('interrupted')) sent += Number(child.kill('SIGINT'));
    });
    const code = await new Promise<number>((resolve) => child.on('exit', resolve));
    return { code, stderr };
  }
  const unfinished = (out: string): readonly string[] =>
    [...contentsOf(out).keys()].filter((path) => path.endsWith('.unfinished'));

  it.skipIf(process.platform === 'win32')('ends with 130 and writes what is done; the others say why', async () => {
    const out = join(scratch, 'interrupted');
    const { code, stderr } = await interrupted(out, false);
    expect(stderr).toContain('interrupted: finishing what is running');
    expect(code).toBe(130);
    expect(unfinished(out)).toEqual([]);
    const { trials } = JSON.parse(readFileSync(join(out, 'run.json'), 'utf8')) as { trials: Record<string, number> };
    expect(trials['used']).toBeGreaterThan(0);
    expect(trials['failed']).toBeGreaterThan(0);
    expect(readFileSync(join(out, 'tables/trials.csv'), 'utf8')).toContain('interrupted before this trial');
    expect(existsSync(join(out, 'index.html'))).toBe(true);
  });

  it.skipIf(process.platform === 'win32')('sent again ends at once: no report, no half-written file', async () => {
    const out = join(scratch, 'interrupted twice');
    const { code } = await interrupted(out, true);
    expect(code).toBe(130);
    expect(existsSync(join(out, 'run.json'))).toBe(false);
    expect([...contentsOf(out).keys()].filter((path) => !path.startsWith('.store/'))).toEqual([]);
  });
});
