import { describe, expect, it } from 'vitest';
import { measure, seedsTo } from '../support/accuracy.ts';
import { IMPACT_SOURCES } from '../support/impactSources.ts';
import { CLEAN, NOISY } from '../support/truthCases.ts';

const SEEDS = seedsTo(12);

/**
 * What is reached with 1 mm of noise where definitions 9 asks for more (0.1 ms), in ms; docs/accuracy.md says "not met". The paths before
 * and after differ by some 10 m/s, and each is carried on by up to a frame: 0.8 mm of noise in both make 0.16 ms over 100 swings.
 */
const REACHED_ms: Readonly<Record<string, number>> = { 'no ball: head slowed over 0.4 ms': 0.22 };

describe.each(IMPACT_SOURCES)('impact by $name', ({ name, options, method, noisy }) => {
  it('is found by its own method in every swing, and its ± holds the true time in nearly all', () => {
    const measured = measure(SEEDS, { ...NOISY, options });
    expect(measured.methods.get(`P7 ${method}`)).toBe(SEEDS.length);
    // A true coverage of 90 % gives at least 9 of 12 in all but 1 of 40 such runs (binomial).
    expect(measured.coverage.share('P7')).toBeGreaterThanOrEqual(0.75);
    const limit = REACHED_ms[name] ?? noisy;
    if (limit !== null) expect(measured.times.at('P7').rms).toBeLessThan(limit);
  });
});

describe.each(IMPACT_SOURCES.filter(({ clean }) => clean !== null))('without noise, impact by $name', (source) => {
  it('is as near as its limit', () => {
    const measured = measure(SEEDS, { ...CLEAN, options: source.options });
    expect(measured.times.at('P7').rms).toBeLessThan(source.clean!);
  });
});
