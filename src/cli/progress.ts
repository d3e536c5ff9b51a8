import { SingleBar } from 'cli-progress';
import { Interrupted } from './exit.ts';

export interface Progress {
  step(done: number, total: number, what: string): void;
  end(): void;
}

/** A bar on a terminal; elsewhere a plain line at about every tenth part. Always on stderr. */
export function createProgress(): Progress {
  return process.stderr.isTTY ? barProgress() : lineProgress();
}

function barProgress(): Progress {
  const bar = new SingleBar({
    format: '{bar} {value}/{total} {what}',
    stream: process.stderr,
    hideCursor: true,
    clearOnComplete: true,
    barsize: 30,
  });
  let started = false;
  return {
    step(done, total, what) {
      if (!started) bar.start(total, 0, { what: '' });
      started = true;
      bar.update(done, { what });
    },
    end() {
      if (started) bar.stop();
    },
  };
}

function lineProgress(): Progress {
  let said = 0;
  return {
    step(done, total, what) {
      if (done !== total && done < said + total / 10) return;
      said = done;
      process.stderr.write(`${done} of ${total} trials (${what})\n`);
    },
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
