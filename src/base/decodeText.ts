/** Bytes of a text file to text: UTF-8 with or without mark, UTF-16, Windows-1252. */

export interface DecodedText {
  readonly text: string;
  /** Such as 'UTF-8', 'UTF-16, low byte first', 'Windows-1252'. */
  readonly encoding: string;
}

/** Windows-1252 at 0x80 to 0x9F, by the WHATWG Encoding Standard's index (the five unused bytes stay control characters). */
const FROM_80 =
  '\u20ac\u0081\u201a\u0192\u201e\u2026\u2020\u2021\u02c6\u2030\u0160\u2039\u0152\u008d\u017d\u008f' +
  '\u0090\u2018\u2019\u201c\u201d\u2022\u2013\u2014\u02dc\u2122\u0161\u203a\u0153\u009d\u017e\u0178';

/** Text without its mark. Never fails: what is no UTF-8 is read as Windows-1252. */
export function decodeText(bytes: Uint8Array): DecodedText {
  const wide = utf16Of(bytes);
  if (wide !== null) {
    const encoding = wide.highFirst ? 'UTF-16, high byte first' : 'UTF-16, low byte first';
    return { text: utf16(bytes, wide.from, wide.highFirst), encoding };
  }
  const marked = hasUtf8Mark(bytes);
  try {
    const text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
    return { text, encoding: marked ? 'UTF-8 with mark' : 'UTF-8' };
  } catch {
    let text = '';
    for (const byte of bytes) {
      text += byte >= 0x80 && byte < 0xa0 ? FROM_80[byte - 0x80]! : String.fromCharCode(byte);
    }
    return { text, encoding: 'Windows-1252' };
  }
}

/** Whether the bytes begin with the UTF-8 mark EF BB BF. */
export function hasUtf8Mark(bytes: Uint8Array): boolean {
  return bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf;
}

/** Where the text starts and which byte comes first, if the bytes are UTF-16 by their mark or by their zeros; otherwise null. */
export function utf16Of(bytes: Uint8Array): { readonly from: number; readonly highFirst: boolean } | null {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return { from: 2, highFirst: false };
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return { from: 2, highFirst: true };
  const zeros = zeroShares(bytes);
  if (zeros.odd > 0.4 && zeros.even < 0.05) return { from: 0, highFirst: false };
  if (zeros.even > 0.4 && zeros.odd < 0.05) return { from: 0, highFirst: true };
  return null;
}

function utf16(bytes: Uint8Array, from: number, highFirst: boolean): string {
  const units: string[] = [];
  for (let i = from; i + 1 < bytes.length; i += 2) {
    const first = bytes[i]!;
    const second = bytes[i + 1]!;
    units.push(String.fromCharCode(highFirst ? first * 256 + second : second * 256 + first));
  }
  return units.join('');
}

/** Share of zero bytes at even and odd places of the first kilobyte: Latin text in UTF-16 has them on one side. */
function zeroShares(bytes: Uint8Array): { even: number; odd: number } {
  const n = Math.min(bytes.length, 1024) & ~1;
  if (n < 4) return { even: 0, odd: 0 };
  let even = 0;
  let odd = 0;
  for (let i = 0; i < n; i += 2) {
    if (bytes[i] === 0) even += 1;
    if (bytes[i + 1] === 0) odd += 1;
  }
  return { even: (2 * even) / n, odd: (2 * odd) / n };
}
