import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { appendFixed, appendText, formatFixed, powerOfTen, roundedSteps } from '../../../src/base/format.ts';

function appended(value: number, decimals: number): string {
  const bytes = new Uint8Array(80);
  const end = appendFixed(bytes, 3, value, decimals);
  expect(bytes.subarray(0, 3).every((b) => b === 0) && bytes.subarray(end).every((b) => b === 0)).toBe(true);
  return String.fromCharCode(...bytes.subarray(3, end));
}

/** The nearest decimal by exact rational arithmetic: value = mantissa · 2^e. */
function exact(value: number, decimals: number): string {
  const view = new DataView(new ArrayBuffer(8));
  view.setFloat64(0, Math.abs(value));
  const bits = view.getBigUint64(0);
  const exponent = Number(bits >> 52n);
  const mantissa = (bits & ((1n << 52n) - 1n)) | (exponent > 0 ? 1n << 52n : 0n);
  const power = Math.max(exponent, 1) - 1075;
  let scale = 1n;
  for (let i = 0; i < decimals; i++) scale *= 10n;
  const top = mantissa * scale * (power > 0 ? 1n << BigInt(power) : 1n);
  const bottom = power < 0 ? 1n << BigInt(-power) : 1n;
  const n = (2n * top + bottom) / (2n * bottom);
  const digits = n.toString().padStart(decimals + 1, '0');
  const text = decimals === 0 ? digits : `${digits.slice(0, -decimals)}.${digits.slice(-decimals)}`;
  return value < 0 && n > 0n ? `-${text}` : text;
}

describe('fixed decimals', () => {
  it('are the nearest decimal of the exact binary value, as text and as bytes', () => {
    const value = fc.oneof(
      fc.double({ min: -1e4, max: 1e4, noNaN: true }),
      fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e30, max: 1e30 }),
      // Decimal near-ties, where a product rounds to the wrong side.
      fc
        .tuple(fc.integer({ min: -2_000_000, max: 2_000_000 }), fc.integer({ min: 0, max: 6 }))
        .map(([n, d]) => (n + 0.5) / powerOfTen(d)),
      fc.integer({ min: -1e9, max: 1e9 }).map((n) => n / 8),
    );
    fc.assert(
      fc.property(value, fc.integer({ min: 0, max: 10 }), (v, d) => {
        const expected = exact(v, d);
        expect(formatFixed(v, d)).toBe(expected);
        expect(appended(v, d)).toBe(expected);
      }),
      { seed: 90, numRuns: 5000 },
    );
  });

  it.each([
    [0, 0, '0'],
    [-0, 2, '0.00'],
    [-0.004, 2, '0.00'],
    [-0.006, 2, '-0.01'],
    [1.005, 2, '1.00'],
    [0.5, 0, '1'],
    [2.5, 0, '3'],
    [-2.5, 0, '-3'],
    [0.000001, 3, '0.000'],
    [999.9996, 3, '1000.000'],
    [2147483648.25, 1, '2147483648.3'],
    [9007199254740991, 0, '9007199254740991'],
    [123456789012.34, 2, '123456789012.34'],
    [1e21, 1, '1000000000000000000000.0'],
    [Number.NaN, 2, ''],
    [Number.POSITIVE_INFINITY, 2, ''],
  ])('%d with %i decimals is "%s"', (value, decimals, text) => {
    expect(formatFixed(value, decimals)).toBe(text);
    expect(appended(value, decimals)).toBe(text);
  });

  it('refuse other decimals and a short buffer', () => {
    for (const bad of [-1, 1.5, 21, Number.NaN]) {
      expect(() => formatFixed(1, bad)).toThrow(RangeError);
      expect(() => appendFixed(new Uint8Array(50), 0, 1, bad)).toThrow(RangeError);
    }
    expect(() => appendFixed(new Uint8Array(4), 0, -1.25, 2)).toThrow(RangeError);
    expect(appendFixed(new Uint8Array(5), 0, -1.25, 2)).toBe(5);
    expect(() => appendText(new Uint8Array(2), 0, 'abc')).toThrow(RangeError);
    expect(() => appendText(new Uint8Array(9), 0, 'é')).toThrow(RangeError);
  });
});

describe('powers of ten', () => {
  it('are the decimal literals', () => {
    for (let k = -22; k <= 22; k++) expect(powerOfTen(k)).toBe(Number(`1e${k}`));
    for (const bad of [23, -23, 0.5, Number.NaN]) expect(() => powerOfTen(bad)).toThrow(RangeError);
  });
});

describe('roundedSteps', () => {
  /** The slow way: the text without its point. */
  const byText = (value: number, decimals: number): number => Number(formatFixed(value, decimals).replace('.', ''));

  it('has the digits of formatFixed for any number and for ties', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -40000, max: 40000, noNaN: true }),
        fc.integer({ min: 0, max: 6 }),
        (value, decimals) => {
          expect(roundedSteps(value, decimals) + 0).toBe(byText(value, decimals));
        },
      ),
    );
    for (const value of [0.05, 0.15, 0.25, 0.35, 1.005, 4.25, -4.25, 2.5, -2.5, 0.5, 1e15 + 0.5]) {
      for (const decimals of [0, 1, 2]) {
        expect(roundedSteps(value, decimals) + 0, `${value} at ${decimals}`).toBe(byText(value, decimals));
      }
    }
  });

  it('is missing where the value is', () => {
    expect(roundedSteps(Number.NaN, 1)).toBeNaN();
    expect(roundedSteps(Number.POSITIVE_INFINITY, 1)).toBeNaN();
  });
});
