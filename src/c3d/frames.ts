/** The data section: blocks of whole frames into columns. */
import { ByteReader, type Raw } from './byteReader.ts';
import {
  floatChannel,
  floatPoint,
  fourFloatPoints,
  fourShortPoints,
  shortChannel,
  shortPoint,
} from './decodeColumns.ts';
import type { Notes } from './diagnosticCodes.ts';
import type { Opened } from './head.ts';
import type { Layout } from './layout.ts';
import { decToNative, isNative } from './nativeWords.ts';
import type { ByteSource } from './types.ts';

/** Lends the arrays of a file, so that a day reuses the same memory; each must have exactly the length asked for. */
export interface C3dMemory {
  /** An array of `length` doubles, whatever is in it. */
  float64(length: number): Float64Array;
  /** An array of `length` 16-bit integers, whatever is in it. */
  int16(length: number): Int16Array;
}

/** Per channel: value = (raw − offset) × factor. */
export interface AnalogScale {
  readonly offsets: Float64Array;
  readonly factors: Float64Array;
  readonly unsigned: boolean;
}

export interface Columns {
  readonly xyz: Float64Array;
  readonly word4: Int16Array;
  readonly analog: Float64Array;
}

export const BLOCK_BYTES = 64 * 1024;

/** Every value of every array is written. The layout must have been settled against the size of the source. */
export function readFrames(source: ByteSource, opened: Opened, memory: C3dMemory, file: string, notes: Notes): Columns {
  const { layout, picked } = opened;
  const frames = layout.frameBytes > 0 ? picked.to - picked.from : 0;
  const columns = {
    xyz: memory.float64(3 * picked.points.length * frames),
    word4: memory.int16(picked.points.length * frames),
    analog: memory.float64(picked.channels.length * layout.samplesPerFrame * frames),
  };
  if (frames === 0 || !asksForData(opened)) return columns;
  const most = framesPerStretch(opened, layout.frameBytes);
  const stretches = new FrameSource(source, opened, most, file, notes);
  let outside = 0;
  for (let frame = picked.from; frame < picked.to; frame += most) {
    const count = Math.min(most, picked.to - frame);
    outside += decodeInto(columns, frames, frame - picked.from, stretches.read(frame, count), opened, count);
  }
  tellOutside(outside, layout, notes);
  return columns;
}

/** Whether points or analog values are picked and a frame has some. */
export function asksForData({ layout, picked }: Opened): boolean {
  return layout.frameBytes > 0 && (picked.points.length > 0 || picked.channels.length > 0);
}

/** Frames of a stretch of at most `BLOCK_BYTES`, at least one where there are any. */
export function framesPerStretch({ picked }: Opened, bytesPerFrame: number): number {
  return Math.min(picked.to - picked.from, Math.max(1, Math.floor(BLOCK_BYTES / Math.max(1, bytesPerFrame))));
}

/** Some whole frames as stored: numbers in place where this machine can have them so, else a reader. */
export interface StoredFrames {
  readonly floats: Float32Array | null;
  readonly shorts: Int16Array | null;
  readonly reader: ByteReader | null;
}

/** Gives stretches of a file's frames one after the other, from the same memory. */
export class FrameSource {
  readonly #source: ByteSource;
  readonly #opened: Opened;
  readonly #most: number;
  readonly #file: string;
  readonly #notes: Notes;
  #buffer: Uint8Array | null = null;

  /** Stretches of at most `most` frames. */
  constructor(source: ByteSource, opened: Opened, most: number, file: string, notes: Notes) {
    this.#source = source;
    this.#opened = opened;
    this.#most = most;
    this.#file = file;
    this.#notes = notes;
  }

