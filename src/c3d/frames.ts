/** The data section: blocks of whole frames into columns. */
import { ByteReader, type Raw } from './byteReader.ts';
import type { Notes } from './diagnosticCodes.ts';
import type { Layout } from './layout.ts';
import type { ByteSource, Processor } from './types.ts';

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

const BLOCK_BYTES = 256 * 1024;

/** Every value of every array is written. The layout must have been settled against the size of the source. */
export function readFrames(
  source: ByteSource,
  processor: Processor,
  layout: Layout,
  scale: AnalogScale,
  memory: C3dMemory,
  file: string,
  notes: Notes,
): Columns {
  const { frames, points, channels, samplesPerFrame, frameBytes, dataOffset } = layout;
  const stored = frameBytes > 0 ? frames : 0;
  const xyz = memory.float64(3 * points * stored);
  const word4 = memory.int16(points * stored);
  const analog = memory.float64(channels * samplesPerFrame * stored);
  if (stored === 0) return { xyz, word4, analog };
  const perBlock = Math.min(stored, Math.max(1, Math.floor(BLOCK_BYTES / frameBytes)));
  const buffer = new Uint8Array(perBlock * frameBytes);
  let outside = 0;
  for (let frame = 0; frame < stored; frame += perBlock) {
    const count = Math.min(perBlock, stored - frame);
    const length = count * frameBytes;
    const base = dataOffset + frame * frameBytes;
    const bytes = count === perBlock ? buffer : buffer.subarray(0, length);
    readExactly(source, base, bytes, notes);
    const reader = new ByteReader(bytes, base, processor, file, ['data', `frames from ${frame}`]);
    outside += pointsInto(xyz, word4, reader, layout, frame, count);
    if (channels > 0) analogInto(analog, reader, layout, scale, frame, count);
  }
  if (outside > 0) {
    const found = `the fourth word of ${outside} samples is no 16-bit number`;
    notes.add('fourth-word-outside-range', found, dataOffset);
  }
  return { xyz, word4, analog };
}

/** Fills `into` from the source. @throws FormatError where the source gives fewer bytes. */
export function readExactly(source: ByteSource, offset: number, into: Uint8Array, notes: Notes): void {
  const got = source.read(offset, into.length, into);
  if (got !== into.length) {
    notes.fail('read-cut-short', [], `the disk gave ${got} of ${into.length} bytes`, '', offset + Math.max(got, 0));
  }
}

/** Returns how many fourth words lay outside the 16-bit range. */
function pointsInto(
  xyz: Float64Array,
  word4: Int16Array,
  reader: ByteReader,
  layout: Layout,
  frame: number,
  count: number,
): number {
  const { points, frames, frameBytes } = layout;
  const isFloat = layout.form === 'float';
  const size = isFloat ? 4 : 2;
  const raw: Raw = isFloat ? 'float' : 'int16';
  const times = isFloat ? 1 : layout.scale;
  let outside = 0;
  for (let p = 0; p < points; p += 1) {
    const at = 4 * p * size;
    for (let axis = 0; axis < 3; axis += 1) {
      reader.columnInto(xyz, (3 * p + axis) * frames + frame, 1, raw, at + axis * size, frameBytes, count, 0, times);
    }
    outside += reader.wordsInto(word4, p * frames + frame, isFloat, at + 3 * size, frameBytes, count);
  }
  return outside;
}

/** Sample-major within a frame: all channels of the first sample, then all of the second. */
function analogInto(
  out: Float64Array,
  reader: ByteReader,
  layout: Layout,
  scale: AnalogScale,
  frame: number,
  count: number,
): void {
  const { points, frames, channels, samplesPerFrame, frameBytes } = layout;
  const isFloat = layout.form === 'float';
  const size = isFloat ? 4 : 2;
  const raw: Raw = isFloat ? 'float' : scale.unsigned ? 'uint16' : 'int16';
  for (let channel = 0; channel < channels; channel += 1) {
    const minus = scale.offsets[channel]!;
    const times = scale.factors[channel]!;
    for (let sample = 0; sample < samplesPerFrame; sample += 1) {
      const at = (4 * points + sample * channels + channel) * size;
      const to = (channel * frames + frame) * samplesPerFrame + sample;
      reader.columnInto(out, to, samplesPerFrame, raw, at, frameBytes, count, minus, times);
    }
  }
}
