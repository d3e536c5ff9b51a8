/** What a user sees while trials are done and results are written: a bar on a terminal, plain lines or JSON lines elsewhere. Always on stderr. */
import { performance } from 'node:perf_hooks';
import { SingleBar } from 'cli-progress';
import type { DayProgress } from '../pipeline/analyseDay.ts';
import type { Written } from '../pipeline/renderDay.ts';
import { EXIT, Interrupted } from './exit.ts';

export interface Progress {
  step(progress: DayProgress): void;
  /** After the trials: how many swings and players are written. */
  writing(written: Written): void;
  note(text: string): void;
  end(): void;
}

export const LOG_FORMS = ['text', 'json'] as const;
export type LogForm = (typeof LOG_FORMS)[number];

/** A bar on a terminal, plain lines at about every tenth part elsewhere; with `json` one JSON object a line for every trial and note and every tenth part of the writing. */
export function createProgress(form: LogForm): Progress {
  if (form === 'json') return jsonProgress();
  return process.stderr.isTTY ? barProgress() : lineProgress();
}

/** One JSON object as a line on stderr. */
export function writeEvent(event: string, fields: Readonly<Record<string, unknown>>): void {
  process.stderr.write(`${JSON.stringify({ event, ...fields })}\n`);
}

function jsonProgress(): Progress {
  const pace = createPace();
  const isDue = tenths();
  return {
    step(progress) {
      const { trial, status, reason } = progress.outcome;
      const { done, total, recalled } = progress;
      const { rate, left_s, problems } = pace(progress);
      const unchanged = recalled;
      writeEvent('trial', { trial, status, reason, unchanged, done, total, trials_per_s: rate, left_s, problems });
    },
    writing: (written) => {
      if (isDue(written)) writeEvent('writing', { ...written });
    },
    note: (text) => writeEvent('note', { text }),
    end() {},
  };
}

interface Pace {
  /** Trials a second since the start, to one decimal. */
  readonly rate: number;
  readonly left_s: number;
  /** Trials rejected or failed so far. */
  readonly problems: number;
}

function createPace(): (progress: DayProgress) => Pace {
  const start = performance.now();
  let problems = 0;
  return ({ done, total, outcome }) => {
    if (outcome.status === 'failed' || outcome.status === 'rejected') problems += 1;
    const perTrial_s = Math.max(1e-6, (performance.now() - start) / 1000 / done);
    return { rate: Math.round(10 / perTrial_s) / 10, left_s: Math.round((total - done) * perTrial_s), problems };
  };
}

/** Whether another tenth is done; the first call never is, the last always. */
function tenths(): (step: { readonly done: number; readonly total: number }) => boolean {
  let said = 0;
  return ({ done, total }) => {
    if (done === 0 || (done !== total && done < said + total / 10)) return false;
    said = done;
    return true;
  };
}

function paceText({ rate, left_s, problems }: Pace): string {
  const trouble = problems === 0 ? '' : `, ${problems} problem${problems === 1 ? '' : 's'} so far`;
  return `${rate} a second, ${durationText(left_s)} left${trouble}`;
}

function durationText(seconds: number): string {
  if (seconds < 100) return `${seconds} s`;
  return seconds < 6000 ? `${Math.round(seconds / 60)} min` : `${Math.round(seconds / 360) / 10} h`;
}

const WRITING = 'swings and players written';
/** Without a terminal nothing is said of the writing in the first seconds of a run. */
const QUIET_S = 20;

function barProgress(): Progress {
  const bar = new SingleBar({
    format: '{bar} {value}/{total} {pace}  {trial}',
    stream: process.stderr,
    hideCursor: true,
    clearOnComplete: true,
    barsize: 30,
  });
  const pace = createPace();
  let drawn: 'trials' | 'writing' | null = null;
  const draw = (what: 'trials' | 'writing', { done, total }: Written, fields: object): void => {
    if (drawn !== what) {
      if (drawn !== null) bar.stop();
      bar.start(total, done, fields);
    }
    drawn = what;
    bar.update(done, fields);
  };
  return {
    step: (progress) => draw('trials', progress, { pace: paceText(pace(progress)), trial: progress.outcome.trial }),
    writing: (written) => draw('writing', written, { pace: WRITING, trial: '' }),
    note: (text) => process.stderr.write(`${drawn === null ? '' : '\n'}${text}\n`),
    end() {
      if (drawn !== null) bar.stop();
      drawn = null;
    },
  };
}

function lineProgress(): Progress {
  const pace = createPace();
  const isDue = tenths();
  const isWritingDue = tenths();
  const start_s = performance.now() / 1000;
  return {
    step(progress) {
      const { done, total, outcome } = progress;
      const text = paceText(pace(progress));
      if (isDue(progress)) process.stderr.write(`${done} of ${total} trials, ${text} (${outcome.trial})\n`);
    },
    writing(written) {
      // a short run is over before anyone asks
      if (performance.now() / 1000 < start_s + QUIET_S || !isWritingDue(written)) return;
      process.stderr.write(`${written.done} of ${written.total} ${WRITING}\n`);
    },
    note: (text) => process.stderr.write(`${text}\n`),
    end() {},
  };
}

/** Takes an interruption by the user between two pieces of work: `pause` then throws Interrupted. Call `release` when done. */
export function watchSignals(): { readonly pause: () => Promise<void>; readonly release: () => void } {
  let stop = false;
  const onSignal = (): void => {
    stop = true;
  };
  process.on('SIGINT', onSignal);
  process.on('SIGTERM', onSignal);
  return {
    pause: () =>
      new Promise((resolve, reject) => {
        setImmediate(() => (stop ? reject(new Interrupted()) : resolve()));
      }),
    release() {
      process.off('SIGINT', onSignal);
      process.off('SIGTERM', onSignal);
    },
  };
}

/**
 * Takes an interruption by the user in two steps: after the first signal `stopped` is true, so that what is running is finished and what is
 * done is written; the second ends the program at once. Call `release` when done.
 */
export function watchStops(note: (text: string) => void): {
  readonly stopped: () => boolean;
  readonly release: () => void;
} {
  let stop = false;
  const onSignal = (): void => {
    if (stop) process.exit(EXIT.interrupted);
    stop = true;
    note('interrupted: finishing what is running, then writing what is done; once more ends at once');
  };
  process.on('SIGINT', onSignal);
  process.on('SIGTERM', onSignal);
  return {
    stopped: () => stop,
    release() {
      process.off('SIGINT', onSignal);
      process.off('SIGTERM', onSignal);
    },
  };
}

/** Lets signals and messages in between two pieces of work. */
export function turn(): Promise<void> {
  return new Promise((resolve) => {
    setImmediate(resolve);
  });
}
