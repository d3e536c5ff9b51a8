/** The matrices of the ROTATION group: blocks of whole samples into tracks, and what is wrong with them. */
import { formatFixed } from '../base/format.ts';
import { ByteReader } from './byteReader.ts';
import type { Notes } from './diagnosticCodes.ts';
import { BLOCK_BYTES, type C3dMemory, readExactly } from './frames.ts';
import type { Opened } from './head.ts';
import { ROTATION_FLOATS } from './rotationLayout.ts';
import type { ByteSource, C3dRotations } from './types.ts';

export type RotationColumns = Pick<C3dRotations, 'frames' | 'matrices' | 'translations' | 'reliability'>;

/** How far columns may be from unit length and right angles: rounding of 32-bit floats is 1e-7, of texts with four digits 1e-4. */
const ORTHONORMAL = 1e-3;

/** What was found over all blocks of a file. */
export interface RotationFaults {
  bent: number;
  worst: number;
  bottomRows: number;
}

export function noRotationFaults(): RotationFaults {
  return { bent: 0, worst: 0, bottomRows: 0 };
}

/** The picked rotations of the picked frames; null where none is picked or the file has none. Every value of every array is written. */
export function readRotations(
  source: ByteSource,
  opened: Opened,
  memory: C3dMemory,
  file: string,
  notes: Notes,
): C3dRotations | null {
  const { picked, head } = opened;
  if (head.rotationData === null) return null;
  const [from, to] = samplesOf(opened, picked.from, picked.to);
  const count = picked.rotations.length * (to - from);
  const columns: RotationColumns = {
    frames: to - from,
    matrices: memory.float64(9 * count),
    translations: memory.float64(3 * count),
    reliability: new Float32Array(count),
  };
  const sampleBytes = opened.layout.rotation?.sampleBytes ?? 1;
  const most = Math.max(1, Math.min(to - from, Math.floor(BLOCK_BYTES / sampleBytes)));
  const scratch = { bytes: new Uint8Array(most * sampleBytes), values: new Float64Array(most) };
  const faults = noRotationFaults();
  for (let sample = from; sample < to; sample += most) {
    const count = Math.min(most, to - sample);
    decodeRotations(columns, sample - from, source, opened, sample, count, scratch, file, notes, faults);
  }
  tellRotations(faults, opened, notes);
  return { ...head.rotationData, ...columns };
}

/** Memory for one stretch of samples: its bytes, and one number a sample. */
export interface RotationScratch {
  readonly bytes: Uint8Array;
  readonly values: Float64Array;
}

/** Samples [from, to) of the rotations in frames [from, to) of the file, those that exist. */
export function samplesOf({ layout }: Opened, from: number, to: number): readonly [number, number] {
  if (layout.rotation === null) return [0, 0];
  const { samples, samplesPerFrame } = layout.rotation;
  return [Math.min(from * samplesPerFrame, samples), Math.min(to * samplesPerFrame, samples)];
}

/** `count` samples of the picked rotations from sample `sample` of the file on, into columns from `to` on. */
export function decodeRotations(
  columns: RotationColumns,
  to: number,
  source: ByteSource,
  { layout, picked, processor }: Opened,
  sample: number,
  count: number,
  scratch: RotationScratch,
  file: string,
  notes: Notes,
  faults: RotationFaults,
): void {
  if (layout.rotation === null || count <= 0) return;
  const { offset, sampleBytes } = layout.rotation;
  const base = offset + sample * sampleBytes;
  const bytes = scratch.bytes.subarray(0, count * sampleBytes);
  readExactly(source, base, bytes, notes);
  const reader = new ByteReader(bytes, base, processor, file, ['rotations', `samples from ${sample}`]);
  picked.rotations.forEach((rotation, r) => {
    const at = r * columns.frames + to;
    oneTrack(columns, at, reader, 4 * ROTATION_FLOATS * rotation, sampleBytes, count, scratch.values, faults);
  });
}

