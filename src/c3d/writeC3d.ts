/** Columns of points and events to the bytes of a C3D file: Intel byte order, float storage, no clock, same input same bytes. */
import { type C3dParameterContent, parameterSection } from './parameterWriter.ts';

export type { C3dParameterContent } from './parameterWriter.ts';

export interface C3dContent {
  /** One label per point; more than 255 are continued in POINT:LABELS2 … */
  readonly labels: readonly string[];
  /** Unit of all points, such as 'mm'. */
  readonly units: string;
  /** One unit per point, where points of several kinds are stored (positions and angles, say); instead of `units`. */
  readonly pointUnits?: readonly string[];
  /** One description per point. */
  readonly descriptions?: readonly string[];
  readonly rate_Hz: number;
  readonly frames: number;
  /** Number of the first stored frame, from 1 (default 1). */
  readonly firstFrame?: number;
  /** Coordinates as columns, `xyz[(3·point + axis)·frames + frame]`, in `units`. */
  readonly xyz: Float64Array;
  /**
   * Fourth word of every point, `word4[point·frames + frame]`, negative = invalid. Null: 0 for finite points, −1 for the others.
   * Where the word is negative, coordinates that are no numbers are stored as 0.
   */
  readonly word4: Int16Array | null;
  /** What one step of a residual (low byte of the fourth word) means, in `units`. Default: largest coordinate / 32000. */
  readonly residualScale?: number;
  /** Times in seconds from the first stored frame; stored as the format wants them, counted from raw frame 1. */
  readonly events?: readonly { readonly label: string; readonly context: string; readonly time_s: number }[];
  /** POINT:X_SCREEN and Y_SCREEN, such as '+X' and '+Z'. */
  readonly screen?: { readonly x: string; readonly y: string };
  /** Further parameters, such as POINT:ANGLES; those of a group that exists are added to it. */
  readonly parameters?: readonly C3dParameterContent[];
}

const BLOCK = 512;

/**
 * The file's bytes, a whole number of 512-byte blocks.
 * @throws RangeError where sizes disagree or a value does not fit the format
 */
export function writeC3d(content: C3dContent): Uint8Array {
  const points = content.labels.length;
  const { frames } = content;
  const firstFrame = content.firstFrame ?? 1;
  checkSizes(content, points, firstFrame);
  const scale = -residualScaleOf(content);
  const parameters = fixedParameters(content, firstFrame, scale);
  // The data block's number is a parameter itself: its size does not depend on its value, so one pass for the length is enough.
  const blocks = parameterSection([...parameters, pointNumber('DATA_START', 0)]).length / BLOCK;
  const dataBlock = 2 + blocks;
  const section = parameterSection([...parameters, pointNumber('DATA_START', dataBlock)]);

  const dataBytes = Math.ceil((frames * points * 16) / BLOCK) * BLOCK;
  const bytes = new Uint8Array((dataBlock - 1) * BLOCK + dataBytes);
  const view = new DataView(bytes.buffer);
  writeHeader(view, content, firstFrame, scale, dataBlock);
  bytes.set(section, BLOCK);
  writeFrames(view, (dataBlock - 1) * BLOCK, content, points);
  return bytes;
}

function checkSizes(content: C3dContent, points: number, firstFrame: number): void {
  const { frames, rate_Hz, xyz, word4 } = content;
  if (!Number.isInteger(frames) || frames < 0) throw new RangeError(`frames: ${frames}`);
  if (!Number.isInteger(firstFrame) || firstFrame < 1) throw new RangeError(`firstFrame: ${firstFrame}, from 1`);
  if (firstFrame + frames - 1 > 0xffff_ffff) throw new RangeError(`last frame: ${firstFrame + frames - 1}`);
  if (!(rate_Hz > 0) || !Number.isFinite(rate_Hz)) throw new RangeError(`rate_Hz: ${rate_Hz}`);
  if (points > 65535) throw new RangeError(`${points} points; a C3D file holds 65535`);
  if (xyz.length !== 3 * points * frames) throw new RangeError(`xyz: ${xyz.length} values, not ${3 * points * frames}`);
  if (word4 !== null && word4.length !== points * frames) {
    throw new RangeError(`word4: ${word4.length} values, not ${points * frames}`);
  }
  for (const key of ['pointUnits', 'descriptions'] as const) {
    const list = content[key];
    if (list !== undefined && list.length !== points) throw new RangeError(`${key}: ${list.length}, not ${points}`);
  }
}

function residualScaleOf(content: C3dContent): number {
  const given = content.residualScale;
  if (given !== undefined) {
    if (!(given > 0) || !(Math.fround(given) > 0) || !Number.isFinite(Math.fround(given))) {
      throw new RangeError(`residualScale: ${given}`);
    }
    return given;
  }
  let largest = 0;
  for (const value of content.xyz) {
    const size = Math.abs(value);
    if (size > largest && size < Number.POSITIVE_INFINITY) largest = size;
  }
  const scale = largest / 32000;
  return Math.fround(scale) > 0 ? scale : 1;
}

function pointNumber(name: string, value: number): C3dParameterContent {
  return { group: 'POINT', name, type: 'int16', numbers: [value], dimensions: [] };
}

