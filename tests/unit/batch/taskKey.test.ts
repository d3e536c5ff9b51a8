import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { feed } from '../../../src/batch/taskKey.ts';

function sum(value: unknown): string {
  const hash = createHash('sha256');
  feed(hash, value);
  return hash.digest('hex');
}

describe('the checksum of plain data', () => {
  const values: readonly unknown[] = [
    null,
    undefined,
    true,
    false,
    0,
    -0,
    1,
    Number.NaN,
    '',
    '0',
    'null',
    [],
    {},
    [[], []],
    [[[]]],
    ['ab', 'c'],
    ['a', 'bc'],
    ['ab,c'],
    { a: 1 },
    { b: 1 },
    { a: { b: 1 } },
    { a: 1, b: 1 },
    ['a', 1, 'b', 1],
    new Map([['a', 1]]),
    new Map([['b', 1]]),
    new Set(['a']),
    new Set(['a', 'b']),
    new Uint8Array([1, 2]),
    new Uint8Array([1, 3]),
    new Float64Array([1]),
    new Uint8Array(new Float64Array([1]).buffer),
  ];
  it('differs for values that differ in kind, content, length or nesting', () => {
    expect(new Set(values.map(sum)).size).toBe(values.length);
  });
  it('is the same for equal values, whatever the order of keys, a copy between threads or a key that is undefined', () => {
    for (const value of values) expect(sum(structuredClone(value))).toBe(sum(value));
    expect(sum({ b: [2], a: 1 })).toBe(sum({ a: 1, b: [2] }));
    expect(sum({ a: 1, b: undefined })).toBe(sum({ a: 1 }));
    expect(sum(new Float64Array([7, 1, 2]).subarray(1))).toBe(sum(new Float64Array([1, 2])));
  });
  // Written out by hand from the rule in the doc comment; long enough that what gathers the bytes has to grow.
  it('is that of every part under its mark and with its length', () => {
    const long = 'ä€'.repeat(9000);
    const one = Buffer.from(new Float64Array([1]).buffer);
    const bytes = Buffer.concat([
      Buffer.from('o8:s1:aa2:n'),
      one,
      Buffer.from(`s${5 * 9000}:${long}s1:bFloat64Array8:`),
      one,
      Buffer.from('s1:cm2:s1:ktrue;s3:dénull;'),
    ]);
    const value = { dé: null, c: new Map([['k', true]]), b: new Float64Array([1]), a: [1, long] };
    expect(sum(value)).toBe(createHash('sha256').update(Buffer.from(bytes)).digest('hex'));
  });
  it('refuses what is no plain data', () => {
    expect(() => sum({ a: () => 1 })).toThrow(TypeError);
  });
});
