import { describe, expect, test } from 'vitest';
import { benjaminiHochberg, holm } from '../../src/compare/adjust.ts';

/**
 * Check values D11–D14. p-values of Benjamini & Hochberg 1995, J R Stat Soc B 57:289-300, section 3.2 (as in open code, recomputed);
 * Holm 1979, Scand J Stat 6:65-70. Tolerances are those of the check values: the inputs are decimal, the sums short.
 */
const P15 = [
  0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.324, 0.4262, 0.5719, 0.6528, 0.759, 1,
];

function expectClose(actual: ArrayLike<number>, expected: readonly number[], tolerance: number): void {
  expect(actual.length).toBe(expected.length);
  expected.forEach((value, i) => {
    expect(Math.abs(actual[i]! - value), `element ${i}`).toBeLessThanOrEqual(tolerance);
  });
}

describe('adjusted p-values of published examples', () => {
  test('D11: Benjamini–Hochberg adjusts the 15 p-values of the 1995 example as published code does', () => {
    const expected = [
      0.0015, 0.003, 0.0095, 0.035625, 0.0603, 0.06385714285714286, 0.06385714285714286, 0.0645, 0.0765, 0.486,
      0.5811818181818182, 0.714875, 0.7532307692307693, 0.8132142857142857, 1,
    ];
    expectClose(benjaminiHochberg(P15), expected, 1e-9);
  });

  test('D12: at 0.05 Benjamini–Hochberg rejects four of them and Holm three', () => {
    expect(benjaminiHochberg(P15).filter((p) => p < 0.05)).toHaveLength(4);
    expect(holm(P15).filter((p) => p < 0.05)).toHaveLength(3);
  });

  test('D13: Holm adjusts the same 15 p-values by his steps', () => {
    expectClose(
      holm(P15),
      [0.0015, 0.0056, 0.0247, 0.114, 0.2211, 0.278, 0.278, 0.278, 0.3213, 1, 1, 1, 1, 1, 1],
      1e-9,
    );
  });

  test('D14: four unsorted p-values keep their places', () => {
    expectClose(holm([0.01, 0.04, 0.03, 0.005]), [0.03, 0.06, 0.06, 0.02], 1e-12);
    expectClose(benjaminiHochberg([0.01, 0.04, 0.03, 0.005]), [0.02, 0.04, 0.04, 0.02], 1e-12);
  });
});
