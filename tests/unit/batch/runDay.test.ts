import { readdirSync, readFileSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { workersFor } from '../../../src/batch/dayTrials.ts';
import { makeSmallDay, resultsOf, runSmallDay } from '../../support/batchDay.ts';
import { scratchFolder } from '../../support/folders.ts';

const scratch = scratchFolder();
const folder = join(scratch, 'day');
const out = join(scratch, 'one');
let dayFile = '';
let one: ReadonlyMap<string, string>;

beforeAll(async () => {
  dayFile = makeSmallDay(folder);
  const { run, progress } = await runSmallDay(dayFile, out, { workers: 1 });
  expect(run.recalled).toBe(0);
  expect(progress).toHaveLength(10);
  one = resultsOf(out);
});

describe('a day on threads', () => {
  it.each([2, 8])('gives the bytes of one thread with %i workers', async (workers) => {
    const there = join(scratch, `workers ${workers}`);
    const { progress } = await runSmallDay(dayFile, there, { workers });
    expect(resultsOf(there)).toEqual(one);
    expect(progress.map(({ outcome }) => outcome.status)).toEqual(Array(10).fill('used'));
  });

  it('has as many threads as asked for, else one a core, and one for a few trials', () => {
    expect(workersFor(500, 3, 2)).toBe(3);
    expect(workersFor(500, undefined, 16)).toBe(16);
    expect(workersFor(5, undefined, 16)).toBe(1);
    expect(workersFor(5, 2, 16)).toBe(2);
  });
});

describe('a second run', () => {
  it.each([1, 2])('with nothing changed analyses nothing and writes the same, %i workers', async (workers) => {
    const { run, progress } = await runSmallDay(dayFile, out, { workers });
    expect(run.recalled).toBe(10);
    expect(progress.filter(({ recalled }) => !recalled)).toEqual([]);
    expect(resultsOf(out)).toEqual(one);
  });

  it('redoes the trial whose file changed, and all that rest on a static trial that did', async () => {
    const swing = join(folder, 'wren/1-driver-1.c3d');
    const still = join(folder, 'heron/0-static.c3d');
    const before = [readFileSync(swing), readFileSync(still)] as const;
    const redone = async (): Promise<readonly string[]> =>
      (await runSmallDay(dayFile, out, { workers: 1 })).progress
        .filter(({ recalled }) => !recalled)
        .map(({ outcome }) => outcome.trial);
    writeFileSync(swing, readFileSync(join(folder, 'wren/1-driver-2.c3d')));
    expect(await redone()).toEqual(['wren/1-driver-1']);
    expect(resultsOf(out).get('tables/angles.csv')).not.toBe(one.get('tables/angles.csv'));
    writeFileSync(swing, before[0]);
    expect(await redone()).toEqual([]);
    expect(resultsOf(out)).toEqual(one);
    // another static trial of the same body: its last frames are cut, so that its medians move
    writeFileSync(still, readFileSync(join(folder, 'wren/0-static.c3d')));
    const changed = await redone();
    expect(changed.every((trial) => trial.startsWith('heron/'))).toBe(true);
    expect(changed).toHaveLength(5);
    writeFileSync(still, before[1]);
    expect(await redone()).toEqual([]);
  });

  it('redoes nothing for another time stamp, another setting of the comparison, a note or a place in the day', async () => {
    const text = readFileSync(dayFile, 'utf8');
    utimesSync(join(folder, 'wren/1-driver-1.c3d'), 0, 0);
    const lines = text
      .replace('resamples: 200', 'resamples: 300')
      .replace('{id: wren,', '{id: wren, note: a note,')
      .split('\n');
    const at = lines.findIndex((line) => line.includes('wren/2-iron7'));
    lines.splice(at - 1, 2, lines[at]!, lines[at - 1]!);
    writeFileSync(dayFile, lines.join('\n'));
    const again = join(scratch, 'fresh');
    const { run } = await runSmallDay(dayFile, out, { workers: 1 });
    await runSmallDay(dayFile, again, { workers: 1 });
    writeFileSync(dayFile, text);
    expect(run.recalled).toBe(10);
    expect(resultsOf(out)).toEqual(resultsOf(again));
  });

  it('redoes every trial when a filter of the day changes', async () => {
    const text = readFileSync(dayFile, 'utf8');
    writeFileSync(dayFile, `${text}filter: {trunk_Hz: 11}\n`);
    const { run } = await runSmallDay(dayFile, join(scratch, 'filter'), { workers: 1 });
    const { run: second } = await runSmallDay(dayFile, out, { workers: 1 });
    writeFileSync(dayFile, text);
    expect(run.recalled).toBe(0);
    expect(second.recalled).toBe(0);
  });

  it('analyses again what is damaged in the store, and says so', async () => {
    rmSync(join(out, '.store'), { recursive: true });
    await runSmallDay(dayFile, out, { workers: 1 });
    const results = join(out, '.store/results');
    const entries = readdirSync(results, { recursive: true, withFileTypes: true }).filter(
      (entry) => entry.isFile() && !entry.name.endsWith('.series'),
    );
    const [first, second, third] = entries.map((entry) => join(entry.parentPath, entry.name)).sort();
    const bytes = readFileSync(first!);
    bytes[bytes.length - 9]! ^= 1;
    writeFileSync(first!, bytes);
    writeFileSync(second!, readFileSync(second!).subarray(0, 500));
    writeFileSync(third!, '');
    const { notes } = await runSmallDay(dayFile, out, { workers: 1 });
    expect(notes.filter((note) => note.includes('is damaged; its trial is analysed again'))).toHaveLength(3);
    expect(resultsOf(out)).toEqual(one);
    const { run, notes: quiet } = await runSmallDay(dayFile, out, { workers: 1 });
    expect(run.recalled).toBe(10);
    expect(quiet).toEqual([]);
  });

  it('does without the store that someone deleted', async () => {
    rmSync(join(out, '.store'), { recursive: true });
    const { run } = await runSmallDay(dayFile, out, { workers: 1 });
    expect(run.recalled).toBe(0);
    expect(resultsOf(out)).toEqual(one);
  });
});
