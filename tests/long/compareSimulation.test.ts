import { describe, expect, test } from 'vitest';
import { createRandom } from '../../src/numeric/random.ts';
import { allowed, MARGIN_DEG, SDS_DEG, SIZES, simulateFamilies, simulatePrimary } from '../support/familySimulation.ts';

/** Project check 8, in full: 2,000 seeded families a setting. The measured shares are printed. */
const FAMILIES = 2000;

const percent = (share: number): string => `${(100 * share).toFixed(2)} %`;

describe('families of 2,000', () => {
  test('the primary list calls a false departure in at most 5 % of families, on the margin more often than never', () => {
    for (const n of SIZES) {
      for (const sd of SDS_DEG) {
        const { on, none } = simulatePrimary(FAMILIES, n, sd);
        console.log(
          `primary ${n} + ${n}, SD ${sd}°: on the margin ${percent(on.falseAny)}, none ${percent(none.falseAny)}`,
        );
        expect(on.falseAny).toBeLessThanOrEqual(allowed(FAMILIES));
        expect(on.falseAny).toBeGreaterThan(0);
        expect(none.falseAny).toBeLessThanOrEqual(allowed(FAMILIES));
      }
    }
  });

  test('the screening list with half of it different by 3 SD keeps false departures to 5 % of departures', () => {
    for (const n of SIZES) {
      for (const sd of SDS_DEG) {
        for (const rest of [0, MARGIN_DEG]) {
          // Truly different: beyond the margin whatever the SD.
          const far = Math.max(3 * sd, MARGIN_DEG + 1e-9);
          const result = simulateFamilies(createRandom(500 * n + 10 * sd + rest), {
            families: FAMILIES,
            nGroup: n,
            nReference: n,
            sd,
            margin: MARGIN_DEG,
            truth: Array.from({ length: 100 }, (_, i) => (i % 2 === 0 ? far : rest)),
            correction: 'benjamini-hochberg',
          });
          console.log(
            `screening ${n} + ${n}, SD ${sd}°, the rest at ${rest}°: false share ${percent(result.falseShare)}, power ${percent(result.power)}`,
          );
          expect(result.falseShare).toBeLessThanOrEqual(allowed(FAMILIES));
        }
      }
    }
  });

  test('power is what the design measured: Holm over twelve, four of them different', () => {
    // Cells of the design's table of simulated power; four standard errors of 2,000 families of four (0.025), and as much for theirs.
    for (const [n1, n2, sd, d, power] of [
      [6, 7, 1, 4, 0.63],
      [6, 7, 2, 6, 0.64],
      [6, 7, 2, 8, 0.96],
      [6, 7, 3, 8, 0.63],
      [8, 8, 2, 4, 0.19],
      [8, 8, 2, 6, 0.81],
      [8, 8, 3, 8, 0.81],
    ] as const) {
      const result = simulateFamilies(createRandom(n1 + 10 * n2 + 100 * sd + 1000 * d), {
        families: FAMILIES,
        nGroup: n1,
        nReference: n2,
        sd,
        margin: MARGIN_DEG,
        truth: Array.from({ length: 12 }, (_, i) => (i < 4 ? d : 0)),
        correction: 'holm',
      });
      console.log(
        `power ${n1} + ${n2}, SD ${sd}°, true ${d}°: ${percent(result.power)} (${percent(power)} expected), equal ones matched ${percent(result.matches)}`,
      );
      expect(Math.abs(result.power - power)).toBeLessThan(0.05);
    }
  });
});
