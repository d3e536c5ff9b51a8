import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { lockFolder } from '../../../src/batch/lock.ts';
import { takeLock } from '../../../src/disk/lock.ts';
import { scratchFolder } from '../../support/folders.ts';

const scratch = scratchFolder();
const QUICK = { beat_ms: 20, watch_ms: 150 };
let made = 0;

/** An output folder, with a lock of that text where it is given. */
function folder(lock?: string | object): { readonly out: string; readonly path: string; readonly notes: string[] } {
  made += 1;
  const out = join(scratch, `out ${made}`);
  const path = join(out, '.store/lock');
  mkdirSync(join(out, '.store'), { recursive: true });
  if (lock !== undefined) writeFileSync(path, typeof lock === 'string' ? lock : JSON.stringify(lock));
  return { out, path, notes: [] };
}

const HOLDER = { host: hostname(), pid: process.pid, started: '', token: 'other', beat: 0 };

describe('the lock of an output folder', () => {
  it('lets one run in, tells another who is there, and opens again', async () => {
    const { out, path, notes } = folder();
    const unlock = await lockFolder(out, (note) => notes.push(note), QUICK);
    const refused = lockFolder(out, () => {}, QUICK);
    await expect(refused).rejects.toThrow(`being written by process ${process.pid} on ${hostname()}`);
    unlock();
    expect(existsSync(path)).toBe(false);
    (await lockFolder(out, (note) => notes.push(note), QUICK))();
    expect(notes).toEqual([]);
  });

  it('of two that come at once lets one in', async () => {
    const { out } = folder();
    const both = await Promise.allSettled([1, 2].map(() => lockFolder(out, () => {}, QUICK)));
    expect(both.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected']);
  });

  it.each([
    ['whose process has ended', { ...HOLDER, pid: spawnSync(process.execPath, ['-e', '']).pid }],
    ['of a process whose number was given again', { ...HOLDER, started: 'at another time' }],
    ['of another machine without a sign of life', { ...HOLDER, host: 'elsewhere' }],
    ['whose text was never finished', '{"host":'],
  ])('%s is taken over with a note', async (_, lock) => {
    const { out, path, notes } = folder(lock);
    const unlock = await lockFolder(out, (note) => notes.push(note), QUICK);
    expect(notes).toEqual([expect.stringContaining('locked by a run that is no longer there')]);
    expect(JSON.parse(readFileSync(path, 'utf8'))).toMatchObject({ pid: process.pid, host: hostname() });
    unlock();
  });

  it('of another machine that gives signs of life is left alone', async () => {
    const { out, path } = folder({ ...HOLDER, host: 'elsewhere' });
    let beat = 0;
    const timer = setInterval(() => {
      beat += 1;
      writeFileSync(path, JSON.stringify({ ...HOLDER, host: 'elsewhere', beat }));
    }, 20);
    await expect(lockFolder(out, () => {}, QUICK)).rejects.toThrow('process');
    clearInterval(timer);
    expect(JSON.parse(readFileSync(path, 'utf8'))).toMatchObject({ host: 'elsewhere', token: 'other' });
  });

  it('gives signs of life while it is held', async () => {
    const { out, path } = folder();
    const unlock = await lockFolder(out, () => {}, QUICK);
    await expect
      .poll(() => (JSON.parse(readFileSync(path, 'utf8')) as { beat: number }).beat, { timeout: 5000 })
      .toBeGreaterThan(1);
    unlock();
  });

  it('that another holds is waited for where there is no other way, with one note', async () => {
    const { path, notes } = folder();
    const request = { path, what: 'it', onNote: (note: string) => notes.push(note), times: QUICK };
    const first = await takeLock(request);
    let hasSecond = false;
    const second = takeLock(request).then((unlock) => {
      hasSecond = true;
      return unlock;
    });
    await expect.poll(() => notes).toEqual([`waiting for process ${process.pid} on ${hostname()}, which writes it`]);
    expect(hasSecond).toBe(false);
    first();
    (await second)();
    expect(hasSecond).toBe(true);
    expect(existsSync(path)).toBe(false);
  });

  it('that another has taken since is not removed by the first', async () => {
    const { out, path } = folder();
    const unlock = await lockFolder(out, () => {}, { ...QUICK, beat_ms: 60_000 });
    writeFileSync(path, JSON.stringify(HOLDER));
    unlock();
    expect(existsSync(path)).toBe(true);
  });
});
