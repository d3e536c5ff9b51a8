import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { bytesSource } from '../../../src/c3d/readC3d.ts';
import { readDay } from '../../../src/day/readDay.ts';
import type { DayPlan } from '../../../src/model/dayPlan.ts';
import { createWorkspace } from '../../../src/numeric/workspace.ts';
import { analyseDay, type DayOptions } from '../../../src/pipeline/analyseDay.ts';
import { createDayBasis } from '../../../src/pipeline/dayBasis.ts';
import type { DayIo, OpenSource } from '../../../src/pipeline/io.ts';
import { briefOutcome, MemoryShelf } from '../../../src/pipeline/swingBrief.ts';
import type { TrialRunner } from '../../../src/pipeline/trialRunner.ts';
import { failedTask, runTask, type TaskDone, type TrialMemory, taskOf } from '../../../src/pipeline/trialTask.ts';
import { recordOf } from '../tables/fixture.ts';

const SAMPLES = join(import.meta.dirname, '../../../samples/day/wren');
const FILES: ReadonlyMap<string, Uint8Array> = new Map([
  ['static.c3d', readFileSync(join(SAMPLES, '0-static.c3d'))],
  ['b.c3d', readFileSync(join(SAMPLES, '1-driver-1.c3d'))],
  ['a.c3d', readFileSync(join(SAMPLES, '2-iron7-1.c3d'))],
]);
const { plan } = readDay(
  `swingbasis: 1
day: d
lab: {target: +X}
players: [{id: wren, hand: right, note: works on the turn}]
clubs: [{id: dr, kind: driver}, {id: i7, kind: iron}]
trials: [{file: static.c3d, role: static}, {file: b.c3d, club: dr}, {file: a.c3d, club: i7}]
`,
  { file: 'day.yaml', listing: [...FILES.keys()] },
);
const PLAN: DayPlan = plan!;
const SETTINGS = { orders: [], strict: false };
const QUICK: DayOptions = { ...SETTINGS, analyse: (trial) => recordOf(trial.head.trial) };

function ioOf(more: Partial<OpenSource> = {}): DayIo {
  return {
    open: (path) => ({ ...bytesSource(FILES.get(path)!), close: () => {}, ...more }),
    sha256(source) {
      const bytes = new Uint8Array(source.size);
      source.read(0, source.size, bytes);
      return createHash('sha256').update(bytes).digest('hex');
    },
    pause: async () => {},
    program: { name: 'swingbasis', version: '0' },
    libraries: {},
  };
}

/** Every task and result goes through the copy that threads make of a message. */
function throughCopies(): { readonly runner: TrialRunner; readonly order: string[] } {
  const ws = createWorkspace();
  const order: string[] = [];
  const shelf = new MemoryShelf();
  const one: TrialRunner['one'] = async (task) => {
    order.push(task.trial.id);
    const done = structuredClone(runTask(structuredClone(task), { io: ioOf(), ws, analyse: QUICK.analyse! }));
    return { ...done, outcome: shelf.take(done.outcome) };
  };
  return {
    order,
    runner: {
      shelf,
      one,
      async all(trials, taskFor, onDone) {
        for (const trial of [...trials].reverse()) onDone(await one(taskFor(trial)));
      },
    },
  };
}

