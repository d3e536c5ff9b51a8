/** Which files on disk one path names: a table of sensors, a folder with one table per sensor, a Motion-BIDS recording with its side-cars. */
import { readdirSync, statSync } from 'node:fs';
import { basename, dirname, join, relative, resolve } from 'node:path';
import { compareCodeUnits } from '../base/text.ts';
import { filesOfTrial, isMotionFile, isTableName, tablesIn } from '../day/sensorFiles.ts';
import type { NamedBytes } from '../imu/types.ts';
import { FileError, fileReason, readSmallFile } from './fileSource.ts';

/** One recording of sensors; its tables are read whole. */
export interface TablesOnDisk {
  /** As the user named it; of a folder with Motion-BIDS recordings the file of one. */
  readonly name: string;
  /** @throws FileError */
  readonly read: () => readonly NamedBytes[];
}

/** The recordings that a path names; null where it is neither a table by its name nor a folder. @throws FileError for a folder without tables */
export function tablesOnDisk(path: string): readonly TablesOnDisk[] | null {
  if (statSync(path, { throwIfNoEntry: false })?.isDirectory()) return folderOnDisk(path);
  if (!isTableName(path)) return null;
  return [{ name: path, read: () => (isMotionFile(path) ? readMotion(path) : [named(path, path)]) }];
}

function folderOnDisk(folder: string): readonly TablesOnDisk[] {
  const tables = tablesIn('', namesIn(folder)).map((name) => join(folder, name));
  const motion = tables.filter(isMotionFile);
  if (motion.length > 0) return motion.map((path) => ({ name: path, read: () => readMotion(path) }));
  if (tables.length === 0) {
    throw new FileError(`${folder} holds no table of sensors (.csv, .tsv, .txt); name its files one by one`);
  }
  return [{ name: folder, read: () => tables.map((path) => named(path, path)) }];
}

/** Folders of the standard's tree, whose parent may hold side-cars too. */
const BIDS_FOLDER = /^(?:motion|ses-[^/]*|sub-[^/]*)$/i;

function readMotion(path: string): readonly NamedBytes[] {
  const full = resolve(path);
  const folders = [dirname(full)];
  while (BIDS_FOLDER.test(basename(folders[0]!))) folders.unshift(dirname(folders[0]!));
  const root = folders[0]!;
  const below = (file: string): string => relative(root, file).replaceAll('\\', '/');
  const listing = folders.flatMap((folder) => namesIn(folder).map((name) => below(join(folder, name))));
  return filesOfTrial(below(full), listing).map((file) => named(join(root, file), file));
}

function namesIn(folder: string): readonly string[] {
  try {
    return readdirSync(folder).sort(compareCodeUnits);
  } catch (error) {
    throw new FileError(`the folder ${folder} cannot be listed: ${fileReason(error)}`);
  }
}

function named(path: string, shown: string): NamedBytes {
  return { path: shown, bytes: readSmallFile(path, shown) };
}
