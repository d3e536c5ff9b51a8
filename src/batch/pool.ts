/** Tasks on worker threads: the longest first, never more at once than there are threads, each within its limits. */
import { statSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { Piscina } from 'piscina';
import { compareCodeUnits } from '../base/text.ts';
import type { TrialPlan } from '../model/dayPlan.ts';
import type { PartRenderer } from '../pipeline/partRenderer.ts';
import { briefOutcome } from '../pipeline/swingBrief.ts';
import type { Finished, TrialRunner } from '../pipeline/trialRunner.ts';
import { failedTask, type TrialTask } from '../pipeline/trialTask.ts';
import { type PoolRendererTools, poolRenderer } from './poolRenderer.ts';
import { HandleShelf } from './recordHandles.ts';
import type { StoreNotes, StorePlace } from './resultStore.ts';
import type { WorkerAnswer, WorkerSetup } from './worker.ts';

export interface PoolOptions extends WorkerSetup {
  readonly workers: number;
  /** Longest time of one trial, seconds. */
  readonly limit_s: number;
  /** Largest heap of one thread, megabytes; samples of recordings lie outside it. */
  readonly memory_MB: number;
  readonly stopped: () => boolean;
  readonly notes: Required<StoreNotes>;
}

/** Half of what Node takes by itself, for no more time (measured: 431 against 476 MB for a day of 500). */
const YOUNG_MB = 24;

export interface Pool extends TrialRunner {
  readonly shelf: HandleShelf;
  /** Makes swings and players ready to be written on the same threads; null where there is but one: then this thread does it as well. */
  renderer(tools: PoolRendererTools): PartRenderer | null;
  close(): Promise<void>;
}

/** Threads that make ready what earlier runs analysed, and run no trial. */
export function renderingPool(store: StorePlace, workers: number, memory_MB: number): Pool {
  const notes = { onNote: () => {}, onKey: () => {} };
  return createPool({
    data: '',
    store,
    analysis: null,
    workers,
    limit_s: 0,
    memory_MB,
    stopped: () => true,
    notes,
  });
}

/** Starts the threads. A trial that crashes or exceeds a limit fails by itself: its thread is replaced, the others go on. */
export function createPool(options: PoolOptions): Pool {
  const { workers, data, store, analysis, notes } = options;
  const setup: WorkerSetup = { data, store, analysis };
  const pool = new Piscina({
    ...workerModule(),
    minThreads: workers,
    maxThreads: workers,
    workerData: setup,
    resourceLimits: { maxOldGenerationSizeMb: options.memory_MB, maxYoungGenerationSizeMb: YOUNG_MB },
  });
  // a thread that ends between two tasks is replaced, and nothing is lost
  pool.on('error', () => {});
  const shelf = new HandleShelf(store);
  const one = async (task: TrialTask): Promise<Finished> => {
    const limit = new AbortController();
    const timer = setTimeout(() => limit.abort(), 1000 * options.limit_s);
    try {
      if (pool.threads.length === 0) throw new Error('no thread can be started; try --workers 1');
      const answer: WorkerAnswer = await pool.run(task, { signal: limit.signal });
      const { bytes, key, notes: said, ...done } = answer;
      for (const note of said) notes.onNote(note);
      if (key !== null) {
        shelf.add(task.trial, key);
        notes.onKey(task.trial.id, key);
      }
      if (bytes !== null) shelf.addPacked(task.trial.id, bytes);
      return done;
    } catch (error) {
      const { outcome, basis } = failedTask(task, reasonOf(error, limit.signal.aborted, options));
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
      await Promise.all(Array.from({ length: workers }, lane));
    },
    renderer: (tools) => (workers > 1 ? poolRenderer(pool, tools) : null),
    close: () => pool.destroy(),
  };
}

/** The worker beside this file: compiled, or from the sources through the loader of development, which threads do not take over by themselves. */
function workerModule(): { readonly filename: string; readonly execArgv?: string[] } {
  if (!import.meta.url.endsWith('.ts')) return { filename: fileURLToPath(new URL('worker.js', import.meta.url)) };
  const tsx = pathToFileURL(createRequire(import.meta.url).resolve('tsx'));
  const loader = new URL('esm/api/index.mjs', tsx).href;
  const start = `import { register } from ${JSON.stringify(loader)}; register();`;
  return {
    filename: fileURLToPath(new URL('worker.ts', import.meta.url)),
    execArgv: ['--import', `data:text/javascript,${encodeURIComponent(start)}`],
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
function reasonOf(error: unknown, isLate: boolean, { limit_s, memory_MB }: PoolOptions): string {
  if (isLate) {
    return `it took longer than ${limit_s} s and was ended; allow more with --trial-limit SECONDS, or leave it out with use: no`;
  }
  const { code, message } = error as { code?: string; message?: string };
  if (code === 'ERR_WORKER_OUT_OF_MEMORY') {
    return `it needed more than ${memory_MB} MB of memory and was ended; is it one swing? Leave it out with use: no`;
  }
  return `its thread ended before it was done (${message ?? String(error)}); process the day again`;
}
