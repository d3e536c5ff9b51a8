/** The ROTATION data of a rewritten file: bit for bit, in the new byte order. */
import { ByteReader } from './byteReader.ts';
import { finishFloats, floatHolds, swapWords } from './encode.ts';
import type { RotationInput } from './rewriteInput.ts';
import { ROTATION_FLOATS } from './rotationLayout.ts';
import type { Processor } from './types.ts';

const CHUNK_BYTES = 256 * 1024;

/** Called for each rotation with a number that the new form lacks: it becomes invalid. */
export type TellRotation = (rotation: number, sample: number, value: number) => void;

/** Bytes of samples [from, to), whole samples a chunk. Intel and MIPS keep every bit, NaN too; DEC has 0 for what it lacks. */
export function* rotationChunks(
  input: RotationInput,
  processor: Processor,
  from: number,
  to: number,
  tell: TellRotation,
): Generator<Uint8Array, void, undefined> {
  const perSample = 4 * ROTATION_FLOATS * input.used;
  const most = Math.max(1, Math.floor(CHUNK_BYTES / perSample));
  for (let sample = from; sample < to; sample += most) {
    const bytes = input.read(sample, Math.min(most, to - sample));
    if (processor === input.processor) yield bytes;
    else if (processor !== 'dec' && input.processor !== 'dec') yield swapWords(bytes);
    else yield throughValues(bytes, input, processor, sample, tell);
  }
}

function throughValues(
  bytes: Uint8Array,
  input: RotationInput,
  processor: Processor,
  sample: number,
  tell: TellRotation,
): Uint8Array {
  const values = new Float32Array(bytes.length / 4);
  const reader = new ByteReader(bytes, 0, input.processor, '', ['rotations']);
  for (let i = 0; i < values.length; i += 1) values[i] = reader.f32();
  for (let start = 0; start < values.length; start += ROTATION_FLOATS) {
    let lost: number | null = null;
    for (let i = start; i < start + ROTATION_FLOATS; i += 1) {
      if (floatHolds(processor, values[i]!)) continue;
      lost ??= values[i]!;
      values[i] = 0;
    }
    if (lost === null) continue;
    const reliability = start + ROTATION_FLOATS - 1;
    if (!(values[reliability]! < 0)) values[reliability] = -1;
    const index = start / ROTATION_FLOATS;
    tell(index % input.used, sample + Math.floor(index / input.used), lost);
  }
  finishFloats(values, processor);
  return new Uint8Array(values.buffer);
}
