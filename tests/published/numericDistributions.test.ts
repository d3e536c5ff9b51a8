import { describe, expect, it } from 'vitest';
import {
  detectableDifference,
  fSurvival,
  hedgesFactor,
  normalQuantile,
  powerOfTTest,
  tQuantile,
  tSurvival,
} from '../../src/numeric/distributions.ts';
import { circularMean, fitLine, mean, sd } from '../../src/numeric/statistics.ts';
import { DEG } from '../support/numericOracles.ts';

describe('distributions', () => {
  // Every table of Student's t; ten digits recomputed with an independent program (D32).
  it.each([
    [2, 4.30265273],
    [4, 2.776445105],
    [7, 2.364624252],
    [9, 2.262157163],
    [14, 2.144786688],
    [18, 2.10092204],
  ])('t(0.975) for %i degrees of freedom is as tabulated (D32)', (df, expected) => {
    expect(tQuantile(0.975, df)).toBeCloseTo(expected, 8);
    expect(tQuantile(0.025, df)).toBeCloseTo(-tQuantile(0.975, df), 13);
  });

  it('has z(0.975) = 1.959963985 (D32)', () => {
    expect(normalQuantile(0.975)).toBeCloseTo(1.959963985, 9);
  });

  // Wichura 1988, Appl Stat 37:477-484, AS 241: the three check values of the paper (from memory).
  it.each([
    [0.25, -0.6744897501960817],
    [0.001, -3.090232306167814],
    [1e-20, -9.2623400897984],
  ])('z(%d) is the check value of AS 241', (p, z) => {
    expect(normalQuantile(p)).toBeCloseTo(z, 12);
  });

  it('has the one-sided p of t = 4.472 at 9 df and of t = 2.177 at 18 df (D26, D27; textbook data, recomputed)', () => {
    expect(tSurvival(4.472135955, 9)).toBeCloseTo(0.000774942951, 11);
    expect(tSurvival(2.1767677315, 18)).toBeCloseTo(0.0215263583, 9);
  });

  it('has the p of F(3, 12) = 5.357 (D30: published as .014) and F(5, 15) = 11.027 (D04: Shrout & Fleiss 1979 data)', () => {
    expect(fSurvival(5.3571428571, 3, 12)).toBeCloseTo(0.0142330423, 9);
    expect(fSurvival(11.02724796, 5, 15)).toBeCloseTo(0.0001345665, 9);
  });

  // Hedges 1981, exact J; values recomputed (D19).
  it.each([
    [4, 0.797884560803],
    [8, 0.902703333676],
    [9, 0.913874891793],
    [10, 0.922745608053],
    [14, 0.945287729307],
    [18, 0.957646427024],
    [20, 0.961944533741],
  ])('Hedges J at %i degrees of freedom is exact (D19)', (df, expected) => {
    expect(hedgesFactor(df)).toBeCloseTo(expected, 11);
  });

  it('finds the textbook power: two groups of 64, d = 0.5, alpha 0.05 give 0.80 (Cohen 1988, table 2.4.1)', () => {
    const power = powerOfTTest(0.5 / Math.sqrt(2 / 64), 126, 0.05);
    // The table names n = 64 as the smallest that reaches 0.80.
    expect(power).toBeGreaterThan(0.8);
    expect(power).toBeLessThan(0.805);
    expect(powerOfTTest(0.5 / Math.sqrt(2 / 63), 124, 0.05)).toBeLessThan(0.8);
    expect(detectableDifference(126, 0.05, power)).toBeCloseTo(0.5 / Math.sqrt(2 / 64), 9);
  });
});

describe('descriptive statistics', () => {
  it('gives the mean and SD of paired differences in the textbook example (D25, recomputed)', () => {
    const a = [210, 205, 193, 182, 259, 239, 164, 197, 222, 211, 187, 175, 186, 243, 246];
    const b = [197, 195, 191, 174, 236, 226, 157, 196, 201, 196, 181, 164, 181, 229, 231];
    const d = a.map((v, i) => v - b[i]!);
    expect(mean(d)).toBeCloseTo(10.9333333333, 9);
    expect(sd(d)).toBeCloseTo(6.3298235889, 9);
  });

  it('fits the regression line of the textbook example (D31, recomputed)', () => {
    const x = [5, 23, 25, 48, 17, 8, 4, 26, 11, 19, 14, 35, 29, 4, 23];
    const y = [80, 78, 60, 53, 85, 84, 73, 79, 81, 75, 68, 72, 58, 92, 65];
    const { slope, intercept } = fitLine(x, y);
    expect(slope).toBeCloseTo(-0.6282004052, 9);
    expect(intercept).toBeCloseTo(85.7204211948, 8);
  });

  it('means 350, 10 and 20 degrees as 6.7 (D41, standard formula)', () => {
    const { mean_rad, length } = circularMean([350 * DEG, 10 * DEG, 20 * DEG]);
    expect(mean_rad / DEG).toBeCloseTo(6.7049532706, 9);
    expect(length).toBeCloseTo(0.9764477317, 9);
  });
});