function fixedParameters(content: C3dContent, firstFrame: number, scale: number): C3dParameterContent[] {
  const { labels, frames, rate_Hz, pointUnits, screen } = content;
  const float = (group: string, name: string, value: number): C3dParameterContent => {
    return { group, name, type: 'float', numbers: [value], dimensions: [] };
  };
  const text = (group: string, name: string, value: string): C3dParameterContent => {
    return { group, name, type: 'char', text: [value], single: true };
  };
  const list = (group: string, name: string, texts: readonly string[]): C3dParameterContent => {
    return { group, name, type: 'char', text: texts };
  };
  const none = (name: string, type: 'float' | 'int16'): C3dParameterContent => {
    return { group: 'ANALOG', name, type, numbers: [], dimensions: [0] };
  };
  const out: C3dParameterContent[] = [
    pointNumber('USED', labels.length),
    float('POINT', 'SCALE', scale),
    float('POINT', 'RATE', rate_Hz),
    pointNumber('FRAMES', Math.min(frames, 65535)),
  ];
  if (frames >= 65535) out.push(float('POINT', 'LONG_FRAMES', frames));
  out.push(list('POINT', 'LABELS', labels));
  out.push(list('POINT', 'DESCRIPTIONS', content.descriptions ?? labels.map(() => '')));
  out.push(pointUnits ? list('POINT', 'UNITS', pointUnits) : text('POINT', 'UNITS', content.units));
  if (screen) out.push(text('POINT', 'X_SCREEN', screen.x), text('POINT', 'Y_SCREEN', screen.y));
  out.push(
    { group: 'ANALOG', name: 'USED', type: 'int16', numbers: [0], dimensions: [] },
    float('ANALOG', 'GEN_SCALE', 1),
    float('ANALOG', 'RATE', rate_Hz),
    none('SCALE', 'float'),
    none('OFFSET', 'int16'),
    list('ANALOG', 'LABELS', []),
    list('ANALOG', 'DESCRIPTIONS', []),
    list('ANALOG', 'UNITS', []),
    { group: 'FORCE_PLATFORM', name: 'USED', type: 'int16', numbers: [0], dimensions: [] },
  );
  const field = (name: string, value: number): C3dParameterContent => {
    return {
      group: 'TRIAL',
      name,
      type: 'int16',
      numbers: [value % 65536, Math.floor(value / 65536)],
      dimensions: [2],
    };
  };
  if (frames > 0) {
    out.push(field('ACTUAL_START_FIELD', firstFrame), field('ACTUAL_END_FIELD', firstFrame + frames - 1));
  }
  out.push(...eventParameters(content, firstFrame));
  const taken = new Set(out.map((p) => `${p.group}:${p.name}`)).add('POINT:DATA_START');
  for (const extra of content.parameters ?? []) {
    const key = `${extra.group}:${extra.name}`;
    if (taken.has(key)) throw new RangeError(`${key} is written already`);
    taken.add(key);
    out.push(extra);
  }
  return out;
}

/** EVENT:TIMES holds whole minutes and seconds, counted from raw frame 1. */
function eventParameters(content: C3dContent, firstFrame: number): C3dParameterContent[] {
  const events = content.events ?? [];
  const out: C3dParameterContent[] = [
    { group: 'EVENT', name: 'USED', type: 'int16', numbers: [events.length], dimensions: [] },
  ];
  if (events.length === 0) return out;
  const start_s = (firstFrame - 1) / content.rate_Hz;
  const times: number[] = [];
  for (const event of events) {
    const time_s = event.time_s + start_s;
    if (!Number.isFinite(time_s)) throw new RangeError(`time of event "${event.label}": ${event.time_s}`);
    const minutes = time_s < 0 ? 0 : Math.floor(time_s / 60);
    times.push(minutes, time_s - 60 * minutes);
  }
  out.push({ group: 'EVENT', name: 'CONTEXTS', type: 'char', text: events.map((e) => e.context) });
  out.push({ group: 'EVENT', name: 'LABELS', type: 'char', text: events.map((e) => e.label) });
  for (let from = 0, part = 1; from < events.length; from += 255, part += 1) {
    const numbers = times.slice(2 * from, 2 * (from + 255));
    const name = part === 1 ? 'TIMES' : `TIMES${part}`;
    out.push({ group: 'EVENT', name, type: 'float', numbers, dimensions: [2, numbers.length / 2] });
  }
  return out;
}

function writeHeader(view: DataView, content: C3dContent, firstFrame: number, scale: number, dataBlock: number): void {
  const word = (n: number, value: number): void => view.setUint16(2 * (n - 1), value, true);
  view.setUint8(0, 2);
  view.setUint8(1, 0x50);
  word(2, content.labels.length);
  word(4, Math.min(firstFrame, 65535));
  word(5, Math.min(Math.max(firstFrame + content.frames - 1, 0), 65535));
  view.setFloat32(12, scale, true);
  word(9, dataBlock);
  view.setFloat32(20, content.rate_Hz, true);
  word(150, 12345);
}

function writeFrames(view: DataView, start: number, content: C3dContent, points: number): void {
  const { frames, xyz, word4 } = content;
  for (let p = 0; p < points; p += 1) {
    for (let f = 0; f < frames; f += 1) {
      const at = start + 16 * (f * points + p);
      const x = xyz[3 * p * frames + f]!;
      const y = xyz[(3 * p + 1) * frames + f]!;
      const z = xyz[(3 * p + 2) * frames + f]!;
      const word = word4 ? word4[p * frames + f]! : Number.isFinite(x + y + z) ? 0 : -1;
      setCoordinate(view, at, x, word);
      setCoordinate(view, at + 4, y, word);
      setCoordinate(view, at + 8, z, word);
      view.setFloat32(at + 12, word, true);
    }
  }
}

function setCoordinate(view: DataView, at: number, value: number, word: number): void {
  if (value - value === 0) {
    if (!Number.isFinite(Math.fround(value))) throw new RangeError(`coordinate ${value} does not fit a 32-bit float`);
    view.setFloat32(at, value, true);
  } else if (word >= 0) {
    // One bit pattern for "not a number", whatever the machine's own is.
    if (Number.isNaN(value)) view.setUint32(at, 0x7fc0_0000, true);
    else view.setFloat32(at, value, true);
  }
}
