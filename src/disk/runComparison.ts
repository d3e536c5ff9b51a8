/** From folders of processed days to a written comparison. */
import { existsSync, statSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { decodeText } from '../day/decodeText.ts';
import type { PlayerComparison } from '../model/comparison.ts';
import { type CompareRequest, compareStoredDay, storedView } from '../pipeline/compareStored.ts';
import { renderComparison } from '../pipeline/renderComparison.ts';
import type { RunInput } from '../pipeline/runRecord.ts';
import { readStoredDay, type StoredDay } from '../pipeline/storedDay.ts';
import { FileError, readSmallFile, sha256OfBytes } from './fileSource.ts';
import { listFiles } from './listing.ts';
import { checkOutputFolder, writeOutput } from './outputFolder.ts';
import { libraryFacts, programFacts } from './packageFacts.ts';

export interface DaysRequest extends CompareRequest {
  readonly folders: readonly string[];
  /** Null: `comparison` beside the first folder. */
  readonly out: string | null;
}

export interface DaysRun {
  readonly comparisons: readonly PlayerComparison[];
  readonly out: string;
  /** What could not be used, one line each. */
  readonly problems: readonly string[];
}

/**
 * Reads the days, compares and writes. @throws FileError where nothing can be read or written
 * @throws RangeError with a sentence for the user where a name stands for nothing
 */
export async function runDays(request: DaysRequest, pause: () => Promise<void>): Promise<DaysRun> {
  const folders = request.folders.map((folder) => resolve(folder));
  const out = resolve(request.out ?? join(dirname(folders[0]!), 'comparison'));
  if (folders.includes(out)) throw new FileError(`${out} is a folder that is read; name another with --out`);
  const inputs: RunInput[] = [];
  const problems: string[] = [];
  const days: { readonly day: StoredDay; readonly folder: string }[] = [];
  const names = shownNames(folders);
  for (const [index, folder] of folders.entries()) {
    await pause();
    const reading = readStoredDay(storedFiles(folder, request.folders[index]!, names[index]!, inputs));
    problems.push(...reading.problems);
    if (reading.day !== null) days.push({ day: reading.day, folder: names[index]! });
  }
  if (days.length === 0) throw new FileError(problems.join('\n'));
  checkOutputFolder(out, 'compare');
  const { day } = days[0]!;
  const comparisons = compareStoredDay(day, request);
  const program = programFacts();
  const run = {
    program,
    libraries: libraryFacts(),
    days: days.map((one) => ({ folder: one.folder, day: one.day.day, date: one.day.date })),
    options: { of: request.named?.of ?? null, against: request.named?.against ?? null, player: request.player },
    inputs,
  };
  await writeOutput(out, renderComparison(comparisons, storedView(day, comparisons, program), run), pause, 'compare');
  return { comparisons, out, problems };
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

function storedFiles(folder: string, shown: string, name: string, inputs: RunInput[]) {
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
