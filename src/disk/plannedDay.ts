/** A day file and what it names on disk, read and checked: everything a run needs before the first trial is opened. */
import { existsSync, statSync } from 'node:fs';
import { basename, dirname, join, resolve, sep } from 'node:path';
import { decodeText } from '../day/decodeText.ts';
import { pathTrouble } from '../day/patterns.ts';
import { readDay, renderProblemLine } from '../day/readDay.ts';
import { withoutRepair } from '../day/settings.ts';
import type { DayPlan } from '../model/dayPlan.ts';
import { inAskedLanguage, type Language } from '../model/reportSettings.ts';
import type { DayOutcome } from '../model/swingRecord.ts';
import type { DayIo } from '../pipeline/io.ts';
import type { RunInput, RunOptions } from '../pipeline/runRecord.ts';
import { FileError, openBelow, readSmallFile, sha256Of, sha256OfBytes } from './fileSource.ts';
import { listFiles } from './listing.ts';
import { libraryFacts, programFacts } from './packageFacts.ts';

/** Where a day lies. */
export interface DayPlace {
  readonly dayFile: string;
  readonly lab: string | null;
  /** Null: the folder of the day file. */
  readonly data: string | null;
  /** The files of the data folder that count, as `listFiles` gives them; absent: all that are there. */
  readonly listing?: readonly string[];
}

export interface DayRequest extends RunOptions, DayPlace {
  /** Language of the report; absent: as the day file says. */
  readonly language?: Language;
  /** Null: `results` beside the day file. */
  readonly out: string | null;
  /** True of a day that is not captured to its end: what is named and not there yet is no problem. */
  readonly unfinished?: boolean;
}

export interface PlannedDay {
  readonly plan: DayPlan;
  /** Day file, lab file and tables: what was read so far. */
  readonly inputs: readonly RunInput[];
  readonly data: string;
  /** The files below the data folder that were looked at, `/` between folders. */
  readonly listing: readonly string[];
  /** Of a day that is not captured to its end: what is named and not there yet, one line each. */
  readonly waiting: readonly string[];
}

/** A day that is to be written. */
export interface PlannedRun extends PlannedDay {
  readonly out: string;
}

/** Either problems of the day file, one line each (file:line:column: message), or a day that can be run. */
export type Planning<T> = { readonly ok: false; readonly problems: readonly string[] } | ({ readonly ok: true } & T);

/**
 * Reads the day file; `unfinished`: files that are not there yet are no problem; files of the folder `except` are none of the day's.
 * @throws FileError where files or folders cannot be used
 */
export function planDay(
  request: DayPlace,
  onNote: (note: string) => void,
  unfinished = false,
  except: string | null = null,
): Planning<PlannedDay> {
  const dayFile = resolve(request.dayFile);
  const data = dataOf(request);
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
  const listing = request.listing ?? listFiles(data).filter((path) => !isBelow(join(data, path), except));
  const reading = readDay(text, {
    file: request.dayFile,
    listing,
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
  return { ok: true, plan: reading.plan, inputs, data, listing, waiting: reading.waiting.map(renderProblemLine) };
}

function isBelow(path: string, folder: string | null): boolean {
  return folder !== null && path.startsWith(`${folder}${sep}`);
}

/** The folder in which the paths of a day's trials start, as a full path. */
export function dataOf({ data, dayFile }: DayPlace): string {
  return resolve(data ?? dirname(resolve(dayFile)));
}

/** The folder that a day is written to, as a full path. */
export function outputOf(request: DayRequest): string {
  return resolve(request.out ?? join(dirname(resolve(request.dayFile)), 'results'));
}

/** Reads the day file of a day that is to be written, as the request has it. @throws FileError where files or folders cannot be used */
export function planRun(request: DayRequest, onNote: (note: string) => void): Planning<PlannedRun> {
  const out = outputOf(request);
  const day = planDay(request, onNote, request.unfinished === true, out);
  if (!day.ok) return day;
  const asked = request.repair === false ? withoutRepair(day.plan) : day.plan;
  const report = inAskedLanguage(asked.report, request.language);
  const plan = report === undefined ? asked : { ...asked, report };
  return { ...day, plan, out };
}

/** The disk and the program as the pipeline borrows them. */
export function dayIo(data: string, control: Pick<DayIo, 'pause' | 'stopped'>): DayIo {
  return {
    open: (path) => openBelow(data, path),
    sha256: sha256Of,
    ...control,
    program: programFacts(),
    libraries: libraryFacts(),
  };
}

/** Every file of every trial, once: a side-car may serve many recordings. */
export function captureInputs(outcomes: readonly DayOutcome[]): readonly RunInput[] {
  const inputs = new Map<string, RunInput>();
  for (const { file, files, sha256 } of outcomes) {
    for (const one of files ?? [{ path: file, sha256 }]) {
      if ((inputs.get(one.path)?.sha256 ?? '') === '') inputs.set(one.path, { bytes: 0, ...one });
    }
  }
  return [...inputs.values()].map(({ path, bytes, sha256 }) => ({ path, bytes, sha256 }));
}