describe('a trial as a task', () => {
  it('is plain data: copied as between threads and in another order, the day is the same', async () => {
    const here = await analyseDay(PLAN, ioOf(), QUICK);
    const { runner, order } = throughCopies();
    const there = await analyseDay(PLAN, ioOf(), { ...SETTINGS, runner });
    expect(order).toEqual(['static', 'a', 'b']);
    expect(there.outcomes).toEqual(here.outcomes);
    expect(there.comparisons).toEqual(here.comparisons);
  });

  it('sees its own club and player, without what only comparisons and pages read', () => {
    const told = PLAN.players.map((player) => ({ ...player, note: 'a', notes: { P4: 'b' }, practice: ['c'] }));
    const task = taskOf(PLAN.trials[1]!, { ...PLAN, players: told }, SETTINGS, createDayBasis());
    expect(Object.keys(task.plan.players[0]!)).not.toContain('notes');
    expect(Object.keys(task.plan.players[0]!)).not.toContain('practice');
    expect(task.plan.clubs.map(({ id }) => id)).toEqual(['dr']);
    expect(task.plan.trials.map(({ id }) => id)).toEqual(['b']);
    expect(task.plan.players[0]!.note).toBe('');
    expect(Object.keys(task.plan).sort()).toEqual(['clubs', 'players', 'trials']);
  });

  it('tells a memory what it made, and takes what the memory has: nothing is read then', async () => {
    const kept = new Map<string, TaskDone>();
    const memory: TrialMemory = {
      recall: (task) => kept.get(task.trial.id) ?? null,
      keep: (task, files, done) => {
        expect(files.map(({ bytes }) => bytes)).toEqual([FILES.get(task.trial.file)!.length]);
        kept.set(task.trial.id, done);
      },
    };
    const day = async (analyse: NonNullable<DayOptions['analyse']>) => {
      const ws = createWorkspace();
      const shelf = new MemoryShelf();
      const one: TrialRunner['one'] = async (task) => {
        const done = runTask(task, { io: ioOf(), ws, analyse, memory });
        return { ...done, outcome: shelf.take(done.outcome) };
      };
      const recalled: boolean[] = [];
      const all: TrialRunner['all'] = async (trials, taskFor, onDone) => {
        for (const trial of trials) onDone(await one(taskFor(trial)));
      };
      const options = { ...SETTINGS, runner: { shelf, one, all } };
      const result = await analyseDay(PLAN, ioOf(), options, (progress) => recalled.push(progress.recalled));
      return { result, recalled };
    };
    const first = await day(QUICK.analyse!);
    const second = await day(() => {
      throw new Error('a swing was analysed again');
    });
    expect(first.recalled).toEqual([false, false, false]);
    expect(second.recalled).toEqual([true, true, true]);
    expect(second.result.outcomes).toEqual(first.result.outcomes);
  });

  it('whose file changed while it was read fails with that reason and is not remembered', () => {
    const error = Object.assign(new Error('b.c3d changed while it was read'), { name: 'FileError' });
    const io = ioOf({
      confirm() {
        throw error;
      },
    });
    const keep = (): void => {
      throw new Error('kept');
    };
    const task = taskOf(PLAN.trials[1]!, PLAN, SETTINGS, createDayBasis());
    const tools = { io, ws: createWorkspace(), analyse: QUICK.analyse!, memory: { recall: () => null, keep } };
    expect(runTask(task, tools).outcome).toMatchObject({ status: 'failed', reason: error.message, passing: true });
  });

  it('that no thread could finish tells the swings that would have rested on it', async () => {
    const { runner } = throughCopies();
    const lost: TrialRunner = {
      ...runner,
      one: async (task) => {
        const { outcome, basis } = failedTask(task, 'too slow');
        return { outcome: briefOutcome(outcome), basis, recalled: false };
      },
    };
    const { outcomes } = await analyseDay(PLAN, ioOf(), { ...SETTINGS, runner: lost });
    expect(outcomes.map(({ trial, status }) => `${trial} ${status}`)).toEqual(['a used', 'b used', 'static failed']);
    expect(outcomes[2]!.reason).toBe('too slow');
    expect(outcomes[0]!.diagnostics.map(({ code }) => code)).toContain('static-not-used');
  });

  it('that was not begun when the user ended the run is failed with that reason', async () => {
    let begun = 0;
    const io = { ...ioOf(), stopped: () => begun === 2 };
    const { outcomes } = await analyseDay(PLAN, io, QUICK, () => {
      begun += 1;
    });
    expect(outcomes.map(({ trial, status }) => `${trial} ${status}`)).toEqual(['a failed', 'b used', 'static used']);
    expect(outcomes[0]!.reason).toContain('interrupted before this trial');
  });
});
