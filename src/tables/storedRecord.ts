/** The stored record of a trial as JSON: keys in a fixed order, missing numbers null, every double exact. */
import type { StillRecord } from '../model/stillRecord.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import { jsonBytes } from './jsonBytes.ts';

/**
 * Text of trials/<id>.json. Keys keep the order of the record's type, and what only some trials have is left out where there is none;
 * numbers are written so that they read back equal.
 */
export function storedRecordText(record: SwingRecord): string {
  return `${jsonText(thereOf(record))}\n`;
}

/** The same as UTF-8 in pieces. */
export function storedRecordBytes(record: SwingRecord): readonly Uint8Array[] {
  return [jsonBytes(thereOf(record)), LINE_END];
}

const LINE_END = new TextEncoder().encode('\n');

function thereOf(record: SwingRecord): Readonly<Record<string, unknown>> {
  const all = {
    head: record.head,
    sha256: record.sha256,
    datum: record.datum,
    form: record.form,
    headPoint: record.headPoint,
    frames: record.frames,
    moments: record.moments,
    cells: record.cells,
    curveBase: record.curveBase,
    curves: record.curves,
    figures: record.figures,
    film: record.film,
    poses: record.poses,
    rotations: record.rotations,
    quality: record.quality,
    faults: record.faults,
    headPlace: record.headPlace,
    smoothing: record.smoothing,
    origins: record.origins,
    cutoffCurves: record.cutoffCurves,
    sensors: record.sensors,
    diagnostics: record.diagnostics,
  } satisfies Record<keyof SwingRecord, unknown>;
  return Object.fromEntries(Object.entries(all).filter(([, value]) => value !== undefined));
}

/** Text of trials/<static trial id>.json. */
export function storedStillText(still: StillRecord): string {
  const { kind, head, sha256, datum, frames, angles } = still;
  return `${jsonText({ kind, head, sha256, datum, frames, angles } satisfies Record<keyof StillRecord, unknown>)}\n`;
}

/** The text of `jsonBytes`. */
export function jsonText(value: unknown): string {
  return new TextDecoder().decode(jsonBytes(value));
}
