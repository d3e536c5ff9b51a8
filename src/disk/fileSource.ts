/** Files in and out: byte sources that never hold a file whole, listings, atomic writes, the output folder. */
import { createHash } from 'node:crypto';
import { closeSync, fstatSync, openSync, readFileSync, readSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { ByteSource } from '../c3d/types.ts';
import type { OpenSource } from '../pipeline/io.ts';

/** Trouble with a file on disk, in a sentence for the user. */
export class FileError extends Error {
  constructor(message: string) {
    super(message);
    this.name = 'FileError';
  }
}

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'it does not exist',
  EACCES: 'this account may not read or write there',
  EPERM: 'this account may not read or write there',
  EISDIR: 'it is a folder',
  ENOTDIR: 'a part of its path is no folder',
  ENOSPC: 'the disk is full',
  EROFS: 'the disk is read-only',
  EMFILE: 'too many files are open',
  EBUSY: 'another program holds it',
  ENAMETOOLONG: 'its name is too long',
};

/** The reason of an error of the file system in plain words. */
export function fileReason(error: unknown): string {
  const code = (error as { code?: string }).code ?? '';
  return REASONS[code] ?? (error instanceof Error ? error.message : String(error));
}

export const BLOCK = 256 * 1024;

/** A file as bytes at rest, read in blocks of 256 KiB; `shown` names it in errors. Close it. @throws FileError */
export function openFile(path: string, shown: string): OpenSource {
  let handle: number;
  let stat: ReturnType<typeof fstatSync>;
  try {
    handle = openSync(path, 'r');
    stat = fstatSync(handle);
    if (!stat.isFile()) {
      closeSync(handle);
      throw Object.assign(new Error(), { code: stat.isDirectory() ? 'EISDIR' : '' });
    }
  } catch (error) {
    throw new FileError(`${shown} cannot be opened: ${fileReason(error)}`);
  }
  const { size } = stat;
  const block = new Uint8Array(BLOCK);
  let blockAt = -1;
  let blockLength = 0;
  const readInto = (into: Uint8Array, from: number, length: number, at: number): number => {
    let done = 0;
    while (done < length) {
      let got: number;
      try {
        got = readSync(handle, into, from + done, length - done, at + done);
      } catch (error) {
        throw new FileError(`${shown} cannot be read at byte ${at + done}: ${fileReason(error)}`);
      }
      if (got === 0) break;
      done += got;
    }
    return done;
  };
  return {
    size,
    read(offset, length, into) {
      const wanted = Math.max(0, Math.min(length, into.length, size - offset));
      let done = 0;
      while (done < wanted) {
        const at = offset + done;
        const start = at - (at % BLOCK);
        if (at === start && wanted - done >= BLOCK) {
          const whole = wanted - done - ((wanted - done) % BLOCK);
          const got = readInto(into, done, whole, at);
          done += got;
          if (got < whole) break;
          continue;
        }
        if (start !== blockAt) {
          blockLength = readInto(block, 0, Math.min(BLOCK, size - start), start);
          blockAt = start;
        }
        const part = block.subarray(at - start, Math.min(blockLength, at - start + wanted - done));
        if (part.length === 0) break;
        into.set(part, done);
        done += part.length;
      }
      return done;
    },
    confirm() {
      const now = statSync(path, { throwIfNoEntry: false });
      if (now?.size === size && now.mtimeMs === stat.mtimeMs && now.ino === stat.ino) return;
      const what = now === undefined ? 'disappeared' : 'changed';
      throw new FileError(`${shown} ${what} while it was read; run again once it is complete`);
    },
    close() {
      closeSync(handle);
    },
  };
}

/** A file below the data folder, `/` between folders. Close it. @throws FileError */
export function openBelow(data: string, path: string): OpenSource {
  return openFile(join(data, ...path.split('/')), path);
}

/** SHA-256 of all bytes of a source, lower-case hexadecimal. */
export function sha256Of(source: ByteSource): string {
  const hash = createHash('sha256');
  const block = new Uint8Array(BLOCK);
  for (let at = 0; at < source.size; ) {
    const got = source.read(at, BLOCK, block);
    if (got === 0) break;
    hash.update(block.subarray(0, got));
    at += got;
  }
  return hash.digest('hex');
}

export function sha256OfBytes(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}

/** A small file whole: day files and tables of trials. @throws FileError */
export function readSmallFile(path: string, shown: string): Uint8Array {
  try {
    return readFileSync(path);
  } catch (error) {
    throw new FileError(`${shown} cannot be read: ${fileReason(error)}`);
  }
}
