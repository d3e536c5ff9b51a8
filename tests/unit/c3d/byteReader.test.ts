import { describe, expect, it } from 'vitest';
import { FormatError } from '../../../src/base/errors.ts';
import { ByteReader } from '../../../src/c3d/byteReader.ts';
import { floatPoint, fourFloatPoints } from '../../../src/c3d/decodeColumns.ts';
import { decToNative } from '../../../src/c3d/nativeWords.ts';
import type { Processor } from '../../../src/c3d/types.ts';

function reader(hex: string, processor: Processor, base = 0): ByteReader {
  return new ByteReader(Uint8Array.from(Buffer.from(hex.replaceAll(' ', ''), 'hex')), base, processor, 'a.c3d', [
    'header',
  ]);
}

describe('floats of the three processors', () => {
  // E04: rate field of three real files (sample02 of the c3d.org set); E05: scale field of the same files;
  // E06: DEC F = 16-bit halves swapped, value × 4 in IEEE (check-values.md).
  const rows: [string, number, string, string, string][] = [
    ['E04 50', 50, '00 00 48 42', '48 43 00 00', '42 48 00 00'],
    ['E05 -0.28118187189', Math.fround(-0.28118187189102173), '12 f7 8f be', '8f bf 12 f7', 'be 8f f7 12'],
    ['E06 1', 1, '00 00 80 3f', '80 40 00 00', '3f 80 00 00'],
  ];
  it.each(rows)('%s is read alike from Intel, DEC and MIPS bytes', (_, value, intel, dec, mips) => {
    expect(reader(intel, 'intel').f32()).toBe(value);
    expect(reader(dec, 'dec').f32()).toBe(value);
    expect(reader(mips, 'mips').f32()).toBe(value);
  });

  it('a DEC float with exponent zero is 0, whatever its mantissa', () => {
    // standards.md G: zero exponent = 0. Bytes: exponent field of the high word (bits 7–14) is 0.
    expect(reader('7f 00 ff ff', 'dec').f32()).toBe(0);
  });

  it('the largest DEC float is read as a number though its bits are an IEEE infinity', () => {
    // 0.11…1 (24 bits) × 2^127 = (2^24 − 1) × 2^103, from the definition of the DEC F format.
    expect(reader('ff 7f ff ff', 'dec').f32()).toBe((0x1000000 - 1) * Number(1n << 103n));
  });

  it('16-bit words follow the byte order and are unsigned where a count is read', () => {
    expect(reader('bc 00', 'intel').u16()).toBe(188);
    expect(reader('00 bc', 'mips').u16()).toBe(188);
    expect(reader('ff ff', 'dec').i16()).toBe(-1);
  });
});

describe('bounds', () => {
  it('an error names the absolute offset of the field, what it needs and the path to it', () => {
    const r = reader('01 02 03', 'intel', 1028);
    r.at = 2;
    try {
      r.within('SCALE', () => r.u16());
      expect.unreachable();
    } catch (error) {
      expect(error).toBeInstanceOf(FormatError);
      const { problem } = error as FormatError;
      expect(problem.offset).toBe(1030);
      expect(problem.path).toEqual(['header', 'SCALE']);
      expect((error as Error).message).toContain(
        'a.c3d: needs 2 bytes, 1 left (at byte 1030 = 0x406, reading header > SCALE)',
      );
    }
  });

  it('a column that would leave the stretch is refused before anything is read', () => {
    const r = reader('00 00 00 00 00 00', 'intel');
    const out = new Float64Array(4).fill(7);
    expect(() => r.columnInto(out, 0, 1, 'int16', 0, 2, 4, 0, 1)).toThrow(FormatError);
    expect([...out]).toEqual([7, 7, 7, 7]);
    expect(() => r.pointInto(out, 0, 1, new Int16Array(4), 0, false, 0, 2, 4, 1)).toThrow(FormatError);
  });
});

describe('fourth words of float files', () => {
  const stored = [15888, -1, -16512, 5.9, 65535, -1e9, Number.NaN];
  const expected = [15888, -1, -16512, 5, 32767, -32768, -1];

  it('are cut toward zero, held at the ends of the range and counted where outside it; not-a-number is invalid', () => {
    const b = Buffer.alloc(16 * 7);
    stored.forEach((v, i) => {
      b.writeFloatBE(v, 16 * i + 12);
    });
    const out = new Int16Array(7);
    const xyz = new Float64Array(21);
    const outside = new ByteReader(b, 0, 'mips', '', []).pointInto(xyz, 0, 7, out, 0, true, 0, 16, 7, 1);
    expect([[...out], outside]).toEqual([expected, 3]);
  });

  it('likewise from typed arrays, one point or four at a time', () => {
    const data = Float32Array.from({ length: 16 * 7 }, (_, i) => (i % 4 === 3 ? stored[i >> 4]! : i));
    const out = new Int16Array(4 * 7);
    const xyz = new Float64Array(12 * 7);
    expect(floatPoint(xyz, 0, 7, out, 0, data, 0, 16, 7)).toBe(3);
    expect([...out.subarray(0, 7)]).toEqual(expected);
    expect([...xyz.subarray(7, 14)]).toEqual([1, 17, 33, 49, 65, 81, 97]);
    out.fill(0);
    xyz.fill(0);
    expect(fourFloatPoints(xyz, 0, 7, out, 0, data, 0, 16, 7)).toBe(12);
    for (let p = 0; p < 4; p += 1) expect([...out.subarray(7 * p, 7 * p + 7)]).toEqual(expected);
    // Point k, axis a, frame f: word 16·f + 4·k + a.
    const at = [0, 1, 2, 3].flatMap((k) => [0, 1, 2].flatMap((a) => stored.map((_, f) => 16 * f + 4 * k + a)));
    expect([...xyz]).toEqual(at);
  });
});

describe('DEC floats in place', () => {
  // From the definition of the DEC F format (E06): halves swapped, four times the value; exponent 0 is 0.
  it('become floats of this machine, and those without an exact 32-bit IEEE form are refused', () => {
    const bytes = Uint8Array.from(Buffer.from('80400000484300008fbf12f7ff7fffff7f00ffff', 'hex'));
    expect(decToNative(bytes)).toBe(true);
    const [one, fifty, scale, largest, zero] = new Float32Array(bytes.buffer);
    expect([one, fifty, zero]).toEqual([1, 50, 0]);
    expect(scale).toBe(Math.fround(-0.28118187189102173));
    expect(largest).toBe((0x1000000 - 1) * Number(1n << 103n));
    // Exponents 1 and 2: 2^−128 and 2^−127.
    for (const hex of ['80000000', '00010000'])
      expect(decToNative(Uint8Array.from(Buffer.from(hex, 'hex')))).toBe(false);
  });
});
