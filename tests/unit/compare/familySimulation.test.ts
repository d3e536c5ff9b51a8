import { describe, expect, test } from 'vitest';
import { createRandom } from '../../../src/numeric/random.ts';
import {
  allowed,
  MARGIN_DEG,
  SDS_DEG,
  SIZES,
  simulateFamilies,
  simulatePrimary,
} from '../../support/familySimulation.ts';

/** Project check 8 on the family function alone, 2,000 seeded families of the primary list; tests/long has the rest in full. */
const FAMILIES = 2000;

describe('false departures by simulation', () => {
  for (const n of SIZES) {
    for (const sd of SDS_DEG) {
      test(`primary list, ${n} + ${n} swings, SD ${sd}°: a family errs in at most 5 %, with all twelve on the margin and with none different`, () => {
        const { on, none } = simulatePrimary(FAMILIES, n, sd);
        expect(on.falseAny).toBeLessThanOrEqual(allowed(FAMILIES));
        expect(on.falseAny).toBeGreaterThan(0);
        expect(none.falseAny).toBeLessThanOrEqual(allowed(FAMILIES));
      });
    }
  }

  test('screening list, half different by 3 SD: at most 5 % of departures are false (300 families of 100)', () => {
    for (const rest of [0, MARGIN_DEG]) {
      const result = simulateFamilies(createRandom(31 + rest), {
        families: 300,
        nGroup: 8,
        nReference: 8,
        sd: 2,
        margin: MARGIN_DEG,
        truth: Array.from({ length: 100 }, (_, i) => (i % 2 === 0 ? 6 : rest)),
        correction: 'benjamini-hochberg',
      });
      expect(result.falseShare).toBeLessThanOrEqual(allowed(300));
      expect(result.power).toBeGreaterThan(0.5);
    }
  });

  test('power and matches are what the design measured for 6 + 7 swings, SD 2°, a true 6°: 64 % and 13 %', () => {
    const result = simulateFamilies(createRandom(4), {
      families: 1000,
      nGroup: 6,
      nReference: 7,
      sd: 2,
      margin: MARGIN_DEG,
      truth: Array.from({ length: 12 }, (_, i) => (i < 4 ? 6 : 0)),
      correction: 'holm',
    });
    // Four standard errors of 1,000 families: 0.03 for four called together; the design's figures are rounded to a hundredth.
    expect(Math.abs(result.power - 0.64)).toBeLessThan(0.045);
    expect(Math.abs(result.matches - 0.13)).toBeLessThan(0.03);
  });
});
