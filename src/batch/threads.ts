/** Worker threads and the calls to them. */
import { createRequire } from 'node:module';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { Piscina } from 'piscina';
import type { WorkerSetup } from './worker.ts';

/** From 2048 MB on, threads of Node let twice as much garbage lie before they collect it (measured: 616 against 476 MB for a day of 500). */
const DEFAULT_MEMORY_MB = 1536;
/** Half of what Node takes by itself, for no more time (measured: 431 against 476 MB for a day of 500). */
const YOUNG_MB = 24;

export interface ThreadOptions {
  readonly workers: number;
  /** Largest heap of one thread, megabytes; samples of recordings lie outside it. Absent: 1536. */
  readonly memory_MB?: number | undefined;
}

export interface Threads {
  readonly workers: number;
  readonly memory_MB: number;
  /**
   * What a function that the worker exports makes of a task. @throws what it throws; Error where its thread ends, which is then replaced, where
   * the signal ends it, or where no thread can be started
   */
  run<A>(call: { readonly name: string; readonly task: unknown; readonly signal?: AbortSignal }): Promise<A>;
  close(): Promise<void>;
}

export function startThreads(setup: WorkerSetup, options: ThreadOptions): Threads {
  const { workers, memory_MB = DEFAULT_MEMORY_MB } = options;
  const pool = new Piscina({
    ...workerModule(),
    minThreads: workers,
    maxThreads: workers,
    workerData: setup,
    resourceLimits: { maxOldGenerationSizeMb: memory_MB, maxYoungGenerationSizeMb: YOUNG_MB },
  });
  const waiting = new Set<(error: Error) => void>();
  const none = (): Error => new Error('no thread can be started; try --workers 1');
  // after the last thread that does not even start, tasks would wait for ever
  const tellIfNone = (): void => {
    if (pool.threads.length === 0) for (const reject of waiting) reject(none());
  };
  // a thread that ends between two tasks is replaced, and nothing is lost
  pool.on('error', tellIfNone);
  return {
    workers,
    memory_MB,
    run: async ({ name, task, signal = null }) =>
      await new Promise((resolve, reject) => {
        waiting.add(reject);
        pool
          .run(task, { name, signal })
          .then(resolve, reject)
          .finally(() => {
            waiting.delete(reject);
            tellIfNone();
          });
        tellIfNone();
      }),
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
