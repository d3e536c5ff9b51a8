import { readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { beforeAll, describe, expect, it } from 'vitest';
import { type DayRun, runDay } from '../../src/batch/runDay.ts';
import { gather, runShard } from '../../src/batch/shards.ts';
import type { DayProgress } from '../../src/pipeline/analyseDay.ts';
import type { TableFormat } from '../../src/tables/formats.ts';
import { makeSmallDay, resultsOf } from '../support/batchDay.ts';
import { slowReadC3d } from '../support/c3dSlowReader.ts';
import { scratchFolder } from '../support/folders.ts';

const scratch = scratchFolder();
const out = join(scratch, 'out');
let dayFile = '';
let first: Run;

interface Run {
  readonly day: DayRun & { readonly ok: true };
  /** Trials that were analysed, not taken over. */
  readonly analysed: readonly string[];
  readonly notes: readonly string[];
}

async function run(there: string, curves: boolean, tables: readonly TableFormat[] = []): Promise<Run> {
  const notes: string[] = [];
  const steps: DayProgress[] = [];
  const day = await runDay(
    { dayFile, out: there, lab: null, data: null, curves, tables, orders: [], strict: false, workers: 1 },
    {
      onNote: (note) => notes.push(note),
      onProgress: (step) => steps.push(step),
      onWriting: () => {},
      pause: async () => {},
    },
  );
  if (!day.ok) throw new Error(day.problems.join('\n'));
  const analysed = steps.filter(({ recalled }) => !recalled).map(({ outcome }) => outcome.trial);
  return { day, analysed: analysed.sort(), notes };
}

/** Entries of the store that hold swings at every frame. */
function kept(there: string): string[] {
  const store = join(there, '.store', 'results');
  const names = readdirSync(store, { recursive: true, encoding: 'utf8' });
  return names.filter((name) => name.endsWith('.series')).map((name) => join(store, name));
}

beforeAll(async () => {
  dayFile = makeSmallDay(join(scratch, 'day'));
  first = await run(out, false);
}, 120_000);

describe('swings at every frame', () => {
  it('are not kept where nothing is made of them', () => {
    expect(first.analysed).toHaveLength(10);
    expect(kept(out)).toEqual([]);
  });

  it('are made by a run that needs them, of the swings alone; a run without them then takes everything over', async () => {
    const second = await run(out, true);
    expect(second.analysed).toHaveLength(8);
    expect(second.analysed.filter((trial) => /static/.test(trial))).toEqual([]);
    expect(kept(out)).toHaveLength(8);
    const rows = parse(resultsOf(out).get('tables/curves_time.csv')!, { columns: true }) as Record<string, string>[];
    expect(new Set(rows.map((row) => row['trial'])).size).toBe(8);
    expect((await run(out, true)).analysed).toEqual([]);
    const third = await run(out, false);
    expect(third.analysed).toEqual([]);
    expect(resultsOf(out).has('tables/curves_time.csv')).toBe(false);
  }, 240_000);

  it('leave everything else as it was', async () => {
    const there = join(scratch, 'fresh');
    await run(there, true);
    const plain = join(scratch, 'plain');
    await run(plain, false);
    const [a, b] = [resultsOf(there), resultsOf(plain)];
    // what says that curves were asked for, and the curves
    const differ = [...a].filter(([path, text]) => b.get(path) !== text).map(([path]) => path);
    expect(differ.sort()).toEqual(
      ['index.html', 'run.json', 'tables/curves.csv', 'tables/curves_time.csv', 'tables/datapackage.json'].sort(),
    );
  }, 240_000);

  it('are made again where one is damaged or gone, and only that one, with a note', async () => {
    const there = join(scratch, 'fresh');
    const before = resultsOf(there);
    const [a, b] = kept(there) as [string, string];
    const bytes = readFileSync(a);
    bytes[bytes.length - 9]! ^= 1;
    writeFileSync(a, bytes);
    rmSync(b);
    const again = await run(there, true);
    expect(again.analysed).toHaveLength(2);
    expect(again.notes.filter((note) => note.includes('is damaged'))).toHaveLength(1);
    expect(resultsOf(there)).toEqual(before);
  }, 120_000);

  it('are copied where copies are asked for, a file for each swing that is used, and the copies go with the next run', async () => {
    const there = join(scratch, 'fresh');
    const copied = await run(there, false, ['csv', 'c3d', 'bids']);
    expect(copied.analysed).toEqual([]);
    const files = resultsOf(there);
    const used = copied.day.result.outcomes.flatMap(({ trial, record }) =>
      record === null ? [] : [`tables/c3d/${trial}.c3d`],
    );
    expect([...files.keys()].filter((path) => path.startsWith('tables/c3d/')).sort()).toEqual(used.sort());
    expect(JSON.parse(files.get('run.json')!)).toMatchObject({ options: { tables: ['csv', 'c3d', 'bids'] } });
    const motions = [...files.keys()].filter((path) => /^tables\/bids\/sub-.*_motion\.tsv$/.test(path));
    expect(motions).toHaveLength(used.length);
    expect(files.has('tables/bids/dataset_description.json')).toBe(true);
    const back = slowReadC3d(Buffer.from(files.get(used[0]!)!, 'latin1'));
    expect(back.events.map(({ label }) => label)).toContain('P7');
    await run(there, true);
    expect([...resultsOf(there).keys()].filter((path) => /^tables\/(c3d|bids)\//.test(path))).toEqual([]);
  }, 240_000);

  it('come out of shares as out of one run', async () => {
    const there = join(scratch, 'shards');
    const request = { dayFile, out: there, lab: null, data: null, curves: true, orders: [], strict: false, workers: 1 };
    const watch = { onNote: () => {}, onProgress: () => {}, onWriting: () => {}, pause: async () => {} };
    for (const index of [2, 1]) await runShard(request, { index, count: 2 }, watch);
    await gather(there, watch);
    const one = resultsOf(join(scratch, 'fresh'));
    expect(resultsOf(there)).toEqual(one);
  }, 240_000);
});
