/** Where tasks run: the port that lets threads in, and the plain runner of this thread. */
import type { TrialPlan } from '../model/dayPlan.ts';
import { createWorkspace } from '../numeric/workspace.ts';
import type { DayIo } from './io.ts';
import { type BriefOutcome, briefOutcome, MemoryShelf, type RecordShelf } from './swingBrief.ts';
import { runTask, type TaskDone, type TaskTools, type TrialTask } from './trialTask.ts';

/** A finished task; `recalled` where an earlier run had done it. */
export interface Finished extends Pick<TaskDone, 'basis'> {
  readonly outcome: BriefOutcome;
  readonly recalled: boolean;
}

export interface TrialRunner {
  /** Where the records of the swings that ran lie. */
  readonly shelf: RecordShelf;
  /** One trial that others rest on. */
  one(task: TrialTask): Promise<Finished>;
  /** Trials of which none rests on another, in any order. Ends without the rest once no further trial is to be begun. */
  all(
    trials: readonly TrialPlan[],
    taskFor: (trial: TrialPlan) => TrialTask,
    onDone: (done: Finished) => void,
  ): Promise<void>;
}

/** Runs one task after the other in this thread, on one workspace. An error of `pause` passes through. */
export function runnerHere(io: DayIo, tools: Omit<TaskTools, 'io' | 'ws'>): TrialRunner {
  const ws = createWorkspace();
  const kept = tools.memory?.shelf ?? { holds: () => false, get: () => null as never };
  const here = new MemoryShelf();
  const one = async (task: TrialTask): Promise<Finished> => {
    await io.pause();
    const { outcome, ...done } = runTask(task, { ...tools, io, ws });
    // a record that can be read back need not be held here as well
    return { ...done, outcome: kept.holds(outcome.trial) ? briefOutcome(outcome) : here.take(outcome) };
  };
  return {
    shelf: { get: (trial) => (kept.holds(trial) ? kept.get(trial) : here.get(trial)) },
    one,
    async all(trials, taskFor, onDone) {
      for (const trial of trials) {
        if (io.stopped?.() === true) return;
        onDone(await one(taskFor(trial)));
      }
    },
  };
}
