/** A day while it is captured: looks again and again, runs the day where something is new and complete, and at the end writes what one run writes. */
import { compareCodeUnits } from '../base/text.ts';
import { FileError } from '../disk/fileSource.ts';
import { checkOutputFolder } from '../disk/outputFolder.ts';
import { type DayRequest, dataOf, outputOf, planRun } from '../disk/plannedDay.ts';
import type { DayProgress } from '../pipeline/analyseDay.ts';
import type { BatchOptions } from './dayTrials.ts';
import { holdsLock, lockFolder } from './lock.ts';
import { type DayRun, type DayWatch, runDay } from './runDay.ts';
import { type HeldFile, type Sorted, sameFiles, WatchedFiles, type WatchTimes } from './watchFiles.ts';
import { type DayLook, lookAtDay, shortageOf, withoutHeld } from './watchLook.ts';

export type DoneRun = DayRun & { readonly ok: true };

/** The clock of a watch; a test gives its own. */
export interface WatchClock {
  /** Milliseconds on a clock that only goes forward. */
  readonly now_ms: () => number;
  /** May end early once `stopped` is true. */
  readonly sleep: (ms: number) => Promise<void>;
}

export interface WatchSettings extends WatchTimes {
  /** Between two looks, at least; a look that takes longer is followed by as long a pause. */
  readonly look_ms: number;
  /** The page of the day loads itself anew after so many seconds. */
  readonly reload_s: number;
}

export interface Round {
  /** From 1. */
  readonly round: number;
  readonly run: DoneRun;
  /** Trials that were analysed in this round, by id: all that are new or rest on something new. */
  readonly fresh: readonly string[];
  /** Files that are not complete yet. */
  readonly held: readonly HeldFile[];
}

export interface WatchTold extends Pick<DayWatch, 'onNote' | 'pause'> {
  readonly onStart: (out: string) => void;
  readonly onRound: (round: Round) => void;
  /** The day cannot be run as it is now; what was written before stays. Not said again while it is the same. */
  readonly onProblems: (problems: readonly string[]) => void;
  /** What the day file names and is not there yet, and files that stand still and are not whole: whenever that changes. */
  readonly onWaiting: (lines: readonly string[]) => void;
  readonly onProgress: (progress: DayProgress, round: number) => void;
  readonly stopped: () => boolean;
}

/** How a watch ended. */
export type WatchEnd =
  /** With the files of one run on what is there. */
  | { readonly kind: 'whole'; readonly run: DoneRun }
  /** The same, without what the day file names and is not there. */
  | { readonly kind: 'waiting'; readonly run: DoneRun; readonly waiting: readonly string[] }
  /** In the midst of a round: the trials not begun are failed with that reason. */
  | { readonly kind: 'cut'; readonly run: DoneRun }
  /** With a day file that cannot be run: what was written before stays. */
  | { readonly kind: 'problems'; readonly problems: readonly string[] };

/**
 * Watches a day until `stopped` is true. The lock of the output folder is held all the while. Captures are only read. An invalid day file or a
 * share that is gone is told and waited for, except at the first look. @throws FileError where the day cannot be watched at all, or another
 * process took the folder over
 */
export async function watchDay(
  request: DayRequest & BatchOptions,
  settings: WatchSettings,
  clock: WatchClock,
  told: WatchTold,
): Promise<WatchEnd> {
  planRun({ ...request, unfinished: true }, () => {});
  const out = outputOf(request);
  checkOutputFolder(out);
  const unlock = await lockFolder(out, told.onNote, undefined, 'watch');
  try {
    told.onStart(out);
    return await new Watch({ ...request, isLocked: true }, settings, clock, told).untilStopped();
  } finally {
    unlock();
  }
}

type ReadLook = DayLook & { readonly ok: true };

class Watch {
  readonly #request: DayRequest & BatchOptions;
  readonly #settings: WatchSettings;
  readonly #clock: WatchClock;
  readonly #told: WatchTold;
  readonly #files: WatchedFiles;
  /** What the day file and what it names said last, and since when. */
  #sign = { text: '', since_ms: 0 };
  /** The sign that the last run rested on. */
  #done: string | null = null;
  #rounds = 0;
  /** After a run that could not be written: not before so late. */
  #notBefore_ms = Number.NEGATIVE_INFINITY;
  readonly #said = new Set<string>();
  #problems = '';
  #waiting = '';

  constructor(request: DayRequest & BatchOptions, settings: WatchSettings, clock: WatchClock, told: WatchTold) {
    this.#request = request;
    this.#settings = settings;
    this.#clock = clock;
    this.#told = told;
    const data = dataOf(request);
    this.#files = new WatchedFiles(settings, (path) => shortageOf(data, path));
  }

