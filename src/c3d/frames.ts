/** The data section: blocks of whole frames into columns. */
import { ByteReader, type Raw } from './byteReader.ts';
import type { Notes } from './diagnosticCodes.ts';
import type { Opened } from './head.ts';
import type { Layout } from './layout.ts';
import type { ByteSource } from './types.ts';

/** Lends the arrays of a file, so that a day reuses the same memory; each must have exactly the length asked for. */
export interface C3dMemory {
  float64(length: number): Float64Array;
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

export const BLOCK_BYTES = 256 * 1024;

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
  const buffer = new Uint8Array(most * layout.frameBytes);
  let outside = 0;
  for (let frame = picked.from; frame < picked.to; frame += most) {
    const count = Math.min(most, picked.to - frame);
    const reader = readStretch(source, opened, frame, count, buffer, file, notes);
    outside += decodeInto(columns, frames, frame - picked.from, reader, opened, count);
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

/** The bytes of `count` frames from frame `frame` on, read into the buffer. */
export function readStretch(
  source: ByteSource,
  { layout, processor }: Opened,
  frame: number,
  count: number,
  buffer: Uint8Array,
  file: string,
  notes: Notes,
): ByteReader {
  const length = count * layout.frameBytes;
  const base = layout.dataOffset + frame * layout.frameBytes;
  const bytes = length === buffer.length ? buffer : buffer.subarray(0, length);
  readExactly(source, base, bytes, notes);
  return new ByteReader(bytes, base, processor, file, ['data', `frames from ${frame}`]);
}

/**
 * `count` frames of the reader's stretch into columns of `frames` frames, from frame `at` of them on: the one decoder of reading and
 * walking. Returns how many fourth words lay outside the 16-bit range.
 */
export function decodeInto(
  columns: Columns,
  frames: number,
  at: number,
  reader: ByteReader,
  opened: Opened,
  count: number,
): number {
  analogInto(columns.analog, frames, at, reader, opened, count);
  return pointsInto(columns.xyz, columns.word4, frames, at, reader, opened, count);
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

function pointsInto(
  xyz: Float64Array,
  word4: Int16Array,
  frames: number,
  frame: number,
  reader: ByteReader,
  opened: Opened,
  count: number,
): number {
  const { layout, picked } = opened;
  const isFloat = layout.form === 'float';
  const size = isFloat ? 4 : 2;
  const times = isFloat ? 1 : layout.scale;
  const stride = layout.frameBytes;
  let outside = 0;
  for (let p = 0; p < picked.points.length; p += 1) {
    const from = 4 * picked.points[p]! * size;
    const to = p * frames + frame;
    const xyzAt = 3 * p * frames + frame;
    outside += reader.pointInto(xyz, xyzAt, frames, word4, to, isFloat, from, stride, count, times);
  }
  return outside;
}

/** Sample-major within a frame: all channels of the first sample, then all of the second. */
function analogInto(
  out: Float64Array,
  frames: number,
  frame: number,
  reader: ByteReader,
  opened: Opened,
  count: number,
): void {
  const { layout, picked, scale } = opened;
  const { points, channels, samplesPerFrame, frameBytes } = layout;
  const isFloat = layout.form === 'float';
  const size = isFloat ? 4 : 2;
  const raw: Raw = isFloat ? 'float' : scale.unsigned ? 'uint16' : 'int16';
  for (let c = 0; c < picked.channels.length; c += 1) {
    const channel = picked.channels[c]!;
    const minus = scale.offsets[channel]!;
    const times = scale.factors[channel]!;
    for (let sample = 0; sample < samplesPerFrame; sample += 1) {
      const at = (4 * points + sample * channels + channel) * size;
      const to = (c * frames + frame) * samplesPerFrame + sample;
      reader.columnInto(out, to, samplesPerFrame, raw, at, frameBytes, count, minus, times);
    }
  }
}
