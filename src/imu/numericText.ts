/** Numbers in bytes of text, bit for bit what Number() makes of the same characters, without a string where that is safe. */

/** Powers of ten that are exact in double precision. */
const EXACT = Float64Array.of(
  1,
  1e1,
  1e2,
  1e3,
  1e4,
  1e5,
  1e6,
  1e7,
  1e8,
  1e9,
  1e10,
  1e11,
  1e12,
  1e13,
  1e14,
  1e15,
  1e16,
  1e17,
  1e18,
  1e19,
  1e20,
  1e21,
  1e22,
);

/** Where the scanner stands. */
export interface NumberCursor {
  readonly bytes: Uint8Array;
  /** Byte of the decimal mark: 46 or 44. */
  readonly decimal: number;
  at: number;
}

/**
 * The decimal number that begins at the cursor: sign, digits with at most one decimal mark, exponent. The cursor then stands on the
 * first byte after it. NaN where no number begins there; the cursor has not moved then. The value is that of Number() on the same
 * characters (a decimal comma read as a point), ±0 and infinities included. The bytes must end with one that belongs to no number.
 *
 * Up to 15 digits and |exponent| ≤ 22 one exact integer is multiplied with or divided by one exact power of ten, which IEEE 754
 * rounds correctly (Clinger 1990, PLDI, "How to read floating point numbers accurately"; from memory).
 */
export function scanNumber(cursor: NumberCursor): number {
  const bytes = cursor.bytes;
  const start = cursor.at;
  let at = start;
  const sign = bytes[at]!;
  if (sign === 45 || sign === 43) at += 1;
  const first = at;
  // Right while there are at most nine digits: int32 arithmetic is the fastest there is.
  let whole = 0;
  let digit = bytes[at]! - 48;
  while (digit >>> 0 < 10) {
    whole = (whole * 10 + digit) | 0;
    at += 1;
    digit = bytes[at]! - 48;
  }
  let digits = at - first;
  let decimals = 0;
  if (digit + 48 === cursor.decimal) {
    at += 1;
    const point = at;
    digit = bytes[at]! - 48;
    while (digit >>> 0 < 10) {
      whole = (whole * 10 + digit) | 0;
      at += 1;
      digit = bytes[at]! - 48;
    }
    decimals = at - point;
    digits += decimals;
  }
  if (digits === 0) return Number.NaN;
  cursor.at = at;
  if (digits > 9 || digit + 48 === 101 || digit + 48 === 69) return longNumber(cursor, start, digits, decimals);
  const value = decimals === 0 ? whole : whole / EXACT[decimals]!;
  return sign === 45 ? -value : value;
}

/** A number of more than nine digits, or with an exponent; the cursor stands behind its digits. */
function longNumber(cursor: NumberCursor, start: number, digits: number, decimals: number): number {
  const bytes = cursor.bytes;
  const end = cursor.at;
  let exponent = -decimals;
  if (bytes[end] === 101 || bytes[end] === 69) {
    const told = scanExponent(cursor, end + 1);
    if (told !== NO_EXPONENT) exponent += told;
  }
  if (digits > 15 || exponent < -22 || exponent > 22) return slowNumber(cursor, start, digits, decimals, exponent);
  let whole = 0;
  for (let at = start; at < end; at++) {
    const digit = bytes[at]! - 48;
    if (digit >>> 0 < 10) whole = whole * 10 + digit;
  }
  const value = exponent < 0 ? whole / EXACT[-exponent]! : exponent > 0 ? whole * EXACT[exponent]! : whole;
  return bytes[start] === 45 ? -value : value;
}

const NO_EXPONENT = 0x7fffffff;

/** Sign and digits from `at`; held at ±100,000, beyond which every value is 0 or infinite whatever its digits; sets the cursor behind them. */
function scanExponent(cursor: NumberCursor, from: number): number {
  const bytes = cursor.bytes;
  let at = from;
  const negative = bytes[at] === 45;
  if (negative || bytes[at] === 43) at += 1;
  const first = at;
  let value = 0;
  for (let digit = bytes[at]! - 48; digit >= 0 && digit <= 9; digit = bytes[++at]! - 48) {
    if (value < 100_000) value = value * 10 + digit;
  }
  if (at === first) return NO_EXPONENT;
  cursor.at = at;
  return negative ? -value : value;
}

/** Many digits or a large exponent: the quotient in double-double where its rounding is beyond doubt, otherwise Number(). */
function slowNumber(cursor: NumberCursor, start: number, digits: number, decimals: number, exponent: number): number {
  if (exponent === -decimals && digits - decimals >= 0 && decimals <= 22) {
    const value = longQuotient(cursor, start, digits, decimals);
    if (!Number.isNaN(value)) return value;
  }
  const { bytes, decimal, at } = cursor;
  let text = '';
  for (let i = start; i < at; i++) text += bytes[i] === decimal ? '.' : String.fromCharCode(bytes[i]!);
  return Number(text);
}

/** 2^27 + 1, Dekker's splitter. */
const SPLITTER = 134217729;

/**
 * Up to 19 significant digits over 10^decimals, NaN where the doubt is larger than the distance to the next rounding boundary.
 * Numerator and remainder are exact by Dekker's product (1971, Numer Math 18:224, from memory); the second quotient is then right
 * to a few units of 2⁻⁵³ of itself, and 2⁻⁴⁸ is allowed for.
 */
function longQuotient(cursor: NumberCursor, start: number, digits: number, decimals: number): number {
  const bytes = cursor.bytes;
  let at = start;
  const negative = bytes[at] === 45;
  let left = digits;
  let high = 0;
  let low = 0;
  let lowDigits = 0;
  let significant = 0;
  for (; left > 0; at++) {
    const digit = bytes[at]! - 48;
    if (digit < 0 || digit > 9) continue;
    left -= 1;
    if (significant === 0 && digit === 0) continue;
    significant += 1;
    if (significant <= 10) high = high * 10 + digit;
    else {
      low = low * 10 + digit;
      lowDigits += 1;
    }
  }
  if (significant > 19) return Number.NaN;
  const scale = EXACT[lowDigits]!;
  const product = high * scale;
  const top = product + low;
  const rest = productError(high, scale, product) + (low - (top - product));
  const divisor = EXACT[decimals]!;
  const first = top / divisor;
  const back = first * divisor;
  const second = (top - back - productError(first, divisor, back) + rest) / divisor;
  const doubt = Math.abs(second) * 3.6e-15 + first * 1e-31;
  const value = first + (second - doubt);
  if (value !== first + (second + doubt)) return Number.NaN;
  return negative ? -value : value;
}

/** a·b − p where p is their rounded product; exact while nothing overflows. */
function productError(a: number, b: number, p: number): number {
  const ca = SPLITTER * a;
  const ah = ca - (ca - a);
  const al = a - ah;
  const cb = SPLITTER * b;
  const bh = cb - (cb - b);
  const bl = b - bh;
  return al * bl - (p - ah * bh - al * bh - ah * bl);
}
