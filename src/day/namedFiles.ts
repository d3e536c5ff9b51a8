import { compareCounted } from '../base/text.ts';
import type { DayFileTrial } from '../model/daySchema.ts';
import type { Place } from './nodes.ts';
import { filesOfPattern, pathTrouble, tidyPath } from './patterns.ts';
import { isYes, type Named, type PlanContext, suggestion } from './planContext.ts';

/**
 * Files of all entries in the order of the day file; a pattern's files with their numbers counted (2 before 10), since that is
 * the order of the swings. An entry by file with `use: no` takes its file out of the patterns and keeps their settings.
 */
export function namedFiles(entries: readonly DayFileTrial[], context: PlanContext): readonly Named[] {
  const out: Named[] = [];
  const byFile = new Map<string, number>();
  const leftOut = new Set<string>();
  for (const entry of entries)
    if (entry.file !== undefined && !isYes(entry.use, true)) leftOut.add(tidyPath(entry.file));
  const settings = new Map<string, DayFileTrial>();
  for (const [index, entry] of entries.entries()) {
    const place = context.place(['trials', index, entry.file === undefined ? 'pattern' : 'file']);
    for (const file of filesOf(entry, place, context)) {
      if (entry.pattern !== undefined && leftOut.has(file)) {
        settings.set(file, entry);
        continue;
      }
      const before = byFile.get(file);
      if (before === undefined) {
        byFile.set(file, index);
        out.push({ file, entry, index });
      } else {
        const line = context.place(['trials', before]).line;
        const message = `${file} is already named in line ${line}; a file belongs to one entry`;
        context.problem(place, 'file-named-twice', message);
      }
    }
  }
  return out.map((named) => {
    const under = settings.get(named.file);
    return under === undefined ? named : { ...named, entry: { ...under, ...named.entry, pattern: undefined } };
  });
}

function filesOf(entry: DayFileTrial, place: Place, context: PlanContext): readonly string[] {
  const path = entry.file ?? entry.pattern ?? '';
  const trouble = pathTrouble(path);
  if (trouble !== null) {
    context.problem(place, 'path-leaves-folder', `${path}: ${trouble}`);
    return [];
  }
  const tidy = tidyPath(path);
  if (entry.file !== undefined) return fileOf(tidy, place, context);
  const files = filesOfPattern(tidy, context.listing);
  if (files.length === 0) {
    const message = `the pattern ${path} matches no file${hintForPattern(tidy, context)}`;
    context.problem(place, 'pattern-matches-nothing', message);
  }
  return [...files].sort(compareCounted);
}

function fileOf(path: string, place: Place, context: PlanContext): readonly string[] {
  if (context.listing.includes(path)) return [path];
  const otherCase = context.listing.find((file) => file.toLowerCase() === path.toLowerCase());
  const near = otherCase === undefined ? suggestion(path, context.listing) : `; did you mean ${otherCase}?`;
  context.problem(place, 'file-not-found', `${path} is not in the data folder${near}`);
  return [];
}

function hintForPattern(pattern: string, context: PlanContext): string {
  const lower = filesOfPattern(
    pattern.toLowerCase(),
    context.listing.map((file) => file.toLowerCase()),
  );
  if (lower.length > 0) return '; letters count as written, capital and small';
  const example = context.listing.find((file) => file.toLowerCase().endsWith('.c3d'));
  return example === undefined
    ? '; the data folder holds no .c3d file'
    : `; the data folder holds ${example}, for example`;
}