function oneTrack(
  columns: RotationColumns,
  to: number,
  reader: ByteReader,
  at: number,
  stride: number,
  count: number,
  scratch: Float64Array,
  faults: RotationFaults,
): void {
  const { matrices, translations, reliability } = columns;
  // Stored column after column: element (row, column) is word 4·column + row.
  for (let row = 0; row < 3; row += 1) {
    for (let column = 0; column < 3; column += 1) {
      const word = 4 * column + row;
      reader.columnInto(matrices, 9 * to + 3 * row + column, 9, 'float', at + 4 * word, stride, count, 0, 1);
    }
    reader.columnInto(translations, 3 * to + row, 3, 'float', at + 4 * (12 + row), stride, count, 0, 1);
  }
  reader.columnInto(scratch, 0, 1, 'float', at + 64, stride, count, 0, 1);
  for (let i = 0; i < count; i += 1) {
    reliability[to + i] = validity(columns, to + i, scratch[i]!);
    if (reliability[to + i]! < 0) continue;
    const bent = bentBy(matrices, 9 * (to + i));
    if (bent <= ORTHONORMAL) continue;
    faults.bent += 1;
    if (bent > faults.worst) faults.worst = bent;
  }
  for (let column = 0; column < 4; column += 1) {
    const expected = column === 3 ? 1 : 0;
    reader.columnInto(scratch, 0, 1, 'float', at + 4 * (4 * column + 3), stride, count, 0, 1);
    for (let i = 0; i < count; i += 1) {
      if (reliability[to + i]! >= 0 && scratch[i] !== expected) faults.bottomRows += 1;
    }
  }
}

/** The reliability, −1 where it or the pose is no number; the pose of an invalid one becomes NaN. */
function validity({ matrices, translations }: RotationColumns, index: number, stored: number): number {
  let sum = stored;
  for (let i = 9 * index; i < 9 * index + 9; i += 1) sum += matrices[i]!;
  for (let i = 3 * index; i < 3 * index + 3; i += 1) sum += translations[i]!;
  if (stored >= 0 && sum - sum === 0) return stored;
  matrices.fill(Number.NaN, 9 * index, 9 * index + 9);
  translations.fill(Number.NaN, 3 * index, 3 * index + 3);
  return stored < 0 ? stored : -1;
}

/** Largest departure of RᵀR from the identity; infinite where the three axes are left-handed. */
function bentBy(m: Float64Array, at: number): number {
  let worst = 0;
  for (let i = 0; i < 3; i += 1) {
    for (let j = i; j < 3; j += 1) {
      const product = m[at + i]! * m[at + j]! + m[at + 3 + i]! * m[at + 3 + j]! + m[at + 6 + i]! * m[at + 6 + j]!;
      worst = Math.max(worst, Math.abs(product - (i === j ? 1 : 0)));
    }
  }
  const determinant =
    m[at]! * (m[at + 4]! * m[at + 8]! - m[at + 5]! * m[at + 7]!) -
    m[at + 1]! * (m[at + 3]! * m[at + 8]! - m[at + 5]! * m[at + 6]!) +
    m[at + 2]! * (m[at + 3]! * m[at + 7]! - m[at + 4]! * m[at + 6]!);
  return determinant > 0 ? worst : Number.POSITIVE_INFINITY;
}

export function tellRotations({ bent, worst, bottomRows }: RotationFaults, { layout }: Opened, notes: Notes): void {
  const at = layout.rotation?.offset ?? 0;
  if (bent > 0) {
    const by = worst === Number.POSITIVE_INFINITY ? 'some are left-handed' : `off by up to ${formatFixed(worst, 4)}`;
    notes.add('rotation-not-orthonormal', `${bent} matrices are no rotations, ${by}`, at);
  }
  if (bottomRows > 0) {
    notes.add('rotation-fourth-row', `${bottomRows} numbers of fourth rows are not those of 0, 0, 0, 1`, at);
  }
}
