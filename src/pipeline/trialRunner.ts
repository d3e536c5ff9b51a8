/** Where tasks run: the port that lets threads in, and the plain runner of this thread. */
import type { TrialPlan } from '../model/dayPlan.ts';
import { createWorkspace } from '../numeric/workspace.ts';
import type { DayIo } from './io.ts';
import { runTask, type TaskDone, type TaskTools, type TrialTask } from './trialTask.ts';

/** A finished task; `recalled` where an earlier run had done it. */
export interface Finished extends TaskDone {
  readonly recalled: boolean;
}

export interface TrialRunner {
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
  const one = async (task: TrialTask): Promise<Finished> => {
    await io.pause();
    return runTask(task, { ...tools, io, ws });
  };
  return {
    one,
    async all(trials, taskFor, onDone) {
      for (const trial of trials) {
        if (io.stopped?.() === true) return;
        onDone(await one(taskFor(trial)));
      }
    },
  };
}
