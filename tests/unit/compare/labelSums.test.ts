import { describe, expect, test } from 'vitest';
import { flipLabellings, splitLabellings } from '../../../src/compare/labellings.ts';
import { labelSums, rowsOf } from '../../../src/compare/labelSums.ts';
import { createRandom } from '../../../src/numeric/random.ts';

describe('sums over the marked curves', () => {
  // 1 to 3 parts need no carrying, 4 and 5 one pass of one and of two rows, 9 three passes
  test.each([5, 9, 17, 20, 25, 33, 41, 62, 70])('of %i curves are those of adding curve after curve', (n) => {
    const random = createRandom(n);
    const length = 7;
    // whole numbers: sums in any order are equal
    const rows = Float64Array.from({ length: n * length }, () => random.int(1000) - 500);
    const start = Float64Array.from({ length }, () => random.int(100));
    for (const labels of [splitLabellings(n >> 1, n - (n >> 1), 3, 40), flipLabellings(n, 3, 40)]) {
      const tables = labelSums(rows, start, labels);
      const at = new Uint32Array(3);
      for (let l = 0; l < Math.min(60, labels.count); l++) {
        const slow = Float64Array.from(start);
        for (let c = 0; c < n; c++) {
          const isMarked = (labels.masks[l * labels.chunks + Math.floor(c / labels.width)]! >> (c % labels.width)) & 1;
          for (let k = 0; k < length; k++) slow[k]! += isMarked * rows[c * length + k]!;
        }
        rowsOf(tables, labels, l, at);
        const fast = slow.map((_, k) => tables.sums[at[0]! + k]! + tables.sums[at[1]! + k]! + tables.sums[at[2]! + k]!);
        expect(fast).toEqual(slow);
      }
    }
  });
});
