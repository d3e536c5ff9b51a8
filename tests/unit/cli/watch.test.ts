import { type ChildProcess, spawn } from 'node:child_process';
import { cpSync, mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { makeSmallDay, resultsOf } from '../../support/batchDay.ts';
import { cli } from '../../support/cli.ts';
import { scratchFolder } from '../../support/folders.ts';
import { program } from '../../support/killedRuns.ts';

const PROGRAM = join(import.meta.dirname, '../../../bin/swingbasis');
const scratch = scratchFolder();
const running: ChildProcess[] = [];

afterEach(() => {
  for (const child of running.splice(0)) child.kill('SIGKILL');
});

/** The built program, watching; `until` waits for a text on stderr. */
function watching(...args: readonly string[]) {
  const child = spawn(process.execPath, [PROGRAM, 'process', ...args, '--watch', '--settle', '0.2'], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  running.push(child);
  let stderr = '';
  let stdout = '';
  child.stdout.on('data', (text) => {
    stdout += String(text);
  });
  child.stderr.on('data', (text) => {
    stderr += String(text);
  });
  const code = new Promise<number | null>((resolve) => {
    child.on('close', resolve);
  });
  return {
    child,
    said: () => stderr,
    until: (text: string) => expect.poll(() => stderr, { timeout: 120_000, interval: 10 }).toContain(text),
    ended: async () => ({ code: await code, stdout, stderr }),
  };
}

describe('process --watch', { timeout: 300_000 }, () => {
  it.each([
    [['--settle', '3'], '--settle belongs to --watch'],
    [['--watch', '--settle', '0'], '--settle: "0" is no number of seconds from 0.1 to 3600'],
    [['--watch', '--settle', 'long'], '--settle: "long" is no number of seconds'],
    [['--watch', '--shard', '1/3'], '--watch belongs to a whole day'],
    [['--watch', '--pdf'], '--pdf and --png belong to a run of its own'],
    [['--watch'], 'there is no day file nowhere.yaml'],
  ])('%j cannot run: exit code 2, and the message says what to do', async (flags, message) => {
    const { code, stdout, stderr } = await cli('process', 'nowhere.yaml', ...flags);
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toContain(message);
  });

  it('takes what comes, is ended by one Ctrl-C with the exit code and the bytes of process; a second process is told', async () => {
    const source = join(scratch, 'recorded');
    const dayFile = join(scratch, 'day', 'day.yaml');
    makeSmallDay(source);
    mkdirSync(join(scratch, 'day'));
    cpSync(join(source, 'day.yaml'), dayFile);
    cpSync(join(source, 'wren'), join(scratch, 'day/wren'), { recursive: true });
    const out = join(scratch, 'watched');
    const watch = watching(dayFile, '--out', out);
    await watch.until('round 1: 5 new or changed, 5 of 5 trials used');
    cpSync(join(source, 'heron'), join(scratch, 'day/heron'), { recursive: true });
    await expect.poll(() => watch.said(), { timeout: 120_000 }).toMatch(/10 of 10 trials used/);
    const other = program(['process', dayFile, '--out', out]);
    expect(other.code).toBe(2);
    expect(other.stderr).toContain(`holds a day that is watched by process ${watch.child.pid}`);
    watch.child.kill('SIGINT');
    const { code, stdout, stderr } = await watch.ended();
    expect(code, stderr).toBe(0);
    expect(stdout).toContain('10 of 10 trials used\nreport: ');
    expect(stderr).toContain('waiting: ');
    const once = join(scratch, 'once');
    expect(program(['process', dayFile, '--out', once]).code).toBe(0);
    expect(resultsOf(out)).toEqual(resultsOf(once));
  });

  it('is ended at once by a second Ctrl-C; the next run writes the day', async () => {
    const dayFile = makeSmallDay(join(scratch, 'twice'));
    const out = join(scratch, 'twice out');
    const watch = watching(dayFile, '--out', out, '--log', 'json');
    await watch.until('"event":"trial"');
    // of one kind the system might make one signal of two
    watch.child.kill('SIGINT');
    watch.child.kill('SIGTERM');
    const { code, stdout, stderr } = await watch.ended();
    expect({ code, stdout }).toEqual({ code: 130, stdout: '' });
    const events = stderr
      .split('\n')
      .filter((line) => line !== '')
      .map((line) => (JSON.parse(line) as { readonly event: string }).event);
    expect(events.slice(0, 2)).toEqual(['watch', 'trial']);
    const { code: after } = program(['process', dayFile, '--out', out]);
    expect(after).toBe(0);
    expect(readFileSync(join(out, 'index.html'), 'utf8')).not.toContain('reload');
  });

  it('that is ended in the midst of a round says so with exit code 130', async () => {
    const dayFile = join(import.meta.dirname, '../../../samples/day/day.yaml');
    const watch = watching(dayFile, '--out', join(scratch, 'cut out'), '--workers', '1', '--log', 'json');
    await watch.until('"event":"trial"');
    watch.child.kill('SIGINT');
    const { code, stdout } = await watch.ended();
    expect(code).toBe(130);
    expect(stdout).toContain('interrupted before this trial');
  });
});
