/** Tasks on worker threads: the longest first, never more at once than there are threads, each within its limits. */
import { statSync } from 'node:fs';
import { join } from 'node:path';
import { compareCodeUnits } from '../base/text.ts';
import type { TrialPlan } from '../model/dayPlan.ts';
import { briefOutcome } from '../pipeline/swingBrief.ts';
import type { Finished, TrialRunner } from '../pipeline/trialRunner.ts';
import { failedTask, type TrialTask } from '../pipeline/trialTask.ts';
import { HandleShelf } from './recordHandles.ts';
import type { StoreNotes, StorePlace } from './resultStore.ts';
import type { Threads } from './threads.ts';
import type { WorkerAnswer } from './worker.ts';

export interface PoolOptions {
  readonly data: string;
  readonly store: StorePlace;
  /** Longest time of one trial, seconds. */
  readonly limit_s: number;
  readonly stopped: () => boolean;
  readonly notes: Required<StoreNotes>;
}

/** Runs the trials of a day on threads. A trial that crashes or exceeds a limit fails by itself: its thread is replaced, the others go on. */
export function createPool(threads: Threads, options: PoolOptions): TrialRunner & { readonly shelf: HandleShelf } {
  const { data, store, notes } = options;
  const shelf = new HandleShelf(store);
  const one = async (task: TrialTask): Promise<Finished> => {
    const limit = new AbortController();
    const timer = setTimeout(() => limit.abort(), 1000 * options.limit_s);
    try {
      const answer = await threads.run<WorkerAnswer>({ name: 'trial', task, signal: limit.signal });
      const { bytes, key, notes: said, ...done } = answer;
      for (const note of said) notes.onNote(note);
      if (key !== null) {
        shelf.add(task.trial, key);
        notes.onKey(task.trial.id, key);
      }
      if (bytes !== null) shelf.addPacked(task.trial.id, bytes);
      return done;
    } catch (error) {
      const { outcome, basis } = failedTask(
        task,
        reasonOf(error, limit.signal.aborted, options.limit_s, threads.memory_MB),
      );
      return { outcome: briefOutcome(outcome), basis, recalled: false };
    } finally {
      clearTimeout(timer);
    }
  };
  return {
    shelf,
    one,
    async all(trials, taskFor, onDone) {
      const waiting = longestFirst(trials, data);
      const lane = async (): Promise<void> => {
        while (waiting.length > 0 && !options.stopped()) onDone(await one(taskFor(waiting.shift()!)));
      };
      await Promise.all(Array.from({ length: threads.workers }, lane));
    },
  };
}

/** Trials by the size of their files, the largest first, so that no long one is left to the end. */
export function longestFirst(trials: readonly TrialPlan[], data: string): TrialPlan[] {
  const sizes = new Map(trials.map((trial) => [trial, sizeOf(trial, data)]));
  return [...trials].sort((a, b) => sizes.get(b)! - sizes.get(a)! || compareCodeUnits(a.id, b.id));
}

function sizeOf({ files }: TrialPlan, data: string): number {
  const sizes = files.map((file) => statSync(join(data, ...file.split('/')), { throwIfNoEntry: false })?.size ?? 0);
  return sizes.reduce((sum, size) => sum + size, 0);
}

/** Why a thread gave no answer, and what to do about it. */
function reasonOf(error: unknown, isLate: boolean, limit_s: number, memory_MB: number): string {
  if (isLate) {
    return `it took longer than ${limit_s} s and was ended; allow more with --trial-limit SECONDS, or leave it out with use: no`;
  }
  const { code, message } = error as { code?: string; message?: string };
  if (code === 'ERR_WORKER_OUT_OF_MEMORY') {
    return `it needed more than ${memory_MB} MB of memory and was ended; is it one swing? Leave it out with use: no`;
  }
  return `its thread ended before it was done (${message ?? String(error)}); process the day again`;
}
