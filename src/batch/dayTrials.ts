/** The trials of a day on threads or in this thread alone, with what earlier runs kept. */
import { availableParallelism } from 'node:os';
import { dayIo, type PlannedRun } from '../disk/plannedDay.ts';
import type { TrialPlan } from '../model/dayPlan.ts';
import type { SeriesOf } from '../model/swingSeries.ts';
import { analyseTrials, type DayProgress } from '../pipeline/analyseDay.ts';
import type { PartRenderer } from '../pipeline/partRenderer.ts';
import type { BriefOutcome, RecordShelf } from '../pipeline/swingBrief.ts';
import { runnerHere } from '../pipeline/trialRunner.ts';
import type { TaskSettings } from '../pipeline/trialTask.ts';
import { loadAnalysis } from './analysis.ts';
import { createPool } from './pool.ts';
import { poolRenderer } from './poolRenderer.ts';
import { createResultStore, type StorePlace } from './resultStore.ts';
import { startThreads } from './threads.ts';

/** How a day is run; nothing here changes a result. */
export interface BatchOptions {
  /** Worker threads; 1: everything in this thread, and no limits. Absent: as many as there are cores, one for a few trials. */
  readonly workers?: number;
  /** Longest time of one trial, seconds, where there are worker threads. */
  readonly trialLimit_s?: number;
  /** Largest heap of one thread, megabytes, where there are worker threads. */
  readonly memory_MB?: number;
  /** A module whose `analyse` takes the place of the program's own: for tests. */
  readonly analysis?: string;
  /** True where the caller holds the lock of the output folder. */
  readonly isLocked?: boolean;
}

const DEFAULT_TRIAL_LIMIT_S = 300;
/** Below so many trials one thread alone, for the sake of the limits: each costs some 115 ms to start (measured on two cores), about ten trials of analysis. */
const FEWEST_FOR_THREADS = 24;

export interface TrialsWatch {
  readonly onNote: (note: string) => void;
  readonly onProgress: (progress: DayProgress) => void;
  /** Between trials and between files; an error it throws ends the run. */
  readonly pause: () => Promise<void>;
  /** True once no further trial is to be begun: what is done is written. Absent: never. */
  readonly stopped?: () => boolean;
}

export interface DayTrials {
  /** By trial id. */
  readonly outcomes: readonly BriefOutcome[];
  /** Where the records of the swings lie. */
  readonly shelf: RecordShelf;
  /** How many were taken over from an earlier run. */
  readonly recalled: number;
  /** By trial id: the key under which the store has the result. */
  readonly keys: ReadonlyMap<string, string>;
}

/** What a day's work is done with, from its first trial to its last page. */
export interface DayWork {
  /** Runs the trials that swings rest on and the swings asked for. */
  trials(isAsked: (swing: TrialPlan) => boolean): Promise<DayTrials>;
  /** Where swings and players are made ready to be written; null: in this thread. */
  renderer(seriesOf: SeriesOf | null): PartRenderer | null;
  close(): Promise<void>;
}

/** Starts threads, or none where this thread is to do all. */
export async function startWork(
  day: PlannedRun,
  options: BatchOptions & TaskSettings,
  place: StorePlace,
  watch: TrialsWatch,
): Promise<DayWork> {
  const io = dayIo(day.data, { pause: watch.pause, stopped: watch.stopped ?? (() => false) });
  const keys = new Map<string, string>();
  const said = new Set<string>();
  const onNote = (note: string): void => {
    if (!said.has(note)) watch.onNote(note);
    said.add(note);
  };
  const notes = { onNote, onKey: (trial: string, key: string) => keys.set(trial, key) };
  const { analysis = null, memory_MB } = options;
  const { data } = day;
  const workers = workersFor(day.plan.trials.length, options.workers);
  const threads = options.workers === 1 ? null : startThreads({ data, store: place, analysis }, { workers, memory_MB });
  const limit_s = options.trialLimit_s ?? DEFAULT_TRIAL_LIMIT_S;
  const stopped = (): boolean => io.stopped?.() === true;
  const pool = threads === null ? null : createPool(threads, { data, store: place, limit_s, stopped, notes });
  const runner =
    pool ?? runnerHere(io, { analyse: await loadAnalysis(analysis), memory: createResultStore(place, notes) });
  return {
    async trials(isAsked) {
      let recalled = 0;
      const outcomes = await analyseTrials(day.plan, io, { ...options, runner }, isAsked, (progress) => {
        if (progress.recalled) recalled += 1;
        watch.onProgress(progress);
      });
      return { outcomes, shelf: runner.shelf, recalled, keys };
    },
    // beside one thread this one would only wait
    renderer: (seriesOf) =>
      threads === null || pool === null || workers === 1
        ? null
        : poolRenderer(threads, { shelf: pool.shelf, seriesOf, onNote }),
    close: async () => await threads?.close(),
  };
}

/** As many threads as asked for, else one a core; one for a few trials. */
export function workersFor(trials: number, asked: number | undefined, cores = availableParallelism()): number {
  if (asked !== undefined) return asked;
  return trials < FEWEST_FOR_THREADS ? 1 : Math.min(cores, trials);
}
