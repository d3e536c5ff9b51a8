/** The stored record of a trial as JSON: keys in a fixed order, missing numbers null, every double exact. */
import type { StillRecord } from '../model/stillRecord.ts';
import type { SwingRecord } from '../model/swingRecord.ts';

const WIDTH = 160;

/**
 * Text of trials/<id>.json. Keys keep the order of the record's type, and what only some trials have is left out where there is none;
 * numbers are written so that they read back equal.
 */
export function storedRecordText(record: SwingRecord): string {
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
  const there = Object.fromEntries(Object.entries(all).filter(([, value]) => value !== undefined));
  return `${jsonText(there)}\n`;
}

/** Text of trials/<static trial id>.json. */
export function storedStillText(still: StillRecord): string {
  const { kind, head, sha256, datum, frames, angles } = still;
  return `${jsonText({ kind, head, sha256, datum, frames, angles } satisfies Record<keyof StillRecord, unknown>)}\n`;
}

/** JSON with short things on one line. Typed arrays become lists, numbers that are not finite null, -0 becomes 0. */
export function jsonText(value: unknown): string {
  return layOut(plain(value), '');
}

function plain(value: unknown): unknown {
  if (typeof value === 'number') return Number.isFinite(value) ? value + 0 : null;
  if (value instanceof Float64Array) return Array.from(value, plain);
  if (Array.isArray(value)) return value.map(plain);
  if (typeof value === 'object' && value !== null) {
    return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, plain(inner)]));
  }
  return value ?? null;
}

function layOut(value: unknown, indent: string): string {
  const flat = JSON.stringify(value);
  if (typeof value !== 'object' || value === null || flat.length <= WIDTH) return flat;
  const list = Array.isArray(value);
  if (list && value.every((item) => typeof item !== 'object' || item === null)) return flat;
  const inner = `${indent} `;
  const parts = list
    ? value.map((item) => layOut(item, inner))
    : Object.entries(value).map(([key, item]) => `${JSON.stringify(key)}:${layOut(item, inner)}`);
  const [open, close] = list ? ['[', ']'] : ['{', '}'];
  return `${open}\n${inner}${parts.join(`,\n${inner}`)}\n${indent}${close}`;
}
