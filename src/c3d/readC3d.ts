/** Bytes to C3dFile, faithful to the file: counts, columns, labels, events, and a diagnostic for every departure from the format. */
import { Notes } from './diagnosticCodes.ts';
import { type C3dMemory, readFrames } from './frames.ts';
import { openC3d } from './head.ts';
import { readRotations } from './rotations.ts';
import type { C3dSelect } from './select.ts';
import type { ByteSource, C3dFile } from './types.ts';

export type { C3dMemory } from './frames.ts';

/** How a C3D file is read: everything, without doubt thrown, unless said otherwise. */
export interface ReadC3dOptions {
  /** Name of the file for messages. */
  readonly file?: string;
  /** A diagnostic of severity warning or error becomes a FormatError. */
  readonly strict?: boolean;
  /** Lends the arrays of the result; fresh ones by default. */
  readonly memory?: C3dMemory;
  /** Only this is decoded; everything by default. */
  readonly select?: C3dSelect;
}

const FRESH: C3dMemory = {
  float64: (length) => new Float64Array(length),
  int16: (length) => new Int16Array(length),
};

/** Bytes in memory as a source. */
export function bytesSource(bytes: Uint8Array): ByteSource {
  return {
    size: bytes.length,
    read(offset, length, into) {
      const slice = bytes.subarray(offset, offset + length);
      into.set(slice);
      return slice.length;
    },
    view: (offset, length) => bytes.subarray(offset, offset + length),
  };
}

/**
 * Reads a file in any of the six encodings, or what of it is selected. Memory grows with the bytes that exist, never with what the
 * file declares.
 * @throws FormatError where the file cannot be read; in strict mode also for every departure that matters
 * @throws RangeError where the selection is no selection (a fraction, a negative number, an end before its start)
 */
export function readC3d(source: ByteSource, options: ReadC3dOptions = {}): C3dFile {
  const file = options.file ?? '';
  const notes = new Notes(file, options.strict ?? false);
  const opened = openC3d(source, options.select, file, notes);
  const memory = options.memory ?? FRESH;
  const columns = readFrames(source, opened, memory, file, notes);
  const rotationData = readRotations(source, opened, memory, file, notes);
  return {
    ...opened.head,
    xyz: columns.xyz,
    word4: columns.word4,
    analog: { ...opened.head.analog, data: columns.analog },
    rotationData,
    diagnostics: notes.list(),
  };
}
