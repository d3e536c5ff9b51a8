import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { startThreads } from '../../../src/batch/threads.ts';
import { makeSmallDay, runSmallDay } from '../../support/batchDay.ts';
import { scratchFolder } from '../../support/folders.ts';

const scratch = scratchFolder();
/** A module that no thread gets past. */
const analysis = join(scratch, 'broken.mjs');
writeFileSync(analysis, "throw new Error('this module cannot be loaded');\n");

describe('threads that do not start', () => {
  it('end every task, whether it came before or after the last of them', async () => {
    const store = { out: scratch, program: 'none' };
    const threads = startThreads({ data: scratch, store, analysis }, { workers: 2, memory_MB: 256 });
    const call = { name: 'swing', task: {} };
    // two have a thread while it starts, the others wait for one
    const early = await Promise.allSettled(Array.from({ length: 4 }, () => threads.run(call)));
    const reasons = early.map((one) => (one.status === 'rejected' ? String(one.reason) : 'done'));
    expect(reasons.sort()).toEqual([
      'Error: no thread can be started; try --workers 1',
      'Error: no thread can be started; try --workers 1',
      'Error: this module cannot be loaded',
      'Error: this module cannot be loaded',
    ]);
    await expect(threads.run(call)).rejects.toThrow('no thread can be started');
    await threads.close();
  });

  it('fail every trial, and the day ends', async () => {
    const dayFile = makeSmallDay(join(scratch, 'day'));
    const { run } = await runSmallDay(dayFile, join(scratch, 'out'), { workers: 2, analysis });
    expect(run.result.outcomes.map(({ status }) => status)).toEqual(Array(10).fill('failed'));
    const reasons = run.result.outcomes.map(
      ({ reason }) => /cannot be loaded|no thread can be started/.exec(reason)?.[0],
    );
    expect([...new Set(reasons)].sort()).toEqual(['cannot be loaded', 'no thread can be started']);
  });
});
