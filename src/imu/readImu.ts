/** Files of one recording → ImuRecording: tables of sensors as delimited text, or Motion-BIDS, told apart by their names. */

import { FormatError } from '../base/errors.ts';
import { isBidsPath, isBidsRecording } from './bidsFiles.ts';
import { baseName, readDelimited } from './delimited.ts';
import { fail, Notes } from './diagnosticCodes.ts';
import { readMotionBids } from './motionBids.ts';
import type { ImuRecording, NamedBytes, SensorTable } from './types.ts';

export type { NamedBytes } from './types.ts';

/** Whether a file may be a table of sensors, by its name: .csv, .tsv or .txt. */
export function isImuName(path: string): boolean {
  return /\.(?:csv|tsv|txt)$/i.test(path);
}

/**
 * Reads the files of one recording: one table of all sensors, one table per sensor, or one Motion-BIDS recording with its side-cars.
 * Of several files, those that hold no numbers are left out with a diagnostic. The caller's bytes are not kept.
 * @throws FormatError
 */
export function readImu(files: readonly NamedBytes[]): ImuRecording {
  const notes = new Notes();
  const first = files[0]?.path ?? '';
  const recordings = files.filter(({ path }) => isBidsRecording(path));
  if (recordings.length > 1) {
    const found = `${recordings.length} recordings, ${recordings
      .slice(0, 2)
      .map(({ path }) => baseName(path))
      .join(' and ')}`;
    fail(first, 'bids-several-recordings', found, 'one *_motion.tsv');
  }
  const recording = recordings[0];
  if (recording !== undefined) {
    const others = files.filter(({ path }) => !isBidsPath(path)).map(({ path }) => baseName(path));
    if (others.length > 0) notes.add('bids-other-files', `not read with ${recording.path}: ${others.join(', ')}`);
    return readMotionBids(recording, files, notes);
  }
  const tables = files.filter(({ path }) => isImuName(path) && !isBidsPath(path));
  const sideCar = files.find(({ path }) => isBidsPath(path));
  if (tables.length === 0 && sideCar !== undefined) {
    fail(sideCar.path, 'bids-recording-missing', 'a side-car without its recording', 'a *_motion.tsv beside it');
  }
  if (tables.length === 0) {
    fail(first, 'recording-without-tables', 'there is no .csv, .tsv or .txt file', 'tables of numbers');
  }
  return { kind: 'delimited', tables: delimitedTables(tables, notes), bids: null, diagnostics: notes.list() };
}

/** Codes of files that are no table at all; a damaged table of numbers is never passed over. */
const NO_TABLE = ['table-without-numbers', 'table-not-text'];

function delimitedTables(files: readonly NamedBytes[], notes: Notes): readonly SensorTable[] {
  const out: SensorTable[] = [];
  let reason: FormatError | null = null;
  for (const { path, bytes } of files) {
    try {
      out.push(readDelimited(bytes, { file: path, channels: null, missing: null }, notes));
    } catch (error) {
      if (!(error instanceof FormatError) || files.length === 1 || !NO_TABLE.includes(error.problem.code)) throw error;
      reason ??= error;
      notes.add('table-left-out', `${path} is left out: ${error.problem.found}`);
    }
  }
  if (out.length > 0) return out;
  throw reason!;
}
