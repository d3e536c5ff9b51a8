/** What a rewritten file is made of: a file in memory, or one that stays where it is and is read in blocks. */
import type { Notes } from './diagnosticCodes.ts';
import { finishFloats } from './encode.ts';
import { readExactly } from './frames.ts';
import type { Opened } from './head.ts';
import { ROTATION_FLOATS } from './rotationLayout.ts';
import type { ByteSource, C3dFile, C3dHead, C3dRotations, Processor } from './types.ts';
import { blocks } from './walkC3d.ts';

/** Frames [from, from + count) of the file, in columns of `columns` frames, the first at `at`. */
export interface Stretch {
  readonly from: number;
  readonly count: number;
  readonly at: number;
  readonly columns: number;
  readonly xyz: Float64Array;
  readonly word4: Int16Array;
  readonly analog: Float64Array;
}

export interface RotationInput {
  readonly processor: Processor;
  readonly used: number;
  readonly samplesPerFrame: number;
  readonly samples: number;
  /** The stored bytes of some samples of all rotations, in fresh memory. */
  read(sample: number, count: number): Uint8Array<ArrayBuffer>;
}

export interface RewriteInput {
  readonly head: C3dHead;
  /** Frames [from, to) in order; the arrays may be the same for every stretch. */
  stretches(from: number, to: number): Iterable<Stretch>;
  readonly rotations: RotationInput | null;
}

/** `source` gives the matrices bit for bit; without it they are made of what was read. */
export function inputOfFile(file: C3dFile, rotations: RotationInput | null): RewriteInput {
  return {
    head: file,
    stretches(from, to) {
      const { xyz, word4, frames } = file;
      return [{ from, count: to - from, at: from, columns: frames, xyz, word4, analog: file.analog.data }];
    },
    rotations: rotations ?? (file.rotationData === null ? null : rotationsOf(file.rotationData, file.rotations)),
  };
}

export function inputOfSource(
  source: ByteSource,
  opened: Opened,
  head: C3dHead,
  name: string,
  notes: Notes,
): RewriteInput {
  return {
    head,
    *stretches(from, to) {
      const part = { ...opened, picked: { ...opened.picked, from, to }, head: { ...opened.head, rotationData: null } };
      for (const { from: start, frames, xyz, word4, analog } of blocks(source, part, name, notes)) {
        yield { from: from + start, count: frames, at: 0, columns: frames, xyz, word4, analog };
      }
    },
    rotations: storedRotations(source, opened, notes),
  };
}

/** The matrices as they lie in the file; null where it has none. */
export function storedRotations(source: ByteSource, { layout, processor }: Opened, notes: Notes): RotationInput | null {
  if (layout.rotation === null || layout.rotation.samples === 0) return null;
  const { offset, sampleBytes, used, samples, samplesPerFrame } = layout.rotation;
  return {
    processor,
    used,
    samplesPerFrame,
    samples,
    read(sample, count) {
      const bytes = new Uint8Array(count * sampleBytes);
      readExactly(source, offset + sample * sampleBytes, bytes, notes);
      return bytes;
    },
  };
}

/** Rotations in memory as they are stored: column after column, 0, 0, 0, 1 in the fourth row, then the reliability. */
export function rotationsOf(rotations: C3dRotations, used: number): RotationInput {
  const { frames, samplesPerFrame, matrices, translations, reliability } = rotations;
  return {
    processor: 'intel',
    used,
    samplesPerFrame,
    samples: frames,
    read(sample, count) {
      const out = new Float32Array(count * used * ROTATION_FLOATS);
      for (let r = 0; r < used; r += 1) {
        for (let i = 0; i < count; i += 1) {
          const from = r * frames + sample + i;
          const to = (i * used + r) * ROTATION_FLOATS;
          for (let column = 0; column < 3; column += 1) {
            for (let row = 0; row < 3; row += 1) out[to + 4 * column + row] = matrices[9 * from + 3 * row + column]!;
            out[to + 12 + column] = translations[3 * from + column]!;
          }
          out[to + 15] = 1;
          out[to + 16] = reliability[from]!;
        }
      }
      finishFloats(out, 'intel');
      return new Uint8Array(out.buffer);
    },
  };
}
