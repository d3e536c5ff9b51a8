/** Results of trials on disk, under the checksum of all that they rest on: a run takes over what an earlier one did. */
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { deserialize, serialize } from 'node:v8';
import { writeAtomically } from '../disk/atomicWrite.ts';
import { FileError } from '../disk/fileSource.ts';
import type { TrialPlan } from '../model/dayPlan.ts';
import type { SwingRecord, TrialOutcome } from '../model/swingRecord.ts';
import type { SeriesOf, SwingSeries } from '../model/swingSeries.ts';
import type { FileSum } from '../pipeline/recordings.ts';
import type { PartialShelf } from '../pipeline/swingBrief.ts';
import type { TaskDone, TrialMemory, TrialTask } from '../pipeline/trialTask.ts';
import { type PackedCells, packCells, unpackCells } from './packedCells.ts';
import { taskKey } from './taskKey.ts';

/** Below an output folder. It may be deleted at any time: what was there is analysed again. */
export const STORE_FOLDER = '.store';
const RESULTS = 'results';
const MARK = 'swingbasis result 1\n';
const SERIES_MARK = 'swingbasis series 1\n';

export interface StorePlace {
  /** The output folder. */
  readonly out: string;
  /** Checksum of the program: results of another one are not taken over. */
  readonly program: string;
}

/** What a store tells beside its results. */
export interface StoreNotes {
  /** An entry that cannot be used, or a result that could not be kept; one sentence each. */
  readonly onNote: (note: string) => void;
  /** Of every result taken over or kept. */
  readonly onKey?: (trial: string, key: string) => void;
}

/** Bytes of a finished task, as they are stored and sent between threads; every number comes back as it was. */
export function encodeDone(done: TaskDone): Uint8Array {
  const { outcome, basis } = done;
  const { record } = outcome;
  const cells = record === null ? null : packCells(record.cells);
  if (record === null || cells === null) return serialize(done);
  return serialize({ outcome: { ...outcome, record: { ...record, cells } }, basis });
}

export function decodeDone(bytes: Uint8Array): TaskDone {
  const done = deserialize(bytes) as TaskDone;
  const { record } = done.outcome;
  if (record === null || Array.isArray(record.cells)) return done;
  const cells = unpackCells(record.cells as unknown as PackedCells);
  return { ...done, outcome: { ...done.outcome, record: { ...record, cells } } };
}

/**
 * The memory of one output folder. Entries appear whole or not at all and carry the checksum of their own bytes: one that is damaged is
 * passed over with a note. A result that cannot be kept costs a note, not the trial. Several processes may write at once.
 */
export function createResultStore(
  place: StorePlace,
  { onNote, onKey = () => {} }: StoreNotes,
): TrialMemory & { readonly shelf: StoreShelf } {
  const shelf = new StoreShelf(place);
  // between being looked for and being kept a task does not change
  let looked: { readonly task: TrialTask; readonly files: readonly FileSum[]; readonly key: string } | null = null;
  const keyOf = (task: TrialTask, files: readonly FileSum[]): string =>
    looked !== null && looked.task === task && looked.files === files
      ? looked.key
      : taskKey(place.program, task, files);
  return {
    shelf,
    recall(task, files) {
      const key = taskKey(place.program, task, files);
      looked = { task, files, key };
      const found = readResult(place, key, onNote);
      if (found === null) return null;
      const isWhole = task.series !== true || found.outcome.record === null || readSeries(place, key, onNote) !== null;
      if (!isWhole) return null;
      shelf.add(task.trial, key);
      onKey(task.trial.id, key);
      return inPlace(found, task.trial.order);
    },
    keep(task, files, done, series) {
      const key = keyOf(task, files);
      looked = null;
      try {
        if (series !== null) writeEntry(seriesPath(place, key), SERIES_MARK, serialize(series));
        writeEntry(entryPath(place, key), MARK, encodeDone(done));
        shelf.add(task.trial, key);
        onKey(task.trial.id, key);
      } catch (error) {
        const { message } = error as Error;
        onNote(
          `results cannot be kept in ${place.out} for later runs: ${message.slice(message.lastIndexOf(': ') + 2)}`,
        );
      }
    },
  };
}

/** Records of a run where the store has them; each is read anew and none is held. */
export class StoreShelf implements PartialShelf {
  readonly #place: StorePlace;
  readonly #entries = new Map<string, { readonly key: string; readonly order: number }>();

  constructor(place: StorePlace) {
    this.#place = place;
  }

  add({ id, order }: Pick<TrialPlan, 'id' | 'order'>, key: string): void {
    this.#entries.set(id, { key, order });
  }

