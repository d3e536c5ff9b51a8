/** Bytes of a text field to a string. */

const utf8 = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });

/** UTF-8, or Latin-1 where the bytes are not UTF-8; cut at the first zero byte, blanks at both ends removed. Never throws. */
export function decodeText(bytes: Uint8Array): { readonly text: string; readonly latin1: boolean } {
  let end = bytes.indexOf(0);
  if (end < 0) end = bytes.length;
  let ascii = true;
  let text = '';
  for (let i = 0; i < end; i += 1) {
    const byte = bytes[i]!;
    if (byte > 127) ascii = false;
    text += String.fromCharCode(byte);
  }
  if (ascii) return { text: text.trim(), latin1: false };
  try {
    return { text: utf8.decode(bytes.subarray(0, end)).trim(), latin1: false };
  } catch {
    return { text: text.trim(), latin1: true };
  }
}
