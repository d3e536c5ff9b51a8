/** The data section of a rewritten file: what the target cannot hold, integer steps, and frames as bytes. */
import { DEC_LIMIT, finishFloats, finishWords, floatHolds } from './encode.ts';
import type { C3dFile, Processor } from './types.ts';

/** A value that the target form lacks; it is written as zero and, for a point, its sample is marked invalid unless it rounds to zero. */
export interface SampleNotHeld {
  readonly kind: 'point' | 'channel';
  /** Index from 0 in the file read. */
  readonly index: number;
  /** Stored frame of the file read, from 0. */
  readonly frame: number;
  readonly value: number;
}

export interface DataPlan {
  readonly file: C3dFile;
  readonly processor: Processor;
  readonly form: 'float' | 'integer';
  readonly from: number;
  readonly to: number;
  /** Indices of the points that stay. */
  readonly points: readonly number[];
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

const MOST_TOLD = 1000;
const CHUNK_BYTES = 256 * 1024;

/** Largest finite size among the coordinates that stay. */
export function largestCoordinate(file: C3dFile, points: readonly number[], from: number, to: number): number {
  let largest = 0;
  for (const p of points) {
    for (let axis = 0; axis < 3; axis += 1) {
      const start = (3 * p + axis) * file.frames;
      for (let i = start + from; i < start + to; i += 1) {
        const size = Math.abs(file.xyz[i]!);
        if (size > largest && size < Number.POSITIVE_INFINITY) largest = size;
      }
    }
  }
  return largest;
}

/** Every sample that the target form lacks; all are counted, the first thousand told. Also how many residuals would overflow. */
export function findLosses(plan: DataPlan): {
  readonly samples: readonly SampleNotHeld[];
  readonly count: number;
  readonly residuals: number;
} {
  const samples: SampleNotHeld[] = [];
  let count = 0;
  const tell = (kind: SampleNotHeld['kind'], index: number, frame: number, value: number): void => {
    count += 1;
    if (samples.length < MOST_TOLD) samples.push({ kind, index, frame, value });
  };
  const { file, form, processor, from, to } = plan;
  let residuals = 0;
  if (form === 'integer' || processor === 'dec') {
    for (const p of plan.points) {
      for (let axis = 0; axis < 3; axis += 1) {
        const start = (3 * p + axis) * file.frames;
        for (let f = from; f < to; f += 1) {
          const value = file.xyz[start + f]!;
          if (!holds(form, processor, value)) tell('point', p, f, value);
        }
      }
    }
    const { channels, samplesPerFrame, data } = file.analog;
    for (let c = 0; c < channels; c += 1) {
      const start = c * file.frames * samplesPerFrame;
      for (let i = from * samplesPerFrame; i < to * samplesPerFrame; i += 1) {
        const value = data[start + i]!;
        const raw = form === 'integer' ? value : rawFloat(value, plan.offsets[c]!, plan.factors[c]!);
        if (!holds(form, processor, raw)) tell('channel', c, Math.floor(i / samplesPerFrame), value);
      }
    }
  }
  if (plan.residualFactor !== 1) {
    for (const p of plan.points) {
      for (let f = from; f < to; f += 1) {
        const word = file.word4[p * file.frames + f]!;
        if (word >= 0 && Math.round((word & 0xff) * plan.residualFactor) > 255) residuals += 1;
      }
    }
  }
  return { samples, count, residuals };
}

function holds(form: DataPlan['form'], processor: Processor, value: number): boolean {
  return form === 'integer' ? value - value === 0 : floatHolds(processor, Math.fround(value));
}

/** The 32-bit float that gives `value` again, or the nearest where none does. */
export function rawFloat(value: number, offset: number, factor: number): number {
  return Math.fround(value / factor + offset);
}

/** The same fourth word with its residual in new steps: a residual stays between 1 and 255, camera bits and negative words stay. */
function rescaled(word: number, factor: number): number {
  const residual = word & 0xff;
  if (word < 0 || residual === 0) return word;
  return (word & 0xff00) | Math.min(255, Math.max(1, Math.round(residual * factor)));
}

/** Bytes of the data section in chunks of whole frames, the last one without padding. */
export function* dataChunks(plan: DataPlan): Generator<Uint8Array, void, undefined> {
  const { file, from, to, form, processor } = plan;
  const perFrame = 4 * plan.points.length + file.analog.channels * file.analog.samplesPerFrame;
  if (perFrame === 0) return;
  const size = form === 'float' ? 4 : 2;
  const most = Math.max(1, Math.floor(CHUNK_BYTES / (perFrame * size)));
  for (let frame = from; frame < to; frame += most) {
    const count = Math.min(most, to - frame);
    if (form === 'float') {
      const values = new Float32Array(count * perFrame);
      floatPoints(values, plan, frame, count, perFrame);
      floatAnalog(values, plan, frame, count, perFrame);
      finishFloats(values, processor);
      yield new Uint8Array(values.buffer);
    } else {
      const words = new Uint16Array(count * perFrame);
      integerPoints(words, plan, frame, count, perFrame);
      integerAnalog(words, plan, frame, count, perFrame);
      finishWords(words, processor);
      yield new Uint8Array(words.buffer);
    }
  }
}

function floatPoints(out: Float32Array, plan: DataPlan, frame: number, count: number, perFrame: number): void {
  const { xyz, word4, frames } = plan.file;
  const limit = plan.processor === 'dec' ? DEC_LIMIT : Number.POSITIVE_INFINITY;
  const dec = plan.processor === 'dec';
  plan.points.forEach((p, k) => {
    const word = p * frames + frame;
    for (let i = 0, to = 4 * k + 3; i < count; i += 1, to += perFrame) out[to] = word4[word + i]!;
    for (let axis = 0; axis < 3; axis += 1) {
      const start = (3 * p + axis) * frames + frame;
      let to = 4 * k + axis;
      for (let i = 0; i < count; i += 1, to += perFrame) {
        const value = xyz[start + i]!;
        out[to] = value;
        if (dec && !(Math.abs(out[to]!) < limit)) {
          out[to] = 0;
          if (word4[word + i]! >= 0) out[to - axis + 3] = -1;
        }
      }
    }
  });
}

function floatAnalog(out: Float32Array, plan: DataPlan, frame: number, count: number, perFrame: number): void {
  const { channels, samplesPerFrame, data } = plan.file.analog;
  const limit = plan.processor === 'dec' ? DEC_LIMIT : Number.POSITIVE_INFINITY;
  const dec = plan.processor === 'dec';
  const first = 4 * plan.points.length;
  for (let c = 0; c < channels; c += 1) {
    const offset = plan.offsets[c]!;
    const factor = plan.factors[c]!;
    const start = (c * plan.file.frames + frame) * samplesPerFrame;
    for (let s = 0; s < samplesPerFrame; s += 1) {
      let to = first + s * channels + c;
      for (let i = 0; i < count; i += 1, to += perFrame) {
        out[to] = data[start + i * samplesPerFrame + s]! / factor + offset;
        if (dec && !(Math.abs(out[to]!) < limit)) out[to] = offset;
      }
    }
  }
}

function integerPoints(out: Uint16Array, plan: DataPlan, frame: number, count: number, perFrame: number): void {
  const { xyz, word4, frames } = plan.file;
  const { step, residualFactor } = plan;
  plan.points.forEach((p, k) => {
    const word = p * frames + frame;
    for (let i = 0, to = 4 * k + 3; i < count; i += 1, to += perFrame) {
      const w = word4[word + i]!;
      out[to] = residualFactor === 1 ? w : rescaled(w, residualFactor);
    }
    for (let axis = 0; axis < 3; axis += 1) {
      const start = (3 * p + axis) * frames + frame;
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

function integerAnalog(out: Uint16Array, plan: DataPlan, frame: number, count: number, perFrame: number): void {
  const { channels, samplesPerFrame, data } = plan.file.analog;
  const first = 4 * plan.points.length;
  const [low, high] = plan.unsigned ? [0, 65535] : [-32768, 32767];
  for (let c = 0; c < channels; c += 1) {
    const offset = plan.offsets[c]!;
    const factor = plan.factors[c]!;
    const start = (c * plan.file.frames + frame) * samplesPerFrame;
    for (let s = 0; s < samplesPerFrame; s += 1) {
      let to = first + s * channels + c;
      for (let i = 0; i < count; i += 1, to += perFrame) {
        const value = data[start + i * samplesPerFrame + s]!;
        const raw = Math.round((value - value === 0 ? value : 0) / factor + offset);
        out[to] = Math.max(low, Math.min(high, raw));
      }
    }
  }
}
