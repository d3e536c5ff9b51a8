import { compareCounted } from '../base/text.ts';
import type { DayFileTrial } from '../model/daySchema.ts';
import type { Place } from './nodes.ts';
import { filesOfPattern, foldersOfPattern, matchesPattern, pathTrouble, tidyPath } from './patterns.ts';
import { isYes, type Named, type PlanContext, suggestion } from './planContext.ts';
import {
  filesOfTrial,
  foldersOf,
  isFolder,
  isMotionFile,
  isSidecarName,
  isTableName,
  tablesIn,
} from './sensorFiles.ts';

/**
 * Files of all entries in the order of the day file; a pattern's files with their numbers counted (2 before 10), since that is
 * the order of the swings. An entry by file with `use: no` or `gate` takes its file out of the patterns and keeps their settings; one that is used keeps its place among the swings too.
 */
export function namedFiles(entries: readonly DayFileTrial[], context: PlanContext): readonly Named[] {
  const found: (Named & { readonly place: number })[] = [];
  const byFile = new Map<string, number>();
  const alone = new Map<string, DayFileTrial>();
  for (const entry of entries)
    if (entry.file !== undefined && standsAlone(entry)) alone.set(tidyPath(entry.file), entry);
  const settings = new Map<string, { readonly entry: DayFileTrial; readonly place: number }>();
  let seen = 0;
  for (const [index, entry] of entries.entries()) {
    const place = context.place(['trials', index, entry.file === undefined ? 'pattern' : 'file']);
    for (const file of filesOf(entry, place, context)) {
      seen += 1;
      if (entry.pattern !== undefined && alone.has(file)) {
        settings.set(file, { entry, place: seen });
        continue;
      }
      const files = filesOfTrial(file, context.listing);
      // side-cars may serve many recordings
      const own = isFolder(file) ? [file, ...files.filter((path) => !isSidecarName(path))] : [file];
      const twice = own.find((path) => byFile.has(path));
      if (twice === undefined) {
        for (const path of own) byFile.set(path, index);
        found.push({ file, files, entry, index, place: seen });
      } else {
        const line = context.place(['trials', byFile.get(twice)!]).line;
        const message = `${twice} is already named in line ${line}; a file belongs to one entry`;
        context.problem(place, 'file-named-twice', message);
      }
    }
  }
  return found
    .map(({ place, ...named }) => {
      const under = settings.get(named.file);
      if (under === undefined) return { named, place };
      const entry = { ...under.entry, ...named.entry, pattern: undefined };
      return { named: { ...named, entry }, place: isYes(named.entry.use, true) ? under.place : place };
    })
    .sort((a, b) => a.place - b.place)
    .map(({ named }) => named);
}

/** Entries by file that take their file out of the patterns: what they say is of this file alone. */
function standsAlone(entry: DayFileTrial): boolean {
  return !isYes(entry.use, true) || entry.gate !== undefined;
}

function filesOf(entry: DayFileTrial, place: Place, context: PlanContext): readonly string[] {
  const path = entry.file ?? entry.pattern ?? '';
  const trouble = pathTrouble(path);
  if (trouble !== null) {
    context.problem(place, 'path-leaves-folder', `${path}: ${trouble}`);
    return [];
  }
  const tidy = tidyPath(path);
  if (entry.file !== undefined)
    return isFolder(tidy) ? folderNamed(tidy, place, context) : fileOf(tidy, place, context);
  const files = isFolder(tidy) ? foldersMeant(tidy, context) : filesMeant(tidy, context);
  if (files.length === 0) {
    const what = isFolder(tidy) ? 'no folder with tables of sensors' : 'no file';
    const message = `the pattern ${path} matches ${what}${hintForPattern(tidy, context)}`;
    context.problem(place, 'pattern-matches-nothing', message);
  }
  return [...files].sort(compareCounted);
}

/** Side-cars of Motion-BIDS recordings are no trials of their own, unless the pattern asks for nothing else. */
function filesMeant(pattern: string, { listing }: PlanContext): readonly string[] {
  const files = filesOfPattern(pattern, listing);
  return files.some(isMotionFile) ? files.filter((path) => isMotionFile(path) || !isSidecarName(path)) : files;
}

function foldersMeant(pattern: string, { listing }: PlanContext): readonly string[] {
  return foldersOfPattern(pattern, foldersOf(listing)).filter((folder) => tablesIn(folder, listing).length > 0);
}

function folderNamed(folder: string, place: Place, context: PlanContext): readonly string[] {
  const folders = foldersOf(context.listing);
  const tables = tablesIn(folder, context.listing);
  const motions = tables.filter(isMotionFile);
  if (motions.length > 1 || (motions.length === 1 && tables.length > 1)) {
    const wayOut = `name each by its file, such as ${motions[0]}, or by a pattern`;
    context.problem(place, 'folder-not-clear', `${folder} holds more than one recording; ${wayOut}`);
    return [];
  }
  if (tables.length > 0) return [folder];
  if (folders.includes(folder)) {
    const wayOut = 'C3D files are named one by one or by a pattern';
    const message = `the folder ${folder} holds no table of sensors (.csv, .tsv, .txt); ${wayOut}`;
    context.problem(place, 'folder-without-tables', message);
  } else context.problem(place, 'file-not-found', `${folder} is not in the data folder${nearPath(folder, folders)}`);
  return [];
}

function fileOf(path: string, place: Place, context: PlanContext): readonly string[] {
  if (context.listing.includes(path)) return [path];
  const isAFolder = tablesIn(`${path}/`, context.listing).length > 0;
  const near = isAFolder
    ? `; it is a folder: write ${path}/ where it holds one table per sensor`
    : nearPath(path, context.listing);
  context.problem(place, 'file-not-found', `${path} is not in the data folder${near}`);
  return [];
}

function nearPath(path: string, list: readonly string[]): string {
  const otherCase = list.find((file) => file.toLowerCase() === path.toLowerCase());
  return otherCase === undefined ? suggestion(path, list) : `; did you mean ${otherCase}?`;
}

function hintForPattern(pattern: string, context: PlanContext): string {
  const lower = context.listing.map((file) => file.toLowerCase());
  const small = pattern.toLowerCase();
  const meant = isFolder(pattern)
    ? foldersOfPattern(small, foldersOf(lower)).filter((folder) => tablesIn(folder, lower).length > 0)
    : filesOfPattern(small, lower);
  if (meant.length > 0) return '; letters count as written, capital and small';
  if (isFolder(pattern)) return '';
  const table = context.listing.find((file) => isTableName(file) && matchesPattern(pattern, file));
  if (table !== undefined) {
    const dot = table.lastIndexOf('.');
    return `; tables of sensors are meant by a pattern with their extension, such as ${pattern}${table.slice(dot)}`;
  }
  const example = context.listing.find((file) => file.toLowerCase().endsWith('.c3d'));
  return example === undefined
    ? '; the data folder holds no .c3d file'
    : `; the data folder holds ${example}, for example`;
}
