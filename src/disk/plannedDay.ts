/** A day file and what it names on disk, read and checked: everything a run needs before the first trial is opened. */
import { existsSync, statSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { decodeText } from '../day/decodeText.ts';
import { pathTrouble } from '../day/patterns.ts';
import { readDay, renderProblemLine } from '../day/readDay.ts';
import type { DayPlan } from '../model/dayPlan.ts';
import type { DayIo } from '../pipeline/io.ts';
import type { RunInput, RunOptions } from '../pipeline/runRecord.ts';
import { FileError, openFile, readSmallFile, sha256Of, sha256OfBytes } from './fileSource.ts';
import { listFiles } from './listing.ts';
import { libraryFacts, programFacts } from './packageFacts.ts';

/** Where a day lies. */
export interface DayPlace {
  readonly dayFile: string;
  readonly lab: string | null;
  /** Null: the folder of the day file. */
  readonly data: string | null;
}

export interface DayRequest extends RunOptions, DayPlace {
  /** Null: `results` beside the day file. */
  readonly out: string | null;
}

export interface PlannedDay {
  readonly plan: DayPlan;
  /** Day file, lab file and tables: what was read so far. */
  readonly inputs: readonly RunInput[];
  readonly data: string;
  /** Of a day that is not captured to its end: what is named and not there yet, one line each. */
  readonly waiting: readonly string[];
}

/** Either problems of the day file, one line each (file:line:column: message), or a day that can be run. */
export type DayPlanning =
  | { readonly ok: false; readonly problems: readonly string[] }
  | ({ readonly ok: true } & PlannedDay);

/** Reads the day file; `unfinished`: files that are not there yet are no problem. @throws FileError where files or folders cannot be used */
export function planDay(request: DayPlace, onNote: (note: string) => void, unfinished = false): DayPlanning {
  const dayFile = resolve(request.dayFile);
  const data = resolve(request.data ?? dirname(dayFile));
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
    unfinished,
    trialsCsv: (path) => {
      if (pathTrouble(path) !== null) throw new FileError('it lies outside the data folder');
      return small(join(data, ...path.split('/')), path);
    },
    checkpoints: (path, namedIn) => small(join(dirname(resolve(namedIn)), ...path.split('/')), path),
  });
  for (const note of reading.notes) onNote(note);
  if (reading.plan === null) return { ok: false, problems: reading.problems.map(renderProblemLine) };
  return { ok: true, plan: reading.plan, inputs, data, waiting: reading.waiting.map(renderProblemLine) };
}

/** The disk and the program as the pipeline borrows them. */
export function dayIo(data: string, control: Pick<DayIo, 'pause' | 'stopped'>): DayIo {
  return {
    open: (path) => openFile(join(data, ...path.split('/')), path),
    sha256: sha256Of,
    ...control,
    program: programFacts(),
    libraries: libraryFacts(),
  };
}
