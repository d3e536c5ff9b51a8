import { spawnSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createRandom } from '../../src/numeric/random.ts';
import * as bad from '../support/badAnalysis.ts';
import { makeSmallDay, resultsOf, runSmallDay } from '../support/batchDay.ts';
import { scratchFolder } from '../support/folders.ts';
import { filesIn, killedAt, program } from '../support/killedRuns.ts';
import { readBack } from '../support/readBack.ts';

const scratch = scratchFolder();
const KILLS = 10;
let dayFile = '';
let one: ReadonlyMap<string, string>;
let files = 0;

beforeAll(() => {
  dayFile = makeSmallDay(join(scratch, 'day'));
  const out = join(scratch, 'one');
  const { code, stderr } = program(['process', dayFile, '--out', out, '--workers', '2']);
  expect(code, stderr).toBe(0);
  one = resultsOf(out);
  files = filesIn(out);
});

describe('a run that is killed', () => {
  it(`at ${KILLS} random moments and run again writes the bytes of one run`, async () => {
    const random = createRandom(20);
    let killed = 0;
    for (let i = 0; i < KILLS; i += 1) {
      const out = join(scratch, `killed ${i}`);
      const workers = String(1 + (i % 2));
      const args = ['process', dayFile, '--out', out, '--workers', workers];
      if (await killedAt(Math.floor(random.uniform() * files), out, args)) killed += 1;
      const { code, stderr } = program(args);
      expect(code, stderr).toBe(0);
      expect(resultsOf(out), `kill ${i}`).toEqual(one);
    }
    // moments are spread over the files that one run writes: a run that overtakes the watch is rare
    expect(killed).toBeGreaterThan(KILLS / 2);
  });

  it('as a shard is named by gather; run again, the day is whole', async () => {
    const out = join(scratch, 'shards');
    const shard = (id: number): Readonly<Record<string, string>> => ({
      SLURM_ARRAY_TASK_ID: String(id),
      SLURM_ARRAY_TASK_MIN: '0',
      SLURM_ARRAY_TASK_COUNT: '3',
    });
    const args = ['process', dayFile, '--out', out, '--shard', 'auto', '--workers', '1'];
    expect(program(args, shard(2)).code).toBe(0);
    expect(await killedAt(filesIn(out) + 1, out, args, shard(0))).toBe(true);
    expect(program(args, shard(1)).code).toBe(0);
    const early = program(['gather', out]);
    expect(early.code).toBe(2);
    expect(early.stderr).toContain('shard 1/3 is missing');
    expect(program(args, shard(0)).code).toBe(0);
    const done = program(['gather', out]);
    expect(done.code, done.stderr).toBe(0);
    expect(resultsOf(out)).toEqual(one);
  });
});

describe('a disk that is read-only', () => {
  const disk = join(scratch, 'read-only disk');
  mkdirSync(disk);
  const mount = (...options: readonly string[]): boolean =>
    spawnSync('mount', [...options, 'tmpfs', disk], { stdio: 'ignore' }).status === 0;
  const isMounted = process.platform === 'linux' && mount('-t', 'tmpfs', '-o', 'size=50m');
  if (!isMounted) console.log('no disk can be mounted here: the test of a read-only disk is skipped');
  afterAll(() => {
    if (isMounted) spawnSync('umount', [disk]);
  });

  it.skipIf(!isMounted)('may hold the captures; as the place of results it is named, and nothing else is tried', () => {
    const captured = makeSmallDay(join(disk, 'day'));
    mkdirSync(join(disk, 'out'));
    expect(mount('-o', 'remount,ro')).toBe(true);
    const there = program(['process', captured, '--out', join(disk, 'out')]);
    expect(there.code).toBe(2);
    expect(there.stderr).toContain('cannot be written: the disk is read-only');
    const out = join(scratch, 'from a read-only disk');
    const { code, stderr } = program(['process', captured, '--out', out]);
    expect(code, stderr).toBe(0);
    expect(resultsOf(out)).toEqual(one);
  });
});

describe('a few trials', () => {
  it('have a time limit, too: one that loops for ever ends at it, the others are done', async () => {
    const analysis = join(import.meta.dirname, '../support/badAnalysis.ts');
    const loops = { analysis, trialLimit_s: 20, memory_MB: 128 };
    const { run } = await runSmallDay(dayFile, join(scratch, 'limit'), loops);
    const lost = run.result.outcomes.filter(({ status }) => status === 'failed');
    expect(lost.map(({ trial }) => trial).sort()).toEqual([bad.ENDS, bad.LOOPS, bad.EATS].sort());
    expect(lost.find(({ trial }) => trial === bad.LOOPS)?.reason).toContain('longer than 20 s');
    expect(run.result.outcomes.filter(({ status }) => status === 'used')).toHaveLength(7);
  });
});

describe('a day on threads', () => {
  it('does not end with a trial that loops, one that ends its thread and one that eats all memory: the others are done', async () => {
    const there = join(scratch, 'bad');
    const analysis = join(import.meta.dirname, '../support/badAnalysis.ts');
    const { run } = await runSmallDay(dayFile, there, { workers: 2, trialLimit_s: 25, memory_MB: 128, analysis });
    const lost = new Map(
      run.result.outcomes.filter(({ status }) => status !== 'used').map(({ trial, reason }) => [trial, reason]),
    );
    expect([...lost.keys()].sort()).toEqual([bad.ENDS, bad.LOOPS, bad.EATS].sort());
    expect(lost.get(bad.LOOPS)).toContain('longer than 25 s');
    expect(lost.get(bad.ENDS)).toContain('its thread ended before it was done');
    expect(lost.get(bad.EATS)).toMatch(/more than 128 MB of memory/);
    expect(readBack(there).records).toHaveLength(5);
    const again = program(['process', dayFile, '--out', there, '--workers', '2']);
    expect(again.code, again.stderr).toBe(0);
    expect(resultsOf(there), 'the day processed again, without the trials’ faults').toEqual(one);
  }, 150_000);
});

describe('a full disk', () => {
  const small = join(scratch, 'small disk');
  mkdirSync(small);
  const mount = (...options: readonly string[]): boolean =>
    spawnSync('mount', [...options, 'tmpfs', small], { stdio: 'ignore' }).status === 0;
  const isMounted = process.platform === 'linux' && mount('-t', 'tmpfs', '-o', 'size=1500k');
  if (!isMounted) console.log('no small disk can be mounted here: the test of a full disk is skipped');
  afterAll(() => {
    if (isMounted) spawnSync('umount', [small]);
  });

  it.skipIf(!isMounted)('is named, nothing half-written stands for a result, and with room the day is whole', () => {
    const out = join(small, 'out');
    const args = ['process', dayFile, '--out', out, '--workers', '2'];
    const full = program(args);
    expect(full.code).toBe(2);
    expect(full.stderr).toContain('the disk is full');
    for (const [path, text] of resultsOf(out)) expect(text, path).toBe(one.get(path));
    expect(resultsOf(out).has('run.json')).toBe(false);
    expect(mount('-o', 'remount,size=200m')).toBe(true);
    const { code, stderr } = program(args);
    expect(code, stderr).toBe(0);
    expect(resultsOf(out)).toEqual(one);
  });
});
