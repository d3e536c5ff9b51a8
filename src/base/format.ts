/** The one way numbers become text: fixed decimals, no locale, the same bytes on every machine. */

const POWERS = [
  1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20,
  1e21, 1e22,
] as const;

const NEGATIVE_POWERS = [
  1, 1e-1, 1e-2, 1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9, 1e-10, 1e-11, 1e-12, 1e-13, 1e-14, 1e-15, 1e-16, 1e-17,
  1e-18, 1e-19, 1e-20, 1e-21, 1e-22,
] as const;

/** 10 to the k from a table, k a whole number from −22 to 22 (exact from 0 up). Throws RangeError for any other k. */
export function powerOfTen(k: number): number {
  const power = k < 0 ? NEGATIVE_POWERS[-k] : POWERS[k];
  if (power === undefined) throw new RangeError(`no power of ten for exponent ${k}: whole numbers from -22 to 22`);
  return power;
}

/**
 * `value` with exactly `decimals` decimals (0 to 20), rounded from its exact binary value, ties away from zero.
 * Never "-0", never an exponent. A value that is not finite is missing: ''. Throws RangeError for other decimals.
 */
export function formatFixed(value: number, decimals: number): string {
  if (!(Number.isInteger(decimals) && decimals >= 0 && decimals <= 20)) {
    throw new RangeError(`decimals must be a whole number from 0 to 20, not ${decimals}`);
  }
  if (!Number.isFinite(value)) return '';
  if (Math.abs(value) >= 1e21) {
    const whole = BigInt(value).toString();
    return decimals === 0 ? whole : `${whole}.${'0'.repeat(decimals)}`;
  }
  const text = value.toFixed(decimals);
  return text.startsWith('-') && isZero(text) ? text.slice(1) : text;
}

function isZero(text: string): boolean {
  for (let i = 1; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code !== 48 && code !== 46) return false;
  }
  return true;
}

const TWO_53 = 9007199254740992;
/** Twice the rounding of one product, relative: a fraction nearer to a half than this is left to the exact path. */
const PRODUCT_ROUNDING = 2.3e-16;

/**
 * The digits of `formatFixed(value, decimals)` as a whole number of steps of the last decimal: 4.25 with one decimal is 43. NaN where the value
 * is not finite. Throws RangeError for decimals other than 0 to 20.
 */
export function roundedSteps(value: number, decimals: number): number {
  const scaled = Math.abs(value) * powerOfTen(decimals);
  const whole = Math.floor(scaled);
  const above = scaled - whole;
  // next to a tie the product's own rounding would decide: the text does
  if (!(scaled < TWO_53) || Math.abs(above - 0.5) <= scaled * PRODUCT_ROUNDING) {
    return Number.isFinite(value)
      ? Math.round(Number(formatFixed(value, decimals)) * powerOfTen(decimals))
      : Number.NaN;
  }
  const steps = above > 0.5 ? whole + 1 : whole;
  return value < 0 ? -steps : steps;
}

/**
 * Writes the bytes of `formatFixed(value, decimals)` at `at` and returns the place after them.
 * Digits are written straight into the buffer while |value| · 10^decimals stays below 2^53 and is not within rounding of a tie;
 * otherwise the text is made first. Throws RangeError where the buffer is too short.
 */
export function appendFixed(bytes: Uint8Array, at: number, value: number, decimals: number): number {
  const size = Math.abs(value);
  const power = POWERS[decimals];
  if (power === undefined || decimals > 20) return appendText(bytes, at, formatFixed(value, decimals));
  const scaled = size * power;
  if (!(scaled < TWO_53)) return appendText(bytes, at, formatFixed(value, decimals));
  let n = Math.floor(scaled);
  const above = scaled - n;
  if (Math.abs(above - 0.5) <= scaled * PRODUCT_ROUNDING) return appendText(bytes, at, formatFixed(value, decimals));
  if (above > 0.5) n += 1;
  let digits = 1;
  while (digits < 17 && n >= POWERS[digits]!) digits += 1;
  if (digits <= decimals) digits = decimals + 1;
  const negative = value < 0 && n > 0;
  const end = at + (negative ? 1 : 0) + digits + (decimals > 0 ? 1 : 0);
  if (end > bytes.length) throw new RangeError(`the buffer holds ${bytes.length} bytes, ${end} are needed`);
  if (negative) bytes[at] = 45;
  let place = end;
  let written = 0;
  while (n > 0x7fffffff) {
    const rest = Math.floor(n / 10);
    place -= 1;
    bytes[place] = 48 + (n - rest * 10);
    n = rest;
    written += 1;
    if (written === decimals) {
      place -= 1;
      bytes[place] = 46;
    }
  }
  let small = n | 0;
  while (written < digits) {
    const rest = (small / 10) | 0;
    place -= 1;
    bytes[place] = 48 + (small - rest * 10);
    small = rest;
    written += 1;
    if (written === decimals) {
      place -= 1;
      bytes[place] = 46;
    }
  }
  return end;
}

/** Writes ASCII text at `at` and returns the place after it. Throws RangeError where the buffer is too short or the text is not ASCII. */
export function appendText(bytes: Uint8Array, at: number, text: string): number {
  const end = at + text.length;
  if (end > bytes.length) throw new RangeError(`the buffer holds ${bytes.length} bytes, ${end} are needed`);
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code > 127) throw new RangeError(`'${text}' is not ASCII`);
    bytes[at + i] = code;
  }
  return end;
}
