/** The trials of a day on threads or in this thread alone, with what earlier runs kept. */
import { availableParallelism } from 'node:os';
import { dayIo, type PlannedRun } from '../disk/plannedDay.ts';
import type { TrialPlan } from '../model/dayPlan.ts';
import { analyseTrials, type DayProgress } from '../pipeline/analyseDay.ts';
import type { DayIo } from '../pipeline/io.ts';
import type { BriefOutcome, RecordShelf } from '../pipeline/swingBrief.ts';
import { runnerHere, type TrialRunner } from '../pipeline/trialRunner.ts';
import type { TaskSettings } from '../pipeline/trialTask.ts';
import { loadAnalysis } from './analysis.ts';
import { createPool } from './pool.ts';
import { createResultStore, type StoreNotes, type StorePlace } from './resultStore.ts';

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
const DEFAULT_MEMORY_MB = 2048;
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

/** Runs the trials that swings rest on and the swings asked for. */
export async function runTrials(
  day: PlannedRun,
  options: BatchOptions & TaskSettings,
  place: StorePlace,
  watch: TrialsWatch,
  isAsked: (swing: TrialPlan) => boolean,
): Promise<DayTrials> {
  const io = dayIo(day.data, { pause: watch.pause, stopped: watch.stopped ?? (() => false) });
  const keys = new Map<string, string>();
  const said = new Set<string>();
  const onNote = (note: string): void => {
    if (!said.has(note)) watch.onNote(note);
    said.add(note);
  };
  let recalled = 0;
  const work = await startRunner(day, options, io, place, { onNote, onKey: (trial, key) => keys.set(trial, key) });
  try {
    const outcomes = await analyseTrials(day.plan, io, { ...options, runner: work.runner }, isAsked, (progress) => {
      if (progress.recalled) recalled += 1;
      watch.onProgress(progress);
    });
    return { outcomes, shelf: work.runner.shelf, recalled, keys };
  } finally {
    await work.close();
  }
}

/** Threads, or this thread alone. */
async function startRunner(
  day: PlannedRun,
  options: BatchOptions,
  io: DayIo,
  store: StorePlace,
  notes: Required<StoreNotes>,
): Promise<{ readonly runner: TrialRunner; readonly close: () => Promise<void> }> {
  const { analysis = null } = options;
  const workers = workersFor(day.plan.trials.length, options.workers);
  if (options.workers === 1) {
    const tools = { analyse: await loadAnalysis(analysis), memory: createResultStore(store, notes) };
    return { runner: runnerHere(io, tools), close: async () => {} };
  }
  const pool = createPool({
    data: day.data,
    store,
    analysis,
    workers,
    limit_s: options.trialLimit_s ?? DEFAULT_TRIAL_LIMIT_S,
    memory_MB: options.memory_MB ?? DEFAULT_MEMORY_MB,
    stopped: () => io.stopped?.() === true,
    notes,
  });
  return { runner: pool, close: () => pool.close() };
}

/** As many threads as asked for, else one a core; one for a few trials. */
export function workersFor(trials: number, asked: number | undefined, cores = availableParallelism()): number {
  if (asked !== undefined) return asked;
  return trials < FEWEST_FOR_THREADS ? 1 : Math.min(cores, trials);
}
