import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  fCdf,
  fQuantile,
  logGamma,
  normalCdf,
  normalQuantile,
  tCdf,
  tQuantile,
} from '../../src/numeric/distributions.ts';

// Made with @stdlib: stats-base-dists-{t-quantile,t-cdf,normal-quantile,f-cdf} 0.2.x and math-base-special-gammaln.
// Normal quantiles start at 1e-5: further out that library takes 1 − 2p and loses the tail (AS 241 covers it in tests/published).
const table = JSON.parse(readFileSync(new URL('numericDistributions.json', import.meta.url), 'utf8')) as Record<
  't_quantile' | 't_cdf' | 'normal_quantile' | 'f_cdf' | 'log_gamma',
  number[][]
>;

/** Both sides are good to some 1e-13 where they are; 1e-10 is what the program promises. */
const RELATIVE = 1e-10;

function relative(found: number, expected: number): number {
  return Math.abs(found - expected) / Math.max(Math.abs(expected), 1e-300);
}

describe('against a committed table of an independent library', () => {
  it.each(table.t_quantile)('t quantile at p = %f, %f df', (p, df, expected) => {
    expect(relative(tQuantile(p!, df!), expected!)).toBeLessThan(RELATIVE);
    expect(relative(tCdf(expected!, df!), p!)).toBeLessThan(RELATIVE);
  });

  it.each(table.t_cdf)('t distribution function at t = %f, %f df', (t, df, expected) => {
    expect(relative(tCdf(t!, df!), expected!)).toBeLessThan(RELATIVE);
  });

  it.each(table.normal_quantile)('normal quantile at p = %f', (p, expected) => {
    expect(relative(normalQuantile(p!), expected!)).toBeLessThan(RELATIVE);
    expect(relative(normalCdf(expected!), p!)).toBeLessThan(1e-9);
  });

  it.each(table.f_cdf)('F distribution function at F = %f with %f and %f df', (f, d1, d2, expected) => {
    expect(relative(fCdf(f!, d1!, d2!), expected!)).toBeLessThan(RELATIVE);
    if (expected! < 0.999999) expect(relative(fQuantile(expected!, d1!, d2!), f!)).toBeLessThan(RELATIVE);
  });

  it.each(table.log_gamma)('log gamma at %f', (x, expected) => {
    expect(Math.abs(logGamma(x!) - expected!)).toBeLessThan(1e-14 * Math.max(1, Math.abs(expected!)));
  });
});
