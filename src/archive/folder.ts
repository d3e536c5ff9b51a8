/** The folder of an archive: what lies where, its list of days, and changes to it that are made whole or not at all. */
import {
  closeSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
} from 'node:fs';
import { dirname, join } from 'node:path';
import { compareCodeUnits } from '../base/text.ts';
import { UNFINISHED, writeAtomically } from '../disk/atomicWrite.ts';
import { FileError, fileReason } from '../disk/fileSource.ts';
import { takeLock } from '../disk/lock.ts';
import {
  ARCHIVE_FORMAT,
  type ArchivedDay,
  type ArchiveState,
  archiveHeadSchema,
  archiveStateSchema,
} from '../model/archive.ts';
import { reread } from '../model/storedRecord.ts';
import { jsonText } from '../tables/storedRecord.ts';
import type { KeptFile } from './dayContent.ts';

const HEAD = 'archive.json';
const STATE = 'days.json';
const DAYS = 'days';
const LOCK = 'lock';
/** Digits of the checksum of a day that name its folder. */
const NAME_DIGITS = 32;

/** The folder of a day. */
export function dayFolder(archive: string, { content }: Pick<ArchivedDay, 'content'>): string {
  return join(archive, DAYS, content.slice(0, NAME_DIGITS));
}

/** The days that are in the archive. @throws FileError where the folder is no archive, or one of another format */
export function readState(archive: string): ArchiveState {
  if (!existsSync(archive))
    throw new FileError(`there is no archive ${archive}; archive add OUT makes one, --archive DIR names another`);
  const head = readJson(join(archive, HEAD), archiveHeadSchema);
  if (head === null)
    throw new FileError(`${archive} is no archive: it has no ${HEAD}; --archive DIR names another folder`);
  if (head.archive !== ARCHIVE_FORMAT) {
    throw new FileError(
      `${archive} is an archive of format ${head.archive}, and this program reads ${ARCHIVE_FORMAT}; use a program of that version`,
    );
  }
  return readJson(join(archive, STATE), archiveStateSchema) ?? { archive: ARCHIVE_FORMAT, days: [] };
}

function readJson<T>(path: string, schema: Parameters<typeof reread<T>>[1]): T | null {
  let text: string;
  try {
    text = readFileSync(path, 'utf8');
  } catch (error) {
    if ((error as { code?: string }).code === 'ENOENT') return null;
    throw new FileError(`${path} cannot be read: ${fileReason(error)}`);
  }
  const read = reread(text, schema);
  if (read.ok) return read.value;
  throw new FileError(`${path}: ${read.problem}; put it back from a copy of the archive, or make a new archive`);
}

/** What a writer of the archive works with while no other writes. */
export interface ArchiveWriter {
  readonly state: ArchiveState;
  /** Days that a killed run left unfinished, or replaced and not yet removed: they are gone now. */
  readonly swept: number;
  /** Writes a day's folder, whole or not at all; it is not in the archive until the state says so. */
  readonly place: (content: string, fill: (folder: string) => void) => void;
  /** The moment of a change: the archive is the new list, and folders that it does not name are removed. */
  readonly commit: (days: readonly ArchivedDay[]) => void;
}

/**
 * Runs `work` while nobody else changes the archive; waits for whoever does. A folder that is there and is no archive is refused, unless it is empty
 * and `make` is true. @throws FileError
 */
export async function withArchive<T>(
  archive: string,
  { make, onNote }: { readonly make: boolean; readonly onNote: (note: string) => void },
  work: (writer: ArchiveWriter) => T,
): Promise<T> {
  if (make) refuseStranger(archive);
  else readState(archive);
  const unlock = await takeLock({ path: join(archive, LOCK), what: `the archive ${archive}`, onNote });
  try {
    if (!existsSync(join(archive, HEAD))) {
      writeAtomically(join(archive, HEAD), [`${jsonText({ program: 'swingbasis', archive: ARCHIVE_FORMAT })}\n`]);
    }
    const state = readState(archive);
    return work({
      state,
      swept: sweep(archive, state.days),
      place: (content, fill) => placeDay(archive, content, fill),
      commit: (days) => commit(archive, days),
    });
  } finally {
    unlock();
  }
}

function refuseStranger(archive: string): void {
  if (!existsSync(archive)) return;
  if (!statSync(archive).isDirectory()) throw new FileError(`${archive} is a file; --archive names a folder`);
  const names = readdirSync(archive);
  // a lock, or what a kill left of the first file, may be there before the archive is
  if (names.includes(HEAD) || names.every((name) => name.startsWith(LOCK) || name.endsWith(UNFINISHED))) return;
  throw new FileError(`the folder ${archive} is not empty and is no archive; --archive DIR names another`);
}

function placeDay(archive: string, content: string, fill: (folder: string) => void): void {
  const final = dayFolder(archive, { content });
  const temporary = `${final}${UNFINISHED}`;
  try {
    mkdirSync(temporary, { recursive: true });
    fill(temporary);
    for (const folder of [...foldersBelow(temporary), temporary]) flushFolder(folder);
    renameSync(temporary, final);
    flushFolder(dirname(final));
  } catch (error) {
    rmSync(temporary, { recursive: true, force: true });
    if (error instanceof FileError || (error as { syscall?: string }).syscall === undefined) throw error;
    throw new FileError(`${final} cannot be written: ${fileReason(error)}`);
  }
}

/** Writes the files of a day below `folder`. */
export function writeFiles(folder: string, files: readonly KeptFile[]): void {
  for (const { path, bytes } of files) writeAtomically(join(folder, ...path.split('/')), [bytes]);
}

function commit(archive: string, days: readonly ArchivedDay[]): void {
  const sorted = [...days].sort((a, b) => compareCodeUnits(a.date, b.date) || compareCodeUnits(a.day, b.day));
  writeAtomically(join(archive, STATE), [`${jsonText({ archive: ARCHIVE_FORMAT, days: sorted })}\n`]);
  flushFolder(archive);
  sweep(archive, sorted);
}

/** Removes folders of days that the list does not name, and files that were being written. Returns how many days. */
function sweep(archive: string, days: readonly ArchivedDay[]): number {
  const named = new Set(days.map((day) => dayFolder(archive, day)));
  const below = join(archive, DAYS);
  const stale = existsSync(below) ? readdirSync(below).map((name) => join(below, name)) : [];
  const gone = stale.filter((folder) => !named.has(folder));
  try {
    for (const folder of gone) rmSync(folder, { recursive: true, force: true });
    for (const name of readdirSync(archive))
      if (name.endsWith(UNFINISHED)) rmSync(join(archive, name), { force: true });
  } catch (error) {
    throw new FileError(`what is no longer of the archive cannot be removed from ${archive}: ${fileReason(error)}`);
  }
  return gone.length;
}

function foldersBelow(folder: string): readonly string[] {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => join(entry.parentPath, entry.name));
}

/** So that a name is there after a power cut, too. Where folders cannot be flushed (Windows) the system does so by itself. */
function flushFolder(folder: string): void {
  let handle: number;
  try {
    handle = openSync(folder, 'r');
  } catch {
    return;
  }
  try {
    fsyncSync(handle);
  } catch {
    // not every file system can
  } finally {
    closeSync(handle);
  }
}
