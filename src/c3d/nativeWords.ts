/** Which stored words lie as this machine has them, and DEC floats made so in place: such stretches are decoded from typed arrays. */
import type { Processor } from './types.ts';

/** All machines that run Node keep the low byte first, but it costs nothing to ask. */
const LOW_FIRST = new Uint8Array(new Uint16Array([1]).buffer)[0] === 1;

/** Whether words of a file of this processor lie as this machine has them. */
export function isNative(processor: Processor, isFloat: boolean): boolean {
  return (processor === 'mips') !== LOW_FIRST && !(isFloat && processor === 'dec');
}

/**
 * Turns DEC floats into this machine's, in place; the first byte must lie at a multiple of four. Halves swapped, the bits are an IEEE
 * float of four times the value; exponent 0 is 0.
 * False, with the bytes spoilt, where a value is no 32-bit IEEE float (below 2^−126 DEC still has all its digits) or the machine keeps
 * the high byte first.
 */
export function decToNative(bytes: Uint8Array): boolean {
  if (!LOW_FIRST) return false;
  const words = new Int32Array(bytes.buffer, bytes.byteOffset, bytes.length >> 2);
  let inexact = 0;
  for (let i = 0; i < words.length; i += 1) {
    const w = words[i]!;
    const bits = (w << 16) | (w >>> 16);
    const exponent = bits & 0x7f80_0000;
    if (exponent > 0x0100_0000) {
      words[i] = (bits - 0x0100_0000) | 0;
    } else {
      words[i] = 0;
      inexact |= exponent;
    }
  }
  return inexact === 0;
}

/** Every four bytes turned round. */
export function turnLongs(words: Int32Array): void {
  for (let i = 0; i < words.length; i += 1) {
    const w = words[i]!;
    const halves = ((w & 0x00ff_00ff) << 8) | ((w >>> 8) & 0x00ff_00ff);
    words[i] = (halves << 16) | (halves >>> 16);
  }
}
