/** One writer at a time in one folder, also where machines share it. */
import { randomBytes } from 'node:crypto';
import { closeSync, openSync, readFileSync, renameSync, rmSync, writeSync } from 'node:fs';
import { hostname } from 'node:os';
import { dirname } from 'node:path';
import { makeFolder, writeAtomically } from './atomicWrite.ts';
import { FileError, fileReason } from './fileSource.ts';

/** What a lock says of the run that holds it. */
interface Holder {
  readonly host: string;
  readonly pid: number;
  /** When that process began, as the system counts, so that a number used again is not taken for it; '' where unknown. */
  readonly started: string;
  readonly token: string;
  /** Raised while the run goes on. */
  readonly beat: number;
  /** Absent: one run. */
  readonly use?: LockUse;
}

/** What a lock is held for: one run, or the runs of a day that is watched. */
export type LockUse = 'run' | 'watch';

export interface LockTimes {
  /** Between two signs of life. */
  readonly beat_ms: number;
  /** So long a lock of another machine is watched for a sign of life. */
  readonly watch_ms: number;
}

const TIMES: LockTimes = { beat_ms: 5_000, watch_ms: 30_000 };

export interface LockRequest {
  /** The file that is the lock; its folder is made. */
  readonly path: string;
  /** What is locked, as messages name it. */
  readonly what: string;
  /** What to do, beside waiting, where another run holds it; absent: wait for that run. */
  readonly wayOut?: string;
  /** Absent: one run. */
  readonly use?: LockUse;
  readonly onNote: (note: string) => void;
  readonly times?: LockTimes;
}

/** Between two looks at a lock that is waited for. */
const LOOK_ms = 50;

/**
 * Takes a lock; the function returned gives it back. A lock whose process is gone is taken over with a note; one of another machine after it was
 * watched and showed no sign of life. @throws FileError where another run holds it and there is a way out, or it cannot be written
 */
export async function takeLock({
  path,
  what,
  wayOut,
  use = 'run',
  onNote,
  times = TIMES,
}: LockRequest): Promise<() => void> {
  const own = {
    host: hostname(),
    pid: process.pid,
    started: startOf(process.pid),
    token: randomBytes(8).toString('hex'),
    use,
  };
  let waited = false;
  while (!create(path, { ...own, beat: 0 })) {
    const held = readHolder(path);
    if (held === 'gone') continue;
    const why = await leftBehind(path, held, times);
    if (why === 'gone') continue;
    if (why === null) {
      if (wayOut !== undefined) throw heldError({ path, what, wayOut }, held);
      if (!waited) onNote(`waiting for ${holderText(held)}, which writes ${what}`);
      waited = true;
      await pauseFor(LOOK_ms);
      continue;
    }
    if (takeAway(path, held)) onNote(`${what} was locked by a run that is no longer there (${why}); it is taken over`);
  }
  const beat = beating(path, own, times);
  const unlock = (): void => {
    clearInterval(beat);
    process.off('exit', unlock);
    if (isHeldBy(path, own.token)) rmSync(path, { force: true });
  };
  process.on('exit', unlock);
  return unlock;
}

function pauseFor(time_ms: number): Promise<void> {
  return new Promise((resolve) => {
    setTimeout(resolve, time_ms);
  });
}

/** Whether this process holds a lock. @throws FileError where it cannot be read */
export function isOwnLock(path: string): boolean {
  const held = readHolder(path);
  return held !== 'gone' && held?.host === hostname() && held.pid === process.pid;
}

function isHeldBy(path: string, token: string): boolean {
  const held = readHolder(path);
  return held !== 'gone' && held?.token === token;
}

/** Creates the lock with its text; false where there is one. */
function create(path: string, holder: Holder): boolean {
  try {
    makeFolder(dirname(path));
    const handle = openSync(path, 'wx');
    writeSync(handle, JSON.stringify(holder));
    closeSync(handle);
    return true;
  } catch (error) {
    if ((error as { code?: string }).code === 'EEXIST') return false;
    throw new FileError(`${path} cannot be written: ${fileReason(error)}`);
  }
}

