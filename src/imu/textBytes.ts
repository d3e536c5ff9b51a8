/** Bytes of a text file to bytes the scanner reads: no mark, one byte per ASCII character, a line end at the very end. */

import { decodeText, hasUtf8Mark, utf16Of } from '../base/decodeText.ts';

export interface TextBytes {
  /** ASCII as itself; other characters as UTF-8 or Windows-1252 bytes. Ends with a line feed or carriage return. */
  readonly bytes: Uint8Array;
  /** Offset in the file of byte 0 and file bytes per byte; null where the text was UTF-16 and offsets do not carry over. */
  readonly shift: number | null;
}

/** Offset in the file of a byte of the text; null where there is none to give. */
export function fileOffset(text: TextBytes, at: number): number | null {
  return text.shift === null ? null : at + text.shift;
}

/** A copy is made only of UTF-16 and of text that does not end with a line end. */
export function textBytes(file: Uint8Array): TextBytes {
  const wide = utf16Of(file);
  if (wide !== null) return { bytes: ended(narrow(file, wide.from, wide.highFirst)), shift: null };
  const shift = hasUtf8Mark(file) ? 3 : 0;
  return { bytes: ended(file.subarray(shift)), shift };
}

function ended(bytes: Uint8Array): Uint8Array {
  const last = bytes[bytes.length - 1];
  if (last === 10 || last === 13) return bytes;
  const out = new Uint8Array(bytes.length + 1);
  out.set(bytes);
  out[bytes.length] = 10;
  return out;
}

/** UTF-16 to UTF-8; lone surrogates become U+FFFD. */
function narrow(file: Uint8Array, from: number, highFirst: boolean): Uint8Array {
  const units = (file.length - from) >> 1;
  const unit = (i: number): number => {
    const at = from + 2 * i;
    return highFirst ? file[at]! * 256 + file[at + 1]! : file[at + 1]! * 256 + file[at]!;
  };
  let size = 0;
  for (let i = 0; i < units; i++) size += unit(i) < 0x80 ? 1 : unit(i) < 0x800 ? 2 : 3;
  const out = new Uint8Array(size);
  let at = 0;
  for (let i = 0; i < units; i++) {
    let code = unit(i);
    if (code < 0x80) {
      out[at++] = code;
      continue;
    }
    if (code >= 0xd800 && code < 0xe000) {
      const next = i + 1 < units ? unit(i + 1) : 0;
      if (code < 0xdc00 && next >= 0xdc00 && next < 0xe000) {
        code = 0x10000 + (code - 0xd800) * 0x400 + (next - 0xdc00);
        i += 1;
      } else code = 0xfffd;
    }
    if (code < 0x800) out[at++] = 0xc0 | (code >> 6);
    else {
      if (code < 0x10000) out[at++] = 0xe0 | (code >> 12);
      else {
        out[at++] = 0xf0 | (code >> 18);
        out[at++] = 0x80 | ((code >> 12) & 63);
      }
      out[at++] = 0x80 | ((code >> 6) & 63);
    }
    out[at++] = 0x80 | (code & 63);
  }
  return out.subarray(0, at);
}

/** A short piece of the bytes as text. */
export function sliceText(bytes: Uint8Array, from: number, to: number): string {
  let ascii = true;
  for (let i = from; i < to; i++) if (bytes[i]! > 127) ascii = false;
  if (!ascii) return decodeText(bytes.subarray(from, to)).text;
  let text = '';
  for (let i = from; i < to; i++) text += String.fromCharCode(bytes[i]!);
  return text;
}
