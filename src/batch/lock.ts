import { join } from 'node:path';
import { isOwnLock, type LockTimes, type LockUse, takeLock } from '../disk/lock.ts';
import { STORE_FOLDER } from './resultStore.ts';

/**
 * Takes the lock of an output folder: one run at a time on it; the function returned gives it back.
 * @throws FileError where another run holds it or it cannot be written
 */
export async function lockFolder(
  out: string,
  onNote: (note: string) => void,
  times?: LockTimes,
  use: LockUse = 'run',
): Promise<() => void> {
  const wayOut = 'or choose another folder with --out';
  return await takeLock({
    path: pathOf(out),
    what: out,
    wayOut,
    onNote,
    use,
    ...(times === undefined ? {} : { times }),
  });
}

/** Whether this process still holds the lock of an output folder: a machine that slept may have lost it. @throws FileError where it cannot be read */
export function holdsLock(out: string): boolean {
  return isOwnLock(pathOf(out));
}

function pathOf(out: string): string {
  return join(out, STORE_FOLDER, 'lock');
}
