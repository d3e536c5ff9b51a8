import { existsSync, statSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { decodeText } from '../day/decodeText.ts';
import { pathTrouble } from '../day/patterns.ts';
import { readDay, renderProblemLine } from '../day/readDay.ts';
import { withoutRepair } from '../day/settings.ts';
import { analyseDay, type DayProgress, type DayResult } from '../pipeline/analyseDay.ts';
import type { DayIo } from '../pipeline/io.ts';
import { renderDay } from '../pipeline/renderDay.ts';
import type { RunInput, RunOptions } from '../pipeline/runRecord.ts';
import { FileError, openFile, readSmallFile, sha256Of, sha256OfBytes } from './fileSource.ts';
import { listFiles } from './listing.ts';
import { checkOutputFolder, writeOutput } from './outputFolder.ts';
import { libraryFacts, programFacts } from './packageFacts.ts';

export interface DayRequest extends RunOptions {
  readonly dayFile: string;
  /** Null: `results` beside the day file. */
  readonly out: string | null;
  readonly lab: string | null;
  /** Null: the folder of the day file. */
  readonly data: string | null;
}

export interface DayWatch {
  readonly onNote: (note: string) => void;
  readonly onProgress: (progress: DayProgress) => void;
  readonly onWriting: () => void;
  /** Between trials and between files; an error it throws ends the run. */
  readonly pause: () => Promise<void>;
}

/** Either problems of the day file, one line each (file:line:column: message), nothing then written, or a result and where it was written. */
export type DayRun =
  | { readonly ok: false; readonly problems: readonly string[] }
  | { readonly ok: true; readonly result: DayResult; readonly out: string };

/** From a day file to a written output folder. @throws FileError where files or folders cannot be used */
export async function runDay(request: DayRequest, watch: DayWatch): Promise<DayRun> {
  const dayFile = resolve(request.dayFile);
  const data = resolve(request.data ?? dirname(dayFile));
  const out = resolve(request.out ?? join(dirname(dayFile), 'results'));
  const inputs: RunInput[] = [];
  const small = (path: string, shown: string): Uint8Array => {
    const bytes = readSmallFile(path, shown);
    inputs.push({ path: shown, bytes: bytes.length, sha256: sha256OfBytes(bytes) });
    return bytes;
  };
  const dayName = basename(dayFile);
  if (!existsSync(dayFile))
    throw new FileError(`there is no day file ${request.dayFile}; swingbasis draft FOLDER writes a first one`);
  if (statSync(dayFile).isDirectory())
    throw new FileError(`${request.dayFile} is a folder; name the day file in it, such as day.yaml`);
  const text = decodeText(small(dayFile, dayName)).text;
  const lab =
    request.lab === null
      ? undefined
      : { text: decodeText(small(resolve(request.lab), basename(request.lab))).text, file: request.lab };
  const reading = readDay(text, {
    file: request.dayFile,
    listing: listFiles(data),
    lab,
    trialsCsv: (path) => {
      if (pathTrouble(path) !== null) throw new FileError('it lies outside the data folder');
      return small(join(data, ...path.split('/')), path);
    },
    checkpoints: (path, namedIn) => small(join(dirname(resolve(namedIn)), ...path.split('/')), path),
  });
  for (const note of reading.notes) watch.onNote(note);
  if (reading.plan === null) return { ok: false, problems: reading.problems.map(renderProblemLine) };
  checkOutputFolder(out);
  const sizes = new Map<string, number>();
  const io: DayIo = {
    open(path) {
      const source = openFile(join(data, ...path.split('/')), path);
      sizes.set(path, source.size);
      return source;
    },
    sha256: sha256Of,
    pause: watch.pause,
    program: programFacts(),
    libraries: libraryFacts(),
  };
  const plan = request.repair === false ? withoutRepair(reading.plan) : reading.plan;
  const result = await analyseDay(plan, io, request, watch.onProgress);
  inputs.push(...captureInputs(result, sizes));
  watch.onWriting();
  await writeOutput(out, renderDay(result, inputs, request), watch.pause);
  return { ok: true, result, out };
}

/** Every file of every trial, once: a side-car may serve many recordings. */
function captureInputs(result: DayResult, sizes: ReadonlyMap<string, number>): readonly RunInput[] {
  const inputs = new Map<string, RunInput>();
  for (const { file, files, sha256 } of result.outcomes) {
    for (const one of files ?? [{ path: file, sha256 }]) {
      if ((inputs.get(one.path)?.sha256 ?? '') === '')
        inputs.set(one.path, { ...one, bytes: sizes.get(one.path) ?? 0 });
    }
  }
  return [...inputs.values()].map(({ path, bytes, sha256 }) => ({ path, bytes, sha256 }));
}
