import { readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { gather, runShard, shardOf } from '../../../src/batch/shards.ts';
import { makeSmallDay, resultsOf, runSmallDay } from '../../support/batchDay.ts';
import { scratchFolder } from '../../support/folders.ts';

const scratch = scratchFolder();
const folder = join(scratch, 'day');
let dayFile = '';
let one: ReadonlyMap<string, string>;

beforeAll(async () => {
  dayFile = makeSmallDay(folder);
  const out = join(scratch, 'one');
  await runSmallDay(dayFile, out, { workers: 1 });
  one = resultsOf(out);
});

const QUIET = { onNote: () => {}, onProgress: () => {}, onWriting: () => {}, pause: async () => {} };

async function shard(out: string, index: number, stopped?: () => boolean) {
  const request = { dayFile, out, lab: null, data: null, curves: true, orders: [], strict: false, workers: 1 };
  const run = await runShard(request, { index, count: 3 }, { ...QUIET, ...(stopped === undefined ? {} : { stopped }) });
  if (!run.ok) throw new Error(run.problems.join('\n'));
  return run;
}

describe('shares of a day', () => {
  it('hold every trial once, whatever else is in the day, and are about even', () => {
    const ids = Array.from({ length: 3000 }, (_, i) => `wren/1-driver-${i}`);
    const counts = [0, 0, 0];
    for (const id of ids) counts[shardOf(id, 3) - 1]! += 1;
    expect(counts[0]! + counts[1]! + counts[2]!).toBe(3000);
    // binomial(3000, 1/3): SD 25.8; five of them
    for (const count of counts) expect(Math.abs(count - 1000)).toBeLessThan(130);
  });

  it('run in any order and gathered give the bytes of one run; gathered again, too', async () => {
    const out = join(scratch, 'gathered');
    const swings: string[] = [];
    for (const index of [3, 1, 2]) {
      const { outcomes } = await shard(out, index);
      swings.push(...outcomes.filter(({ role }) => role === 'swing').map(({ trial }) => trial));
    }
    expect(swings).toHaveLength(8);
    expect(new Set(swings).size).toBe(8);
    expect([...resultsOf(out).keys()]).toEqual([]);
    expect((await gather(out, QUIET)).shards).toBe(3);
    expect(resultsOf(out)).toEqual(one);
    await gather(out, QUIET);
    expect(resultsOf(out)).toEqual(one);
    const { run } = await runSmallDay(dayFile, out, { workers: 1 });
    expect(run.recalled).toBe(10);
    expect(resultsOf(out)).toEqual(one);
  });

  it('of which one is missing, was ended early or lost a result: gathering names what to run again', async () => {
    const out = join(scratch, 'not whole');
    await shard(out, 1);
    await expect(gather(out, QUIET)).rejects.toThrow(/shard 2\/3 is missing.*\n.*shard 3\/3 is missing/);
    const { isDone } = await shard(out, 2, () => true);
    expect(isDone).toBe(false);
    await shard(out, 3);
    await expect(gather(out, QUIET)).rejects.toThrow(
      /not complete:\nshard 2\/3 is missing: it was not run or did not end; run it again$/,
    );
    const second = await shard(out, 2);
    expect((await shard(out, 2)).recalled).toBe(second.outcomes.length);
    const results = join(out, '.store/results');
    const entries = readdirSync(results, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile());
    const [lost] = entries.map((entry) => join(entry.parentPath, entry.name)).sort();
    rmSync(lost!);
    await expect(gather(out, QUIET)).rejects.toThrow(/has no result: run shard \d\/3 again/);
    for (const index of [1, 2, 3]) await shard(out, index);
    await gather(out, QUIET);
    expect(resultsOf(out)).toEqual(one);
  });

  it('of different day files are not put together', async () => {
    const out = join(scratch, 'mixed');
    const text = readFileSync(dayFile, 'utf8');
    await shard(out, 1);
    writeFileSync(dayFile, text.replace('a small day', 'another day'));
    await shard(out, 2);
    writeFileSync(dayFile, text);
    await shard(out, 3);
    await expect(gather(out, QUIET)).rejects.toThrow('shard 2/3 is of another day file or other settings');
    await shard(out, 2);
    await gather(out, QUIET);
    expect(resultsOf(out)).toEqual(one);
  });

  it('are told where there are none', async () => {
    await expect(gather(folder, QUIET)).rejects.toThrow('holds no shards of one run');
  });
});
