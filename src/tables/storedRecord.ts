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
  return layOut(value, '');
}

/** The text of a value in one pass: what holds a text of several lines is longer than a line itself. */
function layOut(value: unknown, indent: string): string {
  if (typeof value === 'number') return Number.isFinite(value) ? String(value + 0) : 'null';
  if (typeof value !== 'object' || value === null) return JSON.stringify(value ?? null);
  if (value instanceof Float64Array) return listOfNumbers(value);
  const inner = `${indent} `;
  const isList = Array.isArray(value);
  const parts: string[] = [];
  let isFlat = isList;
  if (isList) {
    for (const item of value as readonly unknown[]) {
      parts.push(layOut(item, inner));
      if (typeof item === 'object' && item !== null) isFlat = false;
    }
  } else {
    for (const [key, item] of Object.entries(value)) parts.push(`${JSON.stringify(key)}:${layOut(item, inner)}`);
  }
  const [open, close] = isList ? ['[', ']'] : ['{', '}'];
  const length = parts.reduce((sum, part) => sum + part.length + 1, 1 + (parts.length === 0 ? 1 : 0));
  if (isFlat || length <= WIDTH) return `${open}${parts.join(',')}${close}`;
  return `${open}\n${inner}${parts.join(`,\n${inner}`)}\n${indent}${close}`;
}

/** One line, however long. */
function listOfNumbers(values: Float64Array): string {
  let text = '';
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    text += `${i === 0 ? '' : ','}${Number.isFinite(value) ? value + 0 : null}`;
  }
  return `[${text}]`;
}