  holds(trial: string): boolean {
    return this.#entries.has(trial);
  }

  /** Under which key, and in which place of the day. */
  entry(trial: string): { readonly key: string; readonly order: number } | undefined {
    return this.#entries.get(trial);
  }

  /** @throws FileError where the entry was removed or damaged since this run wrote or checked it */
  get(trial: string): SwingRecord {
    const entry = this.#entries.get(trial);
    let why = 'it is not there';
    const done =
      entry === undefined
        ? null
        : readResult(this.#place, entry.key, (note) => {
            why = note;
          });
    const record = done === null ? null : inPlace(done, entry!.order).outcome.record;
    if (record !== null) return record;
    const { out } = this.#place;
    throw new FileError(
      `the result of ${trial} in ${join(out, STORE_FOLDER)} was removed or damaged during the run (${why}); process the day again`,
    );
  }
}

function entryPath({ out, program }: StorePlace, key: string): string {
  return join(out, STORE_FOLDER, RESULTS, program.slice(0, 16), key.slice(0, 2), key);
}

/** Beside the result: it is far larger and seldom wanted. */
function seriesPath(place: StorePlace, key: string): string {
  return `${entryPath(place, key)}.series`;
}

/** Writes bytes under a mark and their own checksum, whole or not at all. @throws FileError */
export function writeEntry(path: string, mark: string, body: Uint8Array): void {
  writeAtomically(path, [`${mark}${sumOf(body)}\n`, body], { flush: false });
}

/** The bytes of an entry; null where it is damaged. Throws what the disk throws. */
export function readEntry(path: string, mark: string): Uint8Array | null {
  const bytes = readFileSync(path);
  const head = mark.length + 64 + 1;
  const body = bytes.subarray(head);
  return bytes.toString('latin1', 0, head) === `${mark}${sumOf(body)}\n` ? body : null;
}

function sumOf(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}

/** The result under a key; null where there is none that is whole. */
export function readResult(place: StorePlace, key: string, onNote: (note: string) => void): TaskDone | null {
  return readWhole(entryPath(place, key), MARK, decodeDone, onNote);
}

/** The swing at every frame that was kept beside the result under a key; null where there is none that is whole. */
export function readSeries(place: StorePlace, key: string, onNote: (note: string) => void): SwingSeries | null {
  return readWhole(seriesPath(place, key), SERIES_MARK, (bytes) => deserialize(bytes) as SwingSeries, onNote);
}

/** Swings at every frame as the store has them, by trial id; a trial whose are not there costs a note. */
export function storedSeries(
  place: StorePlace,
  keys: ReadonlyMap<string, string>,
  onNote: (note: string) => void,
): SeriesOf {
  return (trial) => {
    const key = keys.get(trial);
    const series = key === undefined ? null : readSeries(place, key, onNote);
    if (series === null) onNote(`${trial} is missing in what is made of whole swings: its frames are not in the store`);
    return series;
  };
}

function readWhole<T>(
  path: string,
  mark: string,
  decode: (bytes: Uint8Array) => T,
  onNote: (note: string) => void,
): T | null {
  try {
    // most often there is none, and an error costs more than a look
    if (!existsSync(path)) return null;
    const body = readEntry(path, mark);
    if (body !== null) return decode(body);
    onNote(`${path} is damaged; its trial is analysed again`);
  } catch (error) {
    const { code, message } = error as { code?: string; message: string };
    if (code !== 'ENOENT') onNote(`${path} cannot be used (${message}); its trial is analysed again`);
  }
  return null;
}

/** A result with the trial's place in this day, which is no part of its key. */
export function inPlace({ outcome, basis }: TaskDone, order: number): TaskDone {
  const { record, head, still } = outcome;
  const placed = <T extends { readonly head: { readonly order: number } }>(one: T): T => ({
    ...one,
    head: { ...one.head, order },
  });
  const moved: TrialOutcome = {
    ...outcome,
    ...(head == null ? {} : { head: { ...head, order } }),
    record: record === null ? null : placed(record),
    ...(still == null ? {} : { still: placed(still) }),
  };
  return { outcome: moved, basis };
}

/** Removes what other versions of the program left. */
export function removeOtherPrograms({ out, program }: StorePlace): void {
  const folder = join(out, STORE_FOLDER, RESULTS);
  if (!existsSync(folder)) return;
  for (const name of readdirSync(folder)) {
    if (name !== program.slice(0, 16)) rmSync(join(folder, name), { recursive: true, force: true });
  }
}
