import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { medianInPlace, selectInPlace } from '../../../src/numeric/select.ts';

const values = fc.array(fc.oneof(fc.double({ noNaN: true, noDefaultInfinity: true }), fc.integer({ min: 0, max: 3 })), {
  minLength: 1,
  maxLength: 60,
});

describe('order statistics', () => {
  it('are those of the sorted values, equal ones and ordered ones too, and lose no value', () => {
    fc.assert(
      fc.property(values, fc.nat(), fc.constantFrom('as is', 'rising', 'falling'), (given, at, order) => {
        const sorted = Float64Array.from(given, (value) => value + 0).sort();
        const input = order === 'as is' ? given : order === 'rising' ? [...sorted] : [...sorted].reverse();
        const k = at % given.length;
        const scratch = Float64Array.from(input, (value) => value + 0);
        expect(selectInPlace(scratch, given.length, k)).toBe(sorted[k]);
        for (let i = 0; i < given.length; i++) {
          if (i < k) expect(scratch[i]).toBeLessThanOrEqual(scratch[k]!);
          else expect(scratch[i]).toBeGreaterThanOrEqual(scratch[k]!);
        }
        expect(scratch.sort()).toEqual(sorted);
      }),
      { seed: 5, numRuns: 500 },
    );
  });

  it('have the middle one, or the mean of the middle two, as their median, of the first n alone', () => {
    fc.assert(
      fc.property(values, (given) => {
        const n = given.length;
        const sorted = Float64Array.from(given).sort();
        const expected = n % 2 === 1 ? sorted[n >> 1]! : (sorted[n / 2 - 1]! + sorted[n / 2]!) / 2;
        const scratch = Float64Array.from([...given, -1e300, 1e300, -1e300]);
        expect(medianInPlace(scratch, n) + 0).toBe(expected + 0);
        expect([...scratch.subarray(n)]).toEqual([-1e300, 1e300, -1e300]);
      }),
      { seed: 6, numRuns: 300 },
    );
    expect(medianInPlace(new Float64Array(4), 0)).toBeNaN();
  });
});
