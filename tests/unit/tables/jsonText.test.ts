import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { jsonBytes } from '../../../src/tables/jsonBytes.ts';
import { jsonText } from '../../../src/tables/storedRecord.ts';

/** The rule as it is said: what is short, and a list of plain values, on one line; everything else a line each. Looks at every part again and again. */
function slowText(value: unknown, indent = ''): string {
  const flat = JSON.stringify(value);
  if (typeof value !== 'object' || value === null || flat.length <= 160) return flat;
  const isList = Array.isArray(value);
  if (isList && value.every((item) => typeof item !== 'object' || item === null)) return flat;
  const inner = `${indent} `;
  const parts = isList
    ? value.map((item) => slowText(item, inner))
    : Object.entries(value).map(([key, item]) => `${JSON.stringify(key)}:${slowText(item, inner)}`);
  const [open, close] = isList ? ['[', ']'] : ['{', '}'];
  return `${open}\n${inner}${parts.join(`,\n${inner}`)}\n${indent}${close}`;
}

/** Minus zero is written as zero, as JSON.stringify does. */
const json = fc.jsonValue({ maxDepth: 6, depthSize: 'large' });

describe('JSON for people and programs', () => {
  it('has what is short on one line and reads back equal, whatever is in it', () => {
    fc.assert(
      fc.property(fc.oneof(json, fc.array(json, { maxLength: 40 }), fc.dictionary(fc.string(), json)), (value) => {
        const text = jsonText(value);
        expect(text).toBe(slowText(value));
        expect(JSON.parse(text)).toEqual(JSON.parse(JSON.stringify(value)));
      }),
      { seed: 12, numRuns: 500 },
    );
  });

  it('breaks a line at 161 characters and not at 160', () => {
    const of = (length: number): unknown => ({ a: { b: 'x'.repeat(length - 14) } });
    expect(JSON.stringify(of(160))).toHaveLength(160);
    expect(jsonText(of(160))).toBe(JSON.stringify(of(160)));
    expect(jsonText(of(161)).split('\n')).toHaveLength(3);
  });

  it('writes typed arrays as lists on one line, what is not finite and what is undefined as null, minus zero as zero', () => {
    const values = Float64Array.of(1, -0, Number.NaN, Number.POSITIVE_INFINITY, 0.1, 1e21, -5e-324);
    expect(jsonText(values)).toBe('[1,0,null,null,0.1,1e+21,-5e-324]');
    expect(jsonText([...values, undefined])).toBe('[1,0,null,null,0.1,1e+21,-5e-324,null]');
    expect(jsonText({ a: undefined, b: new Float64Array(0), c: [], d: {} })).toBe('{"a":null,"b":[],"c":[],"d":{}}');
    expect(jsonText(new Float64Array(200))).toBe(`[${'0,'.repeat(199)}0]`);
  });

  it('counts characters and not bytes for the width of a line, whatever the script', () => {
    for (const letter of ['x', 'é', '’', '𝒙', '"', '\u0001']) {
      const widthOf = JSON.stringify(letter).length - 2;
      const longest = Math.floor(150 / widthOf);
      for (let length = longest - 8; length <= longest + 2; length++) {
        const value = { a: { b: letter.repeat(length), c: [[1.5], { [letter]: letter }] }, d: letter };
        expect(jsonText(value), `${length} × ${letter}`).toBe(slowText(value));
      }
    }
  });

  it('keeps every number in its place, in lists of any length and kind', () => {
    const numbers = Float64Array.from({ length: 30_000 }, (_, i) => (i % 7 === 0 ? Number.NaN : Math.sin(i) * 1e-7));
    const value = { first: [], list: [1, 'a', 2, [numbers, 3], []], empty: new Float64Array(0), last: -1.5e-300 };
    expect(JSON.parse(jsonText(value))).toEqual({
      ...value,
      list: [1, 'a', 2, [Array.from(numbers, (x) => (Number.isNaN(x) ? null : x)), 3], []],
      empty: [],
    });
  });

  it('writes bytes of the length of the text', () => {
    const value = { a: 'é’𝒙', b: [1, 2] };
    expect(jsonBytes(value)).toEqual(new TextEncoder().encode(jsonText(value)));
    expect(jsonBytes(value).buffer.byteLength).toBe(jsonBytes(value).length);
  });
});
