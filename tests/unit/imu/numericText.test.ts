import { describe, expect, it } from 'vitest';
import { scanNumber } from '../../../src/imu/numericText.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { latin1 } from '../../support/imuFiles.ts';

/** Value and number of bytes taken. */
function scan(text: string, decimal = 46): { value: number; taken: number } {
  const cursor = { bytes: latin1(`${text}\n`), decimal, at: 0 };
  const value = scanNumber(cursor);
  return { value, taken: cursor.at };
}

/** Bit for bit what Number() makes of it: the language's own conversion is correctly rounded (ECMA-262, StringToNumber). */
function expectSame(text: string): void {
  const { value, taken } = scan(text);
  if (!Object.is(value, Number(text)) || taken !== text.length) {
    expect({ text, value, taken }).toEqual({ text, value: Number(text), taken: text.length });
  }
}

const random = createRandom(20260531);

function digits(count: number): string {
  let text = '';
  for (let i = 0; i < count; i++) text += String(random.int(10));
  return text;
}

describe('a number in bytes is bit for bit what Number() makes of the same characters', () => {
  it.each([
    '0',
    '-0',
    '+0',
    '0.0',
    '-0.000',
    '1',
    '-1',
    '+1',
    '.5',
    '5.',
    '-.5',
    '007',
    '0.1',
    '0.2',
    '0.3',
    '9.80665',
    '123456789',
    '1234567890',
    '999999999.9',
    '2147483647',
    '2147483648',
    '4294967296',
    '9007199254740991',
    '9007199254740992',
    '9007199254740993',
    '9007199254740994.5',
    '9007199254740995',
    '1e0',
    '1E5',
    '1e+5',
    '1e-5',
    '1e22',
    '1e23',
    '-1e22',
    '123456789012345e7',
    '1.7976931348623157e308',
    '1.7976931348623159e308',
    '1e309',
    '-1e400',
    '4.9e-324',
    '2.4703282292062327e-324',
    '2.4703282292062328e-324',
    '1e-400',
    '2.2250738585072011e-308',
    '2.2250738585072014e-308',
    '0.1000000000000000055511151231257827',
    '1e99999999999999999999',
    '1e-99999999999999999999',
    '0e99999999999999999999',
    '0.000000000000000000000000000000000000001',
    '1700000000.123456',
    '1700000000123456789',
    '0.30000000000000004',
    '0.12345678901234567',
    '179769313486231580793',
    '100000000000000000000000000000000000000000',
    '0.5000000000000000277555756156289135105907917022705078125',
    '1.00000000000000011102230246251565404236316680908203125',
    '9007199254740993.0',
    '0.000000012345678901234567',
    '5e-1',
    '00000000000000000000001.5',
  ])('%s', (text) => {
    expectSame(text);
  });

  it('200,000 seeded texts: up to 25 digits, a point anywhere, signs and exponents', () => {
    for (let i = 0; i < 200_000; i++) {
      const whole = digits(random.int(i % 3 === 0 ? 13 : 4));
      const decimals = digits(random.int(i % 3 === 1 ? 20 : 8));
      const sign = ['', '-', '+'][random.int(3)]!;
      const point = decimals !== '' || random.int(4) === 0 ? '.' : '';
      const exponent =
        random.int(4) === 0 ? `e${['', '-', '+'][random.int(3)]}${random.int(i % 5 === 0 ? 330 : 25)}` : '';
      if (whole === '' && decimals === '') continue;
      expectSame(`${sign}${whole}${point}${decimals}${exponent}`);
    }
  });

  it('100,000 seeded doubles in the shortest form that gives them back, and with 17 digits', () => {
    const view = new DataView(new ArrayBuffer(8));
    for (let i = 0; i < 100_000; i++) {
      view.setUint32(0, random.bits());
      view.setUint32(4, random.bits());
      const any = view.getFloat64(0);
      const usual = (random.uniform() - 0.5) * 200;
      if (Number.isFinite(any)) expectSame(String(any));
      expectSame(String(usual));
      expectSame(usual.toPrecision(17));
      expectSame(usual.toFixed(19));
    }
  });

  it('50,000 decimals next to the middle of two neighbouring doubles, where rounding is decided by the last digits', () => {
    for (let i = 0; i < 50_000; i++) {
      // Doubles from 1/2 to 1 are m · 2⁻⁵³: the middle after one is (2m + 1) · 2⁻⁵⁴, here cut to 19 decimals.
      const m = BigInt(Math.floor((0.5 + random.uniform() / 2) * 9007199254740992));
      const scaled = ((2n * m + 1n) * 10n ** 19n) >> 54n;
      for (const nudge of [-1n, 0n, 1n]) expectSame(`0.${(scaled + nudge).toString().padStart(19, '0')}`);
    }
  });
});

describe('where a number ends', () => {
  it.each([
    ['1.5,2', 1.5, 3],
    ['1.5.2', 1.5, 3],
    ['12:30', 12, 2],
    ['1e', 1, 1],
    ['1e+', 1, 1],
    ['2x', 2, 1],
    ['-3-4', -3, 2],
    ['0x10', 0, 1],
    ['1_000', 1, 1],
  ])('%s', (text, value, taken) => {
    expect(scan(text)).toEqual({ value, taken });
  });

  it.each(['', '-', '+', '.', '-.', 'e5', '.e5', 'NaN', 'Infinity', '--1', ' 1', ',5'])(
    'none begins at "%s"',
    (text) => {
      expect(scan(text)).toEqual({ value: Number.NaN, taken: 0 });
    },
  );

  it('a decimal comma is read where it is the decimal mark, and only there', () => {
    expect(scan('-1,25;3', 44)).toEqual({ value: -1.25, taken: 5 });
    expect(scan('0,12345678901234567', 44).value).toBe(Number('0.12345678901234567'));
    expect(scan('1.25', 44)).toEqual({ value: 1, taken: 1 });
  });
});
