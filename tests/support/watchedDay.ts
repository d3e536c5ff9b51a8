/** A watch on a clock of its own: what happens on the disk happens at times that the test names. */
import { cpSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { type Round, type WatchEnd, type WatchTold, watchDay } from '../../src/batch/watch.ts';
import type { DayRequest } from '../../src/disk/plannedDay.ts';
import { makeSmallDay } from './batchDay.ts';

export const SETTINGS = { settle_ms: 2000, patience_ms: 30_000, look_ms: 1000, reload_s: 5 };

export interface Happening {
  /** On the clock of the watch, which begins at 0. */
  readonly at_ms: number;
  /** Absent: the user ends the watch. */
  readonly act?: () => void | Promise<void>;
}

export interface SeenRound extends Pick<Round, 'round' | 'fresh' | 'held'> {
  readonly at_ms: number;
  /** `trial status` of every trial. */
  readonly trials: readonly string[];
}

export interface Watched {
  readonly end: WatchEnd;
  readonly rounds: readonly SeenRound[];
  readonly problems: readonly string[];
  readonly waiting: readonly (readonly string[])[];
  readonly notes: readonly string[];
}

/** Watches a day while things happen. Throws what the watch throws. */
export async function watchWhile(
  request: Pick<DayRequest, 'dayFile' | 'out'> & Partial<DayRequest>,
  happenings: readonly Happening[],
  more: Partial<WatchTold> = {},
): Promise<Watched> {
  const due = [...happenings].sort((a, b) => a.at_ms - b.at_ms);
  let now_ms = 0;
  let isStopped = false;
  const clock = {
    now_ms: () => now_ms,
    sleep: async (ms: number) => {
      now_ms += ms;
      while (due[0] !== undefined && due[0].at_ms <= now_ms) {
        const { act } = due.shift()!;
        if (act === undefined) isStopped = true;
        else await act();
      }
      if (now_ms > 1e6) throw new Error('nobody ends the watch');
    },
  };
  const rounds: SeenRound[] = [];
  const problems: string[] = [];
  const waiting: (readonly string[])[] = [];
  const notes: string[] = [];
  const end = await watchDay(
    { lab: null, data: null, curves: true, orders: [], strict: false, ...request },
    SETTINGS,
    clock,
    {
      onNote: (note) => notes.push(note),
      pause: async () => {},
      onStart: () => {},
      onProblems: (lines) => problems.push(...lines),
      onWaiting: (lines) => waiting.push(lines),
      onProgress: () => {},
      stopped: () => isStopped,
      ...more,
      onRound(done) {
        more.onRound?.(done);
        const { round, fresh, held, run } = done;
        const trials = run.result.outcomes.map(({ trial, status }) => `${trial} ${status}`);
        rounds.push({ round, fresh, held, at_ms: now_ms, trials });
      },
    },
  );
  return { end, rounds, problems, waiting, notes };
}

/** A day of two players whose recordings still lie in another folder, from which a test brings them in. */
export interface DayToCome {
  readonly folder: string;
  readonly dayFile: string;
  /** Copies recordings (`wren/1-driver-1`) to their place. */
  readonly bring: (...trials: readonly string[]) => void;
  /** Writes the first bytes of one, as a program does that is not done; `share` of its size. */
  readonly bringPart: (trial: string, share: number) => void;
}

export function makeDayToCome(scratch: string, name: string): DayToCome {
  const source = join(scratch, 'recorded');
  const text = readFileSync(makeSmallDay(source), 'utf8');
  const folder = join(scratch, name);
  mkdirSync(folder, { recursive: true });
  const dayFile = join(folder, 'day.yaml');
  writeFileSync(dayFile, text);
  const place = (trial: string): string => {
    const path = join(folder, `${trial}.c3d`);
    mkdirSync(dirname(path), { recursive: true });
    return path;
  };
  return {
    folder,
    dayFile,
    bring(...trials) {
      for (const trial of trials) cpSync(join(source, `${trial}.c3d`), place(trial));
    },
    bringPart(trial, share) {
      const bytes = readFileSync(join(source, `${trial}.c3d`));
      writeFileSync(place(trial), bytes.subarray(0, Math.floor(share * bytes.length)));
    },
  };
}
