/** Numbers to bytes in the three byte orders and float formats, whole stretches at a time. */
import { turnLongs } from './nativeWords.ts';
import type { Processor } from './types.ts';

/** Whether this machine keeps the low byte first. */
const LOW_FIRST = new Uint8Array(new Uint16Array([1]).buffer)[0] === 1;

/** 2^127: what a DEC F float cannot reach. */
export const DEC_LIMIT = 1.7014118346046923e38;
/** 2^−128: the smallest DEC F float above zero. */
const DEC_LEAST = 2.938735877055719e-39;

/** Whether a 32-bit float (as a number) has the same value in the target; −0 is 0 in DEC. */
export function floatHolds(processor: Processor, value: number): boolean {
  if (processor !== 'dec') return true;
  const size = value < 0 ? -value : value;
  return size === 0 || (size >= DEC_LEAST && size < DEC_LIMIT);
}

/**
 * Turns 32-bit floats in place into the target's form. For DEC the values must lie below 2^127 in size; the form is the IEEE bits of
 * four times the value with its 16-bit halves swapped, and what is below 2^−128 becomes 0.
 */
export function finishFloats(values: Float32Array, processor: Processor): void {
  const words = new Int32Array(values.buffer, values.byteOffset, values.length);
  if (processor === 'dec') {
    for (let i = 0; i < values.length; i += 1) {
      let word = words[i]!;
      if ((word & 0x7f80_0000) !== 0) {
        word = (word + 0x0100_0000) | 0;
      } else {
        values[i] = values[i]! * 4;
        word = words[i]!;
        if ((word & 0x7f80_0000) === 0) word = 0;
      }
      words[i] = (word << 16) | (word >>> 16);
    }
  }
  if ((processor === 'mips') === LOW_FIRST) turnLongs(words);
}

/** The same bytes, every four of them turned round in place: Intel floats to MIPS floats and back, NaN bit for bit. */
export function swapWords(bytes: Uint8Array<ArrayBuffer>): Uint8Array<ArrayBuffer> {
  turnLongs(new Int32Array(bytes.buffer, bytes.byteOffset, bytes.length >> 2));
  return bytes;
}

/** Turns 16-bit words in place into the target's byte order. */
export function finishWords(words: Uint16Array, processor: Processor): void {
  if ((processor === 'mips') !== LOW_FIRST) return;
  for (let i = 0; i < words.length; i += 1) {
    const w = words[i]!;
    words[i] = (w << 8) | (w >>> 8);
  }
}

/** The bytes of a list of floats; values that the target lacks become 0. */
export function floatBytes(numbers: readonly number[], processor: Processor): Uint8Array {
  const values = Float32Array.from(numbers, (n) => (floatHolds(processor, Math.fround(n)) ? n : 0));
  finishFloats(values, processor);
  return new Uint8Array(values.buffer);
}

/** The bytes of a list of 16-bit words, signed or unsigned. */
export function wordBytes(numbers: readonly number[], processor: Processor): Uint8Array {
  const words = Uint16Array.from(numbers, (n) => n & 0xffff);
  finishWords(words, processor);
  return new Uint8Array(words.buffer);
}
