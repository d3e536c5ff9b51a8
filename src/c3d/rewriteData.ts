/** The data section of a rewritten file: frames as bytes in the new form. */
import { DEC_LIMIT, finishFloats, finishWords } from './encode.ts';
import type { RewriteInput, Stretch } from './rewriteInput.ts';
import type { Processor } from './types.ts';

export interface DataPlan {
  readonly processor: Processor;
  readonly form: 'float' | 'integer';
  readonly from: number;
  readonly to: number;
  /** Indices of the points that stay. */
  readonly points: readonly number[];
  readonly channels: number;
  readonly samplesPerFrame: number;
  /** Integer storage: coordinate = step × word. */
  readonly step: number;
  /** New residual byte = old × this. */
  readonly residualFactor: number;
  /** Per channel: value = (raw − offset) × factor, as the new file will say. */
  readonly offsets: Float64Array;
  readonly factors: Float64Array;
  /** Integer samples run from 0 to 65535 instead of −32768 to 32767. */
  readonly unsigned: boolean;
}

/** Some frames of a stretch, `count` from its place `at`. */
interface Part extends Stretch {
  readonly perFrame: number;
}

const CHUNK_BYTES = 256 * 1024;

/** A residual byte in new steps: 0 stays 0, others stay between 1 and 255. */
export function rescaledResidual(residual: number, factor: number): number {
  return residual === 0 ? 0 : Math.min(255, Math.max(1, Math.round(residual * factor)));
}

/** Bytes of the data section in chunks of whole frames, the last one without padding. */
export function* dataChunks(input: RewriteInput, plan: DataPlan): Generator<Uint8Array, void, undefined> {
  const perFrame = 4 * plan.points.length + plan.channels * plan.samplesPerFrame;
  if (perFrame === 0) return;
  const size = plan.form === 'float' ? 4 : 2;
  const most = Math.max(1, Math.floor(CHUNK_BYTES / (perFrame * size)));
  for (const stretch of input.stretches(plan.from, plan.to)) {
    for (let done = 0; done < stretch.count; done += most) {
      const count = Math.min(most, stretch.count - done);
      yield oneChunk({ ...stretch, at: stretch.at + done, count, perFrame }, plan);
    }
  }
}

function oneChunk(part: Part, plan: DataPlan): Uint8Array {
  if (plan.form === 'float') {
    const values = new Float32Array(part.count * part.perFrame);
    floatPoints(values, part, plan);
    floatAnalog(values, part, plan);
    finishFloats(values, plan.processor);
    return new Uint8Array(values.buffer);
  }
  const words = new Uint16Array(part.count * part.perFrame);
  integerPoints(words, part, plan);
  integerAnalog(words, part, plan);
  finishWords(words, plan.processor);
  return new Uint8Array(words.buffer);
}

function floatPoints(out: Float32Array, { xyz, word4, columns, at, count, perFrame }: Part, plan: DataPlan): void {
  const dec = plan.processor === 'dec';
  plan.points.forEach((p, k) => {
    const word = p * columns + at;
    for (let i = 0, to = 4 * k + 3; i < count; i += 1, to += perFrame) out[to] = word4[word + i]!;
    for (let axis = 0; axis < 3; axis += 1) {
      const start = (3 * p + axis) * columns + at;
      let to = 4 * k + axis;
      for (let i = 0; i < count; i += 1, to += perFrame) {
        const value = xyz[start + i]!;
        out[to] = value;
        if (dec && !(Math.abs(out[to]!) < DEC_LIMIT)) {
          out[to] = 0;
          if (word4[word + i]! >= 0) out[to - axis + 3] = -1;
        }
      }
    }
  });
}

function floatAnalog(out: Float32Array, { analog, columns, at, count, perFrame }: Part, plan: DataPlan): void {
  const { channels, samplesPerFrame } = plan;
  const dec = plan.processor === 'dec';
  const first = 4 * plan.points.length;
  for (let c = 0; c < channels; c += 1) {
    const offset = plan.offsets[c]!;
    const factor = plan.factors[c]!;
    const start = (c * columns + at) * samplesPerFrame;
    for (let s = 0; s < samplesPerFrame; s += 1) {
      let to = first + s * channels + c;
      for (let i = 0; i < count; i += 1, to += perFrame) {
        out[to] = analog[start + i * samplesPerFrame + s]! / factor + offset;
        if (dec && !(Math.abs(out[to]!) < DEC_LIMIT)) out[to] = offset;
      }
    }
  }
}

function integerPoints(out: Uint16Array, { xyz, word4, columns, at, count, perFrame }: Part, plan: DataPlan): void {
  const { step, residualFactor } = plan;
  plan.points.forEach((p, k) => {
    const word = p * columns + at;
    for (let i = 0, to = 4 * k + 3; i < count; i += 1, to += perFrame) {
      const w = word4[word + i]!;
      out[to] = residualFactor === 1 || w < 0 ? w : (w & 0xff00) | rescaledResidual(w & 0xff, residualFactor);
    }
    for (let axis = 0; axis < 3; axis += 1) {
      const start = (3 * p + axis) * columns + at;
      let to = 4 * k + axis;
      for (let i = 0; i < count; i += 1, to += perFrame) {
        const value = xyz[start + i]!;
        if (value - value === 0) {
          out[to] = Math.round(value / step);
        } else {
          out[to] = 0;
          if (word4[word + i]! >= 0) out[to - axis + 3] = 0xffff;
        }
      }
    }
  });
}

function integerAnalog(out: Uint16Array, { analog, columns, at, count, perFrame }: Part, plan: DataPlan): void {
  const { channels, samplesPerFrame } = plan;
  const first = 4 * plan.points.length;
  const [low, high] = plan.unsigned ? [0, 65535] : [-32768, 32767];
  for (let c = 0; c < channels; c += 1) {
    const offset = plan.offsets[c]!;
    const factor = plan.factors[c]!;
    const start = (c * columns + at) * samplesPerFrame;
    for (let s = 0; s < samplesPerFrame; s += 1) {
      let to = first + s * channels + c;
      for (let i = 0; i < count; i += 1, to += perFrame) {
        const value = analog[start + i * samplesPerFrame + s]!;
        const raw = Math.round((value - value === 0 ? value : 0) / factor + offset);
        out[to] = Math.max(low, Math.min(high, raw));
      }
    }
  }
}