  /** `count` frames from frame `frame` on. @throws FormatError where the source gives fewer bytes */
  read(frame: number, count: number): StoredFrames {
    const { layout, processor } = this.#opened;
    const length = count * layout.frameBytes;
    const base = layout.dataOffset + frame * layout.frameBytes;
    const isFloat = layout.form === 'float';
    const native = isNative(processor, isFloat);
    const view = native ? this.#source.view?.(base, length) : undefined;
    if (view !== undefined && view.length === length && view.byteOffset % 4 === 0) return numbersIn(view, isFloat);
    this.#buffer ??= new Uint8Array(this.#most * layout.frameBytes);
    const bytes = length === this.#buffer.length ? this.#buffer : this.#buffer.subarray(0, length);
    readExactly(this.#source, base, bytes, this.#notes);
    if (native) return numbersIn(bytes, isFloat);
    if (processor === 'dec' && isFloat) {
      if (decToNative(bytes)) return numbersIn(bytes, isFloat);
      readExactly(this.#source, base, bytes, this.#notes);
    }
    const path = ['data', `frames from ${frame}`];
    return { floats: null, shorts: null, reader: new ByteReader(bytes, base, processor, this.#file, path) };
  }
}

function numbersIn(bytes: Uint8Array, isFloat: boolean): StoredFrames {
  const { buffer, byteOffset, length } = bytes;
  return {
    floats: isFloat ? new Float32Array(buffer, byteOffset, length >> 2) : null,
    shorts: isFloat ? null : new Int16Array(buffer, byteOffset, length >> 1),
    reader: null,
  };
}

/**
 * `count` stored frames into columns of `frames` frames, from frame `at` of them on: the one decoder of reading and walking.
 * Returns how many fourth words lay outside the 16-bit range.
 */
export function decodeInto(
  columns: Columns,
  frames: number,
  at: number,
  stored: StoredFrames,
  opened: Opened,
  count: number,
): number {
  const { floats, shorts, reader } = stored;
  const { layout, picked } = opened;
  const size = layout.form === 'float' ? 4 : 2;
  const step = layout.frameBytes / size;
  const { points } = picked;
  const { form } = layout;
  let outside = 0;
  analogInto(columns.analog, frames, at, stored, opened, step, count);
  for (let p = 0; p < points.length; ) {
    const first = points[p]!;
    const from = 4 * first;
    const word = p * frames + at;
    const to = 3 * p * frames + at;
    const four = points[p + 3] === first + 3 && points[p + 1] === first + 1 && points[p + 2] === first + 2;
    if (floats !== null) {
      const decode = four ? fourFloatPoints : floatPoint;
      outside += decode(columns.xyz, to, frames, columns.word4, word, floats, from, step, count);
    } else if (shorts !== null) {
      const decode = four ? fourShortPoints : shortPoint;
      decode(columns.xyz, to, frames, columns.word4, word, shorts, from, step, count, layout.scale);
    } else if (reader !== null) {
      outside += reader.pointInto(
        columns.xyz,
        to,
        frames,
        columns.word4,
        word,
        form === 'float',
        size * from,
        layout.frameBytes,
        count,
        form === 'float' ? 1 : layout.scale,
      );
    }
    p += four && reader === null ? 4 : 1;
  }
  return outside;
}

export function tellOutside(outside: number, layout: Layout, notes: Notes): void {
  if (outside === 0) return;
  const found = `the fourth word of ${outside} samples is no 16-bit number`;
  notes.add('fourth-word-outside-range', found, layout.dataOffset);
}

/** Fills `into` from the source. @throws FormatError where the source gives fewer bytes. */
export function readExactly(source: ByteSource, offset: number, into: Uint8Array, notes: Notes): void {
  const got = source.read(offset, into.length, into);
  if (got !== into.length) {
    notes.fail('read-cut-short', [], `the disk gave ${got} of ${into.length} bytes`, '', offset + Math.max(got, 0));
  }
}

/** Sample-major within a frame: all channels of the first sample, then all of the second. */
function analogInto(
  out: Float64Array,
  frames: number,
  frame: number,
  { floats, shorts, reader }: StoredFrames,
  { layout, picked, scale }: Opened,
  step: number,
  count: number,
): void {
  const { points, channels, samplesPerFrame } = layout;
  const size = layout.form === 'float' ? 4 : 2;
  const raw: Raw = layout.form === 'float' ? 'float' : scale.unsigned ? 'uint16' : 'int16';
  const words =
    shorts !== null && scale.unsigned ? new Uint16Array(shorts.buffer, shorts.byteOffset, shorts.length) : shorts;
  picked.channels.forEach((channel, c) => {
    const minus = scale.offsets[channel]!;
    const times = scale.factors[channel]!;
    const from = 4 * points + channel;
    const to = (c * frames + frame) * samplesPerFrame;
    if (floats !== null) {
      floatChannel(out, to, floats, from, step, count, samplesPerFrame, channels, minus, times);
    } else if (words !== null) {
      shortChannel(out, to, words, from, step, count, samplesPerFrame, channels, minus, times);
    } else if (reader !== null) {
      for (let s = 0; s < samplesPerFrame; s += 1) {
        const at = size * (from + s * channels);
        reader.columnInto(out, to + s, samplesPerFrame, raw, at, layout.frameBytes, count, minus, times);
      }
    }
  });
}
