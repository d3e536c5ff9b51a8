/** Which files of a day that is being captured are complete: what was seen of each, and since when. Knows no disk and no clock. */
import { compareCodeUnits } from '../base/text.ts';

/** What a look at a file shows. */
export interface FileState {
  readonly bytes: number;
  readonly mtime_ms: number;
}

export interface WatchTimes {
  /** So long size and time of change of a file stand still before it counts as complete. */
  readonly settle_ms: number;
  /** So long a file that stands still and is shorter than it says is waited for; then it is taken as it is. */
  readonly patience_ms: number;
}

export interface HeldFile {
  readonly path: string;
  /** '' of one that is still changing. */
  readonly why: string;
}

interface Seen extends FileState {
  readonly since_ms: number;
}

interface Missed {
  readonly taken: FileState;
  readonly since_ms: number;
}

/** The files of one look, sorted by path. */
export interface Sorted {
  readonly ready: ReadonlyMap<string, FileState>;
  readonly held: readonly HeldFile[];
  /**
   * The files that a run would rest on now. Of a file that was taken and is being written anew, or that has only just gone, what was taken: it
   * gives no reason for a run until it is settled.
   */
  readonly standing: ReadonlyMap<string, FileState>;
}

/** Remembers what earlier looks saw. */
export class WatchedFiles {
  readonly #times: WatchTimes;
  /** What is missing of a file that stands still, in a sentence; null where it is whole. */
  readonly #shortageOf: (path: string) => string | null;
  #seen = new Map<string, Seen>();
  #taken: ReadonlyMap<string, FileState> = new Map();
  #missed = new Map<string, Missed>();

  constructor(times: WatchTimes, shortageOf: (path: string) => string | null) {
    this.#times = times;
    this.#shortageOf = shortageOf;
  }

  /** The files that the last run rested on. */
  get taken(): ReadonlyMap<string, FileState> {
    return this.#taken;
  }

  /** Sorts what a look found; `now_ms` on any clock that only goes forward. */
  look(found: ReadonlyMap<string, FileState>, now_ms: number): Sorted {
    const seen = new Map<string, Seen>();
    const ready = new Map<string, FileState>();
    const standing = new Map<string, FileState>();
    const held: HeldFile[] = [];
    for (const [path, state] of inOrder(found)) {
      const before = this.#seen.get(path);
      const since_ms = before !== undefined && same(before, state) ? before.since_ms : now_ms;
      seen.set(path, { ...state, since_ms });
      const taken = this.#taken.get(path);
      const why = taken !== undefined && same(taken, state) ? null : this.#holds(path, now_ms - since_ms);
      if (why === null) ready.set(path, state);
      else held.push({ path, why });
      const stands = why === null ? state : taken;
      if (stands !== undefined) standing.set(path, stands);
    }
    this.#seen = seen;
    this.#keepMissed(found, standing, now_ms);
    return { ready, held, standing };
  }

  /** Notes what a run rested on. */
  take(files: ReadonlyMap<string, FileState>): void {
    this.#taken = new Map(files);
  }

  /** Why a file is not complete; null where it is. */
  #holds(path: string, still_ms: number): string | null {
    if (still_ms < this.#times.settle_ms) return '';
    if (still_ms >= this.#times.patience_ms) return null;
    return this.#shortageOf(path);
  }

  /** A file that was taken and is gone stands for as long as one that is there has to stand still: many programs replace a file in two steps. */
  #keepMissed(found: ReadonlyMap<string, FileState>, standing: Map<string, FileState>, now_ms: number): void {
    const missed = new Map<string, Missed>();
    for (const [path, taken] of this.#taken) {
      if (found.has(path)) continue;
      const since_ms = this.#missed.get(path)?.since_ms ?? now_ms;
      missed.set(path, { taken, since_ms });
      if (now_ms - since_ms < this.#times.settle_ms) standing.set(path, taken);
    }
    this.#missed = missed;
  }
}

/** Whether two sets of files are the same bytes, as far as size and time of change tell. */
export function sameFiles(a: ReadonlyMap<string, FileState>, b: ReadonlyMap<string, FileState>): boolean {
  if (a.size !== b.size) return false;
  for (const [path, state] of a) {
    const other = b.get(path);
    if (other === undefined || !same(state, other)) return false;
  }
  return true;
}

function same(a: FileState, b: FileState): boolean {
  return a.bytes === b.bytes && a.mtime_ms === b.mtime_ms;
}

function inOrder(found: ReadonlyMap<string, FileState>): readonly (readonly [string, FileState])[] {
  return [...found].sort(([a], [b]) => compareCodeUnits(a, b));
}
