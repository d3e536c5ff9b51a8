import { join } from 'node:path';
import { type LockTimes, takeLock } from '../disk/lock.ts';
import { STORE_FOLDER } from './resultStore.ts';

/**
 * Takes the lock of an output folder: one run at a time on it; the function returned gives it back.
 * @throws FileError where another run holds it or it cannot be written
 */
export async function lockFolder(out: string, onNote: (note: string) => void, times?: LockTimes): Promise<() => void> {
  const path = join(out, STORE_FOLDER, 'lock');
  const wayOut = 'wait for it, or choose another folder with --out';
  return await takeLock({ path, what: out, wayOut, onNote, ...(times === undefined ? {} : { times }) });
}
