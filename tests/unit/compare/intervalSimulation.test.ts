import { describe, expect, test } from 'vitest';
import { createRandom } from '../../../src/numeric/random.ts';
import { simulateCoverage, simulateCurves, twoErrors } from '../../support/intervalSimulation.ts';

/** Check 2 of the comparison, reduced where it is slow; tests/long prints it in full. Seeded: a share is the same in every run. */
const FAMILIES = 2000;

describe('by simulation', () => {
  test.each([5, 8, 12])('the t interval of %i swings of each group covers the truth in 93 to 97 of 100', (n) => {
    const { t, permutation } = simulateCoverage(createRandom(n), FAMILIES, [n, n]);
    expect(t).toBeGreaterThanOrEqual(0.93);
    expect(t).toBeLessThanOrEqual(0.97);
    expect(permutation).toBeLessThanOrEqual(0.05 + twoErrors(0.05, FAMILIES));
  });

  test('so does that of unequal groups of unequal scatter', () => {
    const { t } = simulateCoverage(createRandom(57), FAMILIES, [12, 6], { sd2: 2 });
    expect(t).toBeGreaterThanOrEqual(0.93);
    expect(t).toBeLessThanOrEqual(0.97);
  });

  test('swings that resemble the one before (0.3) cost some ten points of coverage: the docs name the loss', () => {
    const { t } = simulateCoverage(createRandom(8), FAMILIES, [8, 8], { lag1: 0.3 });
    expect(t).toBeGreaterThan(0.82);
    expect(t).toBeLessThan(0.9);
  });

  test('the curve test finds a stretch in at most 5 % of equal groups of unequal size, and a bump of 4 SD nearly always', () => {
    const families = 400;
    const none = simulateCurves(createRandom(41), families, [5, 8], 0);
    expect(none.found).toBeLessThanOrEqual(0.05 + twoErrors(0.05, families));
    expect(none.found).toBeGreaterThan(0);
    expect(simulateCurves(createRandom(42), 100, [5, 8], 4).foundThere).toBeGreaterThan(0.95);
  });

  test.each([[[9, 6]], [[6, 9]]] as const)(
    'of equal groups of %j swings, the second twice as scattered, it finds one in at most 8 of 100',
    (sizes) => {
      // with the pooled t that was 15 % for 9 + 6
      const families = 600;
      const { found } = simulateCurves(createRandom(50 + sizes[0]), families, sizes, 0, { sd2: 2 });
      expect(found).toBeLessThanOrEqual(0.08 + twoErrors(0.08, families));
      expect(found).toBeGreaterThan(0.02);
    },
  );
});
