import { describe, expect, test } from 'vitest';
import { testPairedCurves } from '../../src/compare/curveTest.ts';
import { flipLabellings } from '../../src/compare/labellings.ts';
import { fieldThreshold } from '../../src/numeric/randomField.ts';

/** Check values D33–D36 and D40; tolerances are those of the check values. */

describe('random-field thresholds in one dimension', () => {
  /**
   * P(max t > u) = 1 − exp(−(P(T > u) + resels · √(4 ln 2)/(2π) · (1 + u²/ν)^(−(ν − 1)/2))), Pataky 2010, J Biomech 43:1976-1982;
   * the values also came out of published open code.
   */
  test.each([
    ['D33', 9, 20, 0.05, 3.418600411489376],
    ['D34', 8, 10, 0.05, 4.114592479951956],
    ['D35', 20, 25, 0.05, 2.80023146432842],
    ['D36', 9, 20, 0.025, 3.9526973171596014],
  ] as const)('%s: %i degrees of freedom, 101 nodes, a width of %i, level %d', (_row, df, fwhm, alpha, expected) => {
    expect(Math.abs(fieldThreshold(df, fwhm, 101, alpha) - expected)).toBeLessThanOrEqual(1e-6);
  });

  test('D40: paired curves made by formula have the t, the smoothness, both thresholds and the p computed apart from the program', () => {
    const differences = Array.from({ length: 8 }, (_, i) =>
      Float64Array.from({ length: 101 }, (_value, q) => {
        const x = q / 100;
        const bump = (x - 0.6) / 0.08;
        return -2 * Math.exp(-bump * bump) + 0.4 * Math.cos(3 * Math.PI * x * (1 + 0.1 * i) + i);
      }),
    );
    const result = testPairedCurves(differences, flipLabellings(8, 1, 100))!;
    expect(Math.abs(result.t[60]! - -18.6626531852)).toBeLessThanOrEqual(1e-7);
    expect(Math.abs(result.fwhm - 12.8837885309)).toBeLessThanOrEqual(1e-7);
    expect(Math.abs(result.randomField - 4.8672234434)).toBeLessThanOrEqual(1e-7);
    // order statistic 244 of the 256 sign changes
    expect(Math.abs(result.threshold - 6.4277442523)).toBeLessThanOrEqual(1e-7);
    expect([result.exact, result.p]).toEqual([true, 2 / 256]);
    expect(result.stretches.some(({ from, to, sign }) => from <= 60 && 60 <= to && sign === -1)).toBe(true);
  });
});
