import { randomBytes } from 'node:crypto';
import { closeSync, existsSync, fsyncSync, mkdirSync, openSync, renameSync, rmSync, writeSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { FileError, fileReason } from './fileSource.ts';

/** Ends the names of files that are being written; one that is left by a kill is no result and may be deleted. */
export const UNFINISHED = '.unfinished';

/** Tells apart what several processes write at once, on one machine or on many that share a folder. */
const OWN = randomBytes(6).toString('hex');

/**
 * Makes a folder and those above it that are missing. Step by step: made in one call, Node reports a disk that is read-only as a folder that does
 * not exist. Throws what the disk throws.
 */
export function makeFolder(folder: string): void {
  if (existsSync(folder)) return;
  makeFolder(dirname(folder));
  try {
    mkdirSync(folder);
  } catch (error) {
    // another process may have been faster
    if ((error as { code?: string }).code !== 'EEXIST') throw error;
  }
}

/** A file that is being written under another name. Every error is a FileError and leaves nothing behind. */
export interface UnfinishedFile {
  write(piece: string | Uint8Array): void;
  /** Flushed, unless that is not wanted, and renamed. Returns the bytes written. */
  finish(): number;
  /** Closes and removes what there is; nothing after `finish`. */
  abandon(): void;
}

/** Begins a file that is there whole or not at all. Makes the folders. @throws FileError */
export function startAtomically(path: string, { flush = true }: { readonly flush?: boolean } = {}): UnfinishedFile {
  const folder = dirname(path);
  const temporary = join(folder, `.${basename(path)}.${OWN}${UNFINISHED}`);
  let handle: number | null = null;
  let written = 0;
  const abandon = (): void => {
    if (handle === null) return;
    closeSync(handle);
    handle = null;
    removeQuietly(temporary);
  };
  const guarded = <T>(step: () => T): T => {
    try {
      return step();
    } catch (error) {
      abandon();
      if ((error as { syscall?: string }).syscall === undefined) throw error;
      throw new FileError(`${path} cannot be written: ${fileReason(error)}`);
    }
  };
  guarded(() => {
    makeFolder(folder);
    handle = openSync(temporary, 'w');
  });
  return {
    write: (piece) =>
      guarded(() => {
        const bytes = typeof piece === 'string' ? Buffer.from(piece, 'utf8') : piece;
        for (let at = 0; at < bytes.length; ) at += writeSync(handle!, bytes, at);
        written += bytes.length;
      }),
    finish: () =>
      guarded(() => {
        if (flush) fsyncSync(handle!);
        closeSync(handle!);
        handle = null;
        try {
          renameSync(temporary, path);
        } catch (error) {
          removeQuietly(temporary);
          throw error;
        }
        return written;
      }),
    abandon,
  };
}

/**
 * Writes pieces of text (as UTF-8) or bytes to a file that is there whole or not at all: a temporary file in the same folder, flushed,
 * then renamed. Makes the folders. Returns the bytes written. Without `flush` it is whole for other programs at once, and after a power cut
 * perhaps not: for what carries its own checksum. @throws FileError
 */
export function writeAtomically(
  path: string,
  pieces: Iterable<string | Uint8Array>,
  options: { readonly exclusive?: boolean; readonly flush?: boolean } = {},
): number {
  if (options.exclusive === true && existsSync(path))
    throw new FileError(`${path} already exists; it is never overwritten`);
  const file = startAtomically(path, options);
  try {
    for (const piece of pieces) file.write(piece);
    return file.finish();
  } catch (error) {
    file.abandon();
    throw error;
  }
}

/** The first error is the one to tell. */
function removeQuietly(path: string): void {
  try {
    rmSync(path, { force: true });
  } catch {
    // its folder was never there
  }
}
