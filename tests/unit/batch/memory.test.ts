import { join } from 'node:path';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { beforeAll, describe, expect, it } from 'vitest';
import { planRun } from '../../../src/disk/plannedDay.ts';
import type { SwingRecord } from '../../../src/model/swingRecord.ts';
import type { JudgedDay } from '../../../src/pipeline/analyseDay.ts';
import { streamDay } from '../../../src/pipeline/renderDay.ts';
import { briefOutcome } from '../../../src/pipeline/swingBrief.ts';
import { makeSmallDay, runSmallDay } from '../../support/batchDay.ts';
import { scratchFolder } from '../../support/folders.ts';
import { readBack } from '../../support/readBack.ts';

const scratch = scratchFolder();
const OPTIONS = { curves: true, strict: false, orders: [], tables: ['csv', 'parquet'] } as const;
const SWINGS_OF_ONE = 4;

setFlagsFromString('--expose-gc');
const collect = runInNewContext('gc') as () => void;
let day: JudgedDay;
/** Every read: which trial, and the bulk of its record as long as something holds it. */
const reads: { readonly trial: string; readonly cells: WeakRef<SwingRecord['cells']> }[] = [];

/** Records that something still holds, once all garbage is gone. */
async function held(): Promise<number> {
  // a target that was looked at is kept to the end of its turn
  await new Promise((resolve) => {
    setImmediate(resolve);
  });
  collect();
  return reads.filter(({ cells }) => cells.deref() !== undefined).length;
}

beforeAll(async () => {
  const dayFile = makeSmallDay(join(scratch, 'day'));
  const out = join(scratch, 'out');
  await runSmallDay(dayFile, out, { workers: 1 });
  const planned = planRun({ dayFile, out, lab: null, data: null, ...OPTIONS }, () => {});
  if (!planned.ok) throw new Error(planned.problems.join('\n'));
  const whole = readBack(out);
  const texts = new Map(whole.records.map((record) => [record.head.trial, structuredClone(record)]));
  day = {
    plan: planned.plan,
    outcomes: whole.outcomes.map(briefOutcome),
    shelf: {
      get(trial) {
        const record = structuredClone(texts.get(trial)!);
        reads.push({ trial, cells: new WeakRef(record.cells) });
        return record;
      },
    },
    program: { name: 'swingbasis', version: '0' },
    libraries: {},
  };
}, 120_000);

describe('a day that is written', () => {
  it('reads every record twice, trial by trial and then player by player, and lets go of all of them before what was made of them is written', async () => {
    const most = new Map<string, number>();
    for await (const { path } of streamDay(day, [], OPTIONS)) {
      const stage = path.startsWith('players/') ? 'player' : reads.length <= 2 * SWINGS_OF_ONE ? 'trial' : 'day';
      most.set(stage, Math.max(most.get(stage) ?? 0, await held()));
    }
    const swings = day.outcomes.filter(({ record }) => record !== null).map(({ trial }) => trial);
    expect(swings).toHaveLength(2 * SWINGS_OF_ONE);
    // heron before wren, in the order of the trials and in that of the players: between the two players nothing is held
    expect(reads.map(({ trial }) => trial)).toEqual([...swings, ...swings]);
    // a variable may hold the last swing until something else is put into it
    expect(most.get('trial')).toBeLessThanOrEqual(1);
    expect(most.get('player')).toBeLessThanOrEqual(1);
    // that it can count
    const kept = swings.map((trial) => day.shelf.get(trial));
    expect(await held()).toBeGreaterThanOrEqual(kept.length);
  }, 120_000);
});
