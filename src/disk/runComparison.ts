/** From the folder of a processed day to a written comparison. */
import { existsSync, statSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { decodeText } from '../day/decodeText.ts';
import type { PlayerComparison } from '../model/comparison.ts';
import { type CompareRequest, compareStoredDay, storedView } from '../pipeline/compareStored.ts';
import { renderComparison } from '../pipeline/renderComparison.ts';
import type { RunInput } from '../pipeline/runRecord.ts';
import { readStoredDay, type StoredFiles } from '../pipeline/storedDay.ts';
import { FileError, readSmallFile, sha256OfBytes } from './fileSource.ts';
import { listFiles } from './listing.ts';
import { checkOutputFolder, writeOutput } from './outputFolder.ts';
import { libraryFacts, programFacts } from './packageFacts.ts';

export interface DayComparisonRequest extends CompareRequest {
  readonly folder: string;
  /** Null: `comparison` beside the folder. */
  readonly out: string | null;
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
    options: { of: request.named?.of ?? null, against: request.named?.against ?? null, player: request.player },
    inputs,
  };
  await writeOutput(out, renderComparison(comparisons, storedView(day, comparisons, program), run), pause, 'compare');
  return { comparisons, out, problems };
}

function storedFiles(folder: string, shown: string, inputs: RunInput[]): StoredFiles {
  if (!existsSync(folder)) throw new FileError(`there is no folder ${shown}; name one that process wrote`);
  if (!statSync(folder).isDirectory()) throw new FileError(`${shown} is a file; name the folder that process wrote`);
  const trials = join(folder, 'trials');
  const records = existsSync(trials) ? listFiles(trials).filter((path) => path.endsWith('.json')) : [];
  return {
    name: shown,
    records: records.map((path) => `trials/${path}`),
    read(path: string): string {
      const bytes = readSmallFile(join(folder, ...path.split('/')), path);
      inputs.push({ path: `${basename(folder)}/${path}`, bytes: bytes.length, sha256: sha256OfBytes(bytes) });
      return decodeText(bytes).text;
    },
  };
}
