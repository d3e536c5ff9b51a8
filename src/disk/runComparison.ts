/** From folders of processed days to a written comparison. */
import { existsSync, statSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { decodeText } from '../day/decodeText.ts';
import type { PlayerComparison } from '../model/comparison.ts';
import { inAskedLanguage, type Language } from '../model/reportSettings.ts';
import { compareStoredDays, type SessionRequest, type SessionResult } from '../pipeline/compareSessions.ts';
import { type CompareRequest, compareStoredDay, storedView } from '../pipeline/compareStored.ts';
import { renderComparison } from '../pipeline/renderComparison.ts';
import { renderSessions } from '../pipeline/renderSessions.ts';
import { orderCheckNote, type RunInput } from '../pipeline/runRecord.ts';
import { readStoredDay, type StoredDay, type StoredFiles } from '../pipeline/storedDay.ts';
import type { TableFormat } from '../tables/formats.ts';
import { FileError, readSmallFile, sha256OfBytes } from './fileSource.ts';
import { listFiles } from './listing.ts';
import { checkOutputFolder, writeOutput } from './outputFolder.ts';
import { libraryFacts, programFacts } from './packageFacts.ts';

export interface DayComparisonRequest extends CompareRequest {
  readonly folder: string;
  /** Null: `comparison` beside the folder. */
  readonly out: string | null;
  /** True: each panel of the sheets as a file of its own. */
  readonly figures: boolean;
  /** Language of the report; absent: as the day was written. */
  readonly language?: Language;
  /** Formats of the tables; CSV is always written. */
  readonly tables: readonly TableFormat[];
}

export interface ComparisonRun {
  readonly comparisons: readonly PlayerComparison[];
  readonly out: string;
  /** What could not be used, one line each. */
  readonly problems: readonly string[];
}

/** Reads the day, compares and writes. @throws FileError where nothing can be read or written @throws SelectionError */
export async function compareDay(request: DayComparisonRequest, pause: () => Promise<void>): Promise<ComparisonRun> {
  const folder = resolve(request.folder);
  const out = resolve(request.out ?? join(dirname(folder), 'comparison'));
  if (folder === out) throw new FileError(`${request.folder} is the folder that is read; name another with --out`);
  const inputs: RunInput[] = [];
  const { day, problems } = readStoredDay(storedFiles(folder, request.folder, inputs));
  if (day === null) throw new FileError(problems.join('\n'));
  checkOutputFolder(out, 'compare');
  await pause();
  const comparisons = compareStoredDay(day, request);
  const program = programFacts();
  const run = {
    program,
    libraries: libraryFacts(),
    days: [{ folder: basename(folder), day: day.day, date: day.date }],
    options: {
      of: request.named?.of ?? null,
      against: request.named?.against ?? null,
      player: request.player,
      ...(request.figures ? { figures: true } : {}),
      ...orderCheckNote(request.orderCheck),
      ...languageNote(request.language),
    },
    inputs,
    tables: request.tables,
  };
  await writeOutput(
    out,
    renderComparison(comparisons, storedView(inLanguage(day, request.language), comparisons, program), run),
    pause,
    'compare',
  );
  return { comparisons, out, problems };
}

export interface SessionsRequest extends SessionRequest {
  /** Language of the report; absent: as the folder named last was written. */
  readonly language?: Language;
  readonly folders: readonly string[];
  /** Null: `comparison` beside the first folder. */
  readonly out: string | null;
  /** Formats of the tables; CSV is always written. */
  readonly tables: readonly TableFormat[];
}

export interface SessionsRun {
  readonly result: SessionResult;
  readonly out: string;
  readonly problems: readonly string[];
}

/** Reads several days, compares the later ones with the first and writes. @throws FileError @throws SelectionError */
export async function compareDays(request: SessionsRequest, pause: () => Promise<void>): Promise<SessionsRun> {
  const folders = request.folders.map((folder) => resolve(folder));
  const out = resolve(request.out ?? join(dirname(folders[0]!), 'comparison'));
  if (folders.includes(out)) throw new FileError(`${out} is a folder that is read; name another with --out`);
  const twice = folders.findIndex((folder, index) => folders.indexOf(folder) < index);
  if (twice >= 0) throw new FileError(`${request.folders[twice]} is named twice`);
  const inputs: RunInput[] = [];
  const problems: string[] = [];
  const days: StoredDay[] = [];
  const names = shownNames(folders);
  for (const [index, folder] of folders.entries()) {
    await pause();
    const reading = readStoredDay(storedFiles(folder, request.folders[index]!, inputs, names[index]!));
    if (reading.day === null) throw new FileError(reading.problems.join('\n'));
    problems.push(...reading.problems);
    days.push(reading.day);
  }
  checkOutputFolder(out, 'compare');
  const result = compareStoredDays(days, request);
  const run = {
    program: programFacts(),
    libraries: libraryFacts(),
    days: days.map(({ day, date, version }, index) => ({ folder: names[index]!, day, date, version })),
    options: {
      of: request.named?.of ?? null,
      against: request.named?.against ?? null,
      player: request.player,
      reapplication: request.reapplication,
      ...languageNote(request.language),
    },
    inputs,
    tables: request.tables,
  };
  await writeOutput(
    out,
    renderSessions(result, run, inLanguage(days[days.length - 1]!, request.language).report),
    pause,
    'compare',
  );
  return { result, out, problems };
}

/** The day in the language asked for. */
function inLanguage(day: StoredDay, language: Language | undefined): StoredDay {
  const report = inAskedLanguage(day.report, language);
  return report === undefined ? day : { ...day, report };
}

/** What run.json says of a language asked for. */
export function languageNote(language: Language | undefined): { readonly language?: Language } {
  return language === undefined ? {} : { language };
}

/** Last names of the folders, told apart by a number where they are the same: `results`, `results-2`. */
function shownNames(folders: readonly string[]): readonly string[] {
  const seen = new Map<string, number>();
  return folders.map((folder) => {
    const name = basename(folder);
    const count = (seen.get(name) ?? 0) + 1;
    seen.set(name, count);
    return count === 1 ? name : `${name}-${count}`;
  });
}

/** The files of a folder that process wrote; each that is read is added to `inputs`. @throws FileError */
export function storedFiles(folder: string, shown: string, inputs: RunInput[], name = basename(folder)): StoredFiles {
  if (!existsSync(folder)) throw new FileError(`there is no folder ${shown}; name one that process wrote`);
  if (!statSync(folder).isDirectory()) throw new FileError(`${shown} is a file; name the folder that process wrote`);
  const trials = join(folder, 'trials');
  const records = existsSync(trials) ? listFiles(trials).filter((path) => path.endsWith('.json')) : [];
  return {
    name: shown,
    records: records.map((path) => `trials/${path}`),
    read(path: string): string {
      const bytes = readSmallFile(join(folder, ...path.split('/')), path);
      inputs.push({ path: `${name}/${path}`, bytes: bytes.length, sha256: sha256OfBytes(bytes) });
      return decodeText(bytes).text;
    },
  };
}
