import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { startWork } from '../../../src/batch/dayTrials.ts';
import { poolRenderer } from '../../../src/batch/poolRenderer.ts';
import { programSum } from '../../../src/batch/programSum.ts';
import { HandleShelf } from '../../../src/batch/recordHandles.ts';
import { StoreShelf } from '../../../src/batch/resultStore.ts';
import type { Threads } from '../../../src/batch/threads.ts';
import { planRun } from '../../../src/disk/plannedDay.ts';
import { type JudgedDay, judgedResult } from '../../../src/pipeline/analyseDay.ts';
import { streamDay, type Written } from '../../../src/pipeline/renderDay.ts';
import type { Output } from '../../../src/pipeline/renderReport.ts';
import { makeSmallDay } from '../../support/batchDay.ts';
import { scratchFolder } from '../../support/folders.ts';

const scratch = scratchFolder();
const OPTIONS = { curves: true, strict: false, figures: true, orders: [], tables: ['csv', 'parquet', 'xlsx'] } as const;

let day: JudgedDay;
let shelf: HandleShelf;
let expected: ReadonlyMap<string, string>;

/** Every file of a day, as bytes in hexadecimal. */
async function filesOf(outputs: AsyncIterable<Output>): Promise<ReadonlyMap<string, string>> {
  const files = new Map<string, string>();
  for await (const output of outputs) {
    for (const piece of 'text' in output ? output.text : [output.piece]) {
      files.set(output.path, (files.get(output.path) ?? '') + Buffer.from(piece as string).toString('hex'));
    }
  }
  return files;
}

/** Two threads of which each call ends as `run` has it. */
function threads(run: (name: string) => Promise<unknown>): Threads {
  return {
    workers: 2,
    memory_MB: 0,
    run: async <A>({ name }: { readonly name: string }) => (await run(name)) as A,
    close: async () => {},
  };
}

beforeAll(async () => {
  const dayFile = makeSmallDay(join(scratch, 'day'));
  const out = join(scratch, 'out');
  const request = { dayFile, out, lab: null, data: null, ...OPTIONS };
  const planned = planRun(request, () => {});
  if (!planned.ok) throw new Error(planned.problems.join('\n'));
  const place = { out, program: programSum() };
  const watch = { onNote: () => {}, onProgress: () => {}, pause: async () => {} };
  const work = await startWork(planned, { ...request, workers: 1 }, place, watch);
  const { outcomes, keys } = await work.trials(() => true);
  await work.close();
  shelf = new HandleShelf(place);
  for (const { id, order } of planned.plan.trials) shelf.add({ id, order }, keys.get(id)!);
  day = judgedResult(planned.plan, { program: { name: 'swingbasis', version: '0' }, libraries: {} }, outcomes, shelf);
  expected = await filesOf(streamDay(day, [], OPTIONS));
}, 120_000);

describe('what threads make ready', () => {
  it('is made in the main thread where a thread ends, in the same order, with the same bytes', async () => {
    const asked: string[] = [];
    const pool = threads(async (name) => {
      asked.push(name);
      throw new Error('the thread ended');
    });
    const renderer = poolRenderer(pool, { shelf, seriesOf: null, onNote: () => {} });
    expect(await filesOf(streamDay(day, [], OPTIONS, { renderer }))).toEqual(expected);
    expect(asked).toEqual([...Array<string>(8).fill('swing'), 'player', 'player']);
  }, 120_000);

  it('is asked for no faster than it is written', async () => {
    let begun = 0;
    const pool = threads(async () => {
      begun += 1;
      throw new Error('the thread ended');
    });
    const renderer = poolRenderer(pool, { shelf, seriesOf: null, onNote: () => {} });
    const { value: player } = day.plan.players.values().next();
    const outputs = renderer.swings(day.outcomes, { ...OPTIONS, orderCheck: [] });
    let taken = 0;
    for await (const { files } of outputs) {
      expect(files[0]!.path).toMatch(/^trials\/(heron|wren)\/.*json$/);
      taken += 1;
      // two threads: four swings, those that were taken beside
      expect(begun).toBeLessThanOrEqual(taken + 3);
    }
    expect([player!.id, taken]).toEqual(['heron', 8]);
  }, 120_000);

  it('are counted one by one as they are written, wherever they are made', async () => {
    const pool = threads(async () => {
      throw new Error('the thread ended');
    });
    const renderer = poolRenderer(pool, { shelf, seriesOf: null, onNote: () => {} });
    for (const tools of [{}, { renderer }]) {
      const told: (readonly [number, number])[] = [];
      const onWritten = ({ done, total }: Written): number => told.push([done, total]);
      await filesOf(streamDay(day, [], OPTIONS, { ...tools, onWritten }));
      // eight swings and two players
      expect(told).toEqual(Array.from({ length: 11 }, (_, done) => [done, 10]));
    }
  }, 120_000);

  it('are not made in the main thread once nothing more of them is written', async () => {
    const ends: (() => void)[] = [];
    const pool = threads(async () => {
      if (ends.length === 0) {
        ends.push(() => {});
        return { rows: [], files: [], repeated: [], notes: [] };
      }
      return await new Promise((_, reject) => ends.push(() => reject(new Error('the threads were ended'))));
    });
    let reads = 0;
    const counting = Object.assign(new HandleShelf({ out: scratch, program: '' }), {
      get: (trial: string) => {
        reads += 1;
        return shelf.get(trial);
      },
    });
    const renderer = poolRenderer(pool, { shelf: counting, seriesOf: null, onNote: () => {} });
    // the writing of the first swing fails while others are under way
    for await (const _ of renderer.swings(day.outcomes, { ...OPTIONS, orderCheck: [] })) break;
    expect(ends).toHaveLength(4);
    for (const end of ends) end();
    await new Promise((resolve) => {
      setImmediate(resolve);
    });
    expect(reads).toBe(0);
  });

  it('of a record that was removed is refused with the message of the main thread', async () => {
    const gone = new HandleShelf({ out: join(scratch, 'nowhere'), program: programSum() });
    for (const { id, order } of day.plan.trials) gone.add({ id, order }, 'ab'.repeat(32));
    const pool = threads(async () => {
      throw new Error('an error of a thread has lost its kind');
    });
    const renderer = poolRenderer(pool, { shelf: gone, seriesOf: null, onNote: () => {} });
    const writing = filesOf(streamDay({ ...day, shelf: gone }, [], OPTIONS, { renderer }));
    await expect(writing).rejects.toThrow(/the result of heron\/1-driver-1 in .*nowhere.* process the day again/);
  });

  it('are records that lie in the store or packed in memory', () => {
    const handles = shelf.handlesOf(['heron/1-driver-1', 'nobody/1']);
    expect(handles).toHaveLength(1);
    expect(handles[0]).toMatchObject({ trial: 'heron/1-driver-1' });
    const other = new HandleShelf({ out: join(scratch, 'out'), program: programSum() }, structuredClone(handles));
    expect(other.get('heron/1-driver-1')).toEqual(shelf.get('heron/1-driver-1'));
    expect(new StoreShelf({ out: scratch, program: '' }).entry('heron/1-driver-1')).toBeUndefined();
  });
});