/** What the lock says; null where its text is not whole, 'gone' where it is not there any more. */
function readHolder(path: string): Holder | null | 'gone' {
  let text: string;
  try {
    text = readFileSync(path, 'utf8');
  } catch (error) {
    if ((error as { code?: string }).code === 'ENOENT') return 'gone';
    throw new FileError(`${path} cannot be read: ${fileReason(error)}`);
  }
  try {
    return JSON.parse(text) as Holder;
  } catch {
    return null;
  }
}

/** Why nobody holds the lock any more, 'gone' where it is not there any more, null where somebody holds it. */
async function leftBehind(path: string, held: Holder | null, { watch_ms }: LockTimes): Promise<string | null> {
  if (held !== null && held.host === hostname()) {
    return isAlive(held) ? null : `process ${held.pid} of this machine has ended`;
  }
  for (let left_ms = watch_ms; left_ms > 0; left_ms -= LOOK_ms) {
    await pauseFor(Math.min(LOOK_ms, left_ms));
    const now = readHolder(path);
    if (now === 'gone') return now;
    if (now?.token !== held?.token || now?.beat !== held?.beat) return null;
  }
  return held === null ? 'its text is not whole' : `${held.host} gave no sign of life for ${watch_ms / 1000} s`;
}

function isAlive({ pid, started }: Holder): boolean {
  try {
    process.kill(pid, 0);
  } catch (error) {
    // a process of another account is alive, too
    return (error as { code?: string }).code === 'EPERM';
  }
  const now = startOf(pid);
  return now === '' || started === '' || now === started;
}

/** Field 22 of /proc/PID/stat (proc_pid_stat(5)): start time in clock ticks since the machine began; '' where there is no such file. */
function startOf(pid: number): string {
  try {
    const text = readFileSync(`/proc/${pid}/stat`, 'utf8');
    return text.slice(text.lastIndexOf(')') + 2).split(' ')[19] ?? '';
  } catch {
    return '';
  }
}

/** Moves the lock away under a name of its own, so that of two that take it over one only succeeds. */
function takeAway(path: string, held: Holder | null): boolean {
  const aside = `${path}.${randomBytes(6).toString('hex')}`;
  try {
    renameSync(path, aside);
  } catch {
    return false;
  }
  const moved = readHolder(aside);
  const isIt = moved !== 'gone' && moved?.token === held?.token;
  if (isIt) rmSync(aside, { force: true });
  else renameSync(aside, path);
  return isIt;
}

function beating(path: string, own: Omit<Holder, 'beat'>, { beat_ms }: LockTimes): NodeJS.Timeout {
  let beat = 0;
  const timer = setInterval(() => {
    beat += 1;
    try {
      if (isHeldBy(path, own.token)) writeAtomically(path, [JSON.stringify({ ...own, beat })], { flush: false });
    } catch {
      // a sign of life that is missed once is no harm; the disk's own trouble is told where results are written
    }
  }, beat_ms);
  return timer.unref();
}

function holderText(held: Holder | null): string {
  return held === null ? 'another run' : `process ${held.pid} on ${held.host}`;
}

function heldError(
  { path, what, wayOut }: Required<Pick<LockRequest, 'path' | 'what' | 'wayOut'>>,
  held: Holder | null,
): FileError {
  const isWatched = held !== null && held.use === 'watch';
  const state = isWatched ? 'holds a day that is watched' : 'is being written';
  const first = isWatched ? 'end the watching there (Ctrl-C)' : 'wait for it';
  const known = `if you know that no run is there, delete ${path}`;
  return new FileError(`${what} ${state} by ${holderText(held)}; ${first}, ${wayOut} (${known})`);
}