  async untilStopped(): Promise<WatchEnd> {
    while (!this.#told.stopped()) {
      const began_ms = this.#clock.now_ms();
      const look = this.#look();
      const sorted = this.#due(look, began_ms);
      const looked_ms = this.#clock.now_ms() - began_ms;
      const cut = sorted === null ? null : await this.#round(look as ReadLook, sorted);
      if (cut !== null) return { kind: 'cut', run: cut };
      if (!this.#told.stopped()) await this.#clock.sleep(Math.max(this.#settings.look_ms, looked_ms));
    }
    return await this.#end();
  }

  #look(): DayLook {
    return lookAtDay(this.#request, this.#note);
  }

  /** Every note once: each look and each run would say it again. */
  readonly #note = (note: string): void => {
    if (!this.#said.has(note)) this.#told.onNote(note);
    this.#said.add(note);
  };

  /** The files of a look, where a run is due; null where nothing is new or nothing new is complete. */
  #due(look: DayLook, now_ms: number): Sorted | null {
    if (look.sign !== this.#sign.text) this.#sign = { text: look.sign, since_ms: now_ms };
    const sorted = look.ok ? this.#files.look(look.files, now_ms) : null;
    // a file that is being saved may be a valid day file with half of its lines
    if (now_ms - this.#sign.since_ms < this.#settings.settle_ms) return null;
    const problems = look.ok ? this.#allGone(look) : look.problems;
    this.#tellProblems(problems);
    if (!look.ok || sorted === null || problems.length > 0) return null;
    this.#tellWaiting([...look.day.waiting, ...sorted.held.map(({ why }) => why).filter((why) => why !== '')]);
    if (now_ms < this.#notBefore_ms) return null;
    const isNew = look.sign !== this.#done || !sameFiles(sorted.standing, this.#files.taken);
    return isNew ? sorted : null;
  }

  /** A share that is not connected often shows as an empty folder. */
  #allGone({ files }: ReadLook): readonly string[] {
    const { size } = this.#files.taken;
    if (size === 0 || files.size > 0) return [];
    const what = size === 1 ? 'the one file' : `all ${size} files`;
    return [
      `${what} of the day are gone from ${dataOf(this.#request)}; the last results stay: is the folder still connected?`,
    ];
  }

  /** Runs the day on what is complete; gives the run where the user ended it before every trial was begun. */
  async #round({ day, sign }: ReadLook, { ready, held }: Sorted): Promise<DoneRun | null> {
    const listing = withoutHeld(day.listing, day.plan, held);
    const fresh: string[] = [];
    let begun = 0;
    const round = this.#rounds + 1;
    const { stopped } = this.#told;
    const reload_s = (): number | null => (stopped() ? null : this.#settings.reload_s);
    const run = await this.#run({ listing, unfinished: true, reload_s }, stopped, (progress) => {
      begun += 1;
      if (!progress.recalled) fresh.push(progress.outcome.trial);
      this.#told.onProgress(progress, round);
    });
    if (!run.ok) {
      this.#tellProblems(run.problems);
      this.#notBefore_ms = this.#clock.now_ms() + this.#settings.patience_ms;
      return null;
    }
    this.#rounds = round;
    this.#done = sign;
    this.#files.take(ready);
    this.#told.onRound({ round, run, fresh: fresh.sort(compareCodeUnits), held });
    return stopped() && begun < run.result.outcomes.length ? run : null;
  }

  /** One run of the day; what the disk refuses is a problem. @throws FileError where another process has taken the folder over */
  async #run(
    more: Pick<DayRequest, 'listing' | 'unfinished' | 'reload_s'>,
    stopped: () => boolean,
    onProgress: (progress: DayProgress) => void,
  ): Promise<DayRun> {
    const out = outputOf(this.#request);
    if (!holdsLock(out)) {
      throw new FileError(`${out} was taken over by another run; the watching ends so that two do not write at once`);
    }
    const { pause } = this.#told;
    try {
      return await runDay(
        { ...this.#request, ...more },
        { onNote: this.#note, onProgress, onWriting: () => {}, pause, stopped },
      );
    } catch (error) {
      if (error instanceof FileError) return { ok: false, problems: [error.message] };
      throw error;
    }
  }

  /** Writes what one run writes: no page that loads itself, and files that are not complete as they are. */
  async #end(): Promise<WatchEnd> {
    const look = this.#look();
    const problems = look.ok ? this.#allGone(look) : look.problems;
    if (!look.ok || problems.length > 0) return { kind: 'problems', problems };
    const onProgress = (progress: DayProgress): void => this.#told.onProgress(progress, this.#rounds + 1);
    const run = await this.#run({}, () => false, onProgress);
    if (run.ok) return { kind: 'whole', run };
    if (look.day.waiting.length === 0) return { kind: 'problems', problems: run.problems };
    const part = await this.#run({ unfinished: true }, () => false, onProgress);
    if (!part.ok) return { kind: 'problems', problems: part.problems };
    return { kind: 'waiting', run: part, waiting: look.day.waiting };
  }

  #tellProblems(problems: readonly string[]): void {
    const text = problems.join('\n');
    if (text !== '' && text !== this.#problems) this.#told.onProblems(problems);
    this.#problems = text;
  }

  #tellWaiting(lines: readonly string[]): void {
    const text = lines.join('\n');
    if (text !== this.#waiting) this.#told.onWaiting(lines);
    this.#waiting = text;
  }
}
