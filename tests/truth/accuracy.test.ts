import { beforeAll, describe, expect, it } from 'vitest';
import { type Measured, measure, seedsTo } from '../support/accuracy.ts';
import { COVERED, LIMITS } from '../support/accuracyLimits.ts';
import { CLEAN, NOISY } from '../support/truthCases.ts';

// Limits: definitions 9. Forty of the two hundred swings, so that the run stays short; tests/long runs all of them.
const SWINGS = 40;

describe('on synthetic swings without noise, filter off, at 240 Hz', () => {
  let measured: Measured;
  beforeAll(() => {
    measured = measure(seedsTo(SWINGS), CLEAN);
  });

  it('every position and every club figure is found', () => {
    expect([...measured.missing]).toEqual([]);
  });

  it.each(LIMITS.filter((limit) => limit.clean !== null))('$what: RMS stays below $clean $unit', (limit) => {
    const { of, value } = limit.read(measured);
    expect(of).not.toBe('');
    expect(value, of).toBeLessThan(limit.clean!);
  });
});

describe('on synthetic swings with 1 mm of noise per axis, default filter, at 240 Hz', () => {
  let measured: Measured;
  beforeAll(() => {
    measured = measure(seedsTo(SWINGS), NOISY);
  });

  it('every position and every club figure is found', () => {
    expect([...measured.missing]).toEqual([]);
  });

  // A bias of 0.15° cannot be judged from forty swings, whose mean is uncertain by 0.06°: tests/long does.
  it.each(LIMITS.filter(({ noisy, what }) => noisy !== null && !what.endsWith('bias')))(
    '$what: RMS stays below $noisy $unit',
    (limit) => {
      const { of, value } = limit.read(measured);
      expect(of).not.toBe('');
      expect(value, of).toBeLessThan(limit.noisy!);
    },
  );

  // Forty cases: a true coverage of 95 % gives at least 34 of 40 in all but 1 of 300 such runs, of 90 % in all but 1 of 10 (binomial).
  it.each(COVERED)('the stated ± of %s holds the truth nearly as often as it says', (name) => {
    expect(measured.coverage.share(name)).toBeGreaterThanOrEqual(0.85);
  });
});
