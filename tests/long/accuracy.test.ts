import { beforeAll, describe, expect, it } from 'vitest';
import { type Measured, measure, seedsTo } from '../support/accuracy.ts';
import { CAUTIOUS, COVERAGE_HIGH, COVERAGE_LOW, COVERED, LIMITS } from '../support/accuracyLimits.ts';
import { CLEAN, NOISY } from '../support/truthCases.ts';

// Definitions 9: at least 200 swings of different players, clubs, hands and sub-frame impact times.
const SWINGS = 200;
const RUNS = [
  { name: 'without noise, filter off, 240 Hz', conditions: CLEAN, limit: 'clean' },
  { name: '1 mm of noise, default filter, 240 Hz', conditions: NOISY, limit: 'noisy' },
  { name: '1 mm of noise, default filter, 500 Hz', conditions: { ...NOISY, rate_Hz: 500 }, limit: 'noisy500' },
] as const;

describe.each(RUNS)('on 200 synthetic swings, $name', ({ conditions, limit: which }) => {
  let measured: Measured;
  beforeAll(() => {
    measured = measure(seedsTo(SWINGS), conditions);
  });

  it('every position and every club figure is found', () => {
    expect([...measured.missing]).toEqual([]);
  });

  it.each(LIMITS.filter((limit) => limit[which] !== null))('$what stays below its limit', (limit) => {
    const { of, value } = limit.read(measured);
    expect(of).not.toBe('');
    expect(value, of).toBeLessThan(limit[which]!);
  });

  if (which === 'noisy') {
    it.each(COVERED)('the stated ± of %s holds the truth in 90 to 98 %', (name) => {
      const share = measured.coverage.share(name);
      expect(share).toBeGreaterThanOrEqual(COVERAGE_LOW);
      expect(share).toBeLessThanOrEqual(CAUTIOUS.has(name) ? 1 : COVERAGE_HIGH);
    });
  }
});
