import { beforeAll, describe, expect, it } from 'vitest';
import { LIMB_LIMITS, type LimbErrors, measureLimbs } from '../support/limbAccuracy.ts';
import { CLEAN, NOISY } from '../support/truthCases.ts';

// Definitions 9: at least 200 swings of different players, clubs, hands and sub-frame impact times.
const SEEDS = Array.from({ length: 200 }, (_, i) => i + 1);

describe.each([
  ['without noise, filter off, 240 Hz', CLEAN, 'clean'],
  ['1 mm of noise, default filter, 240 Hz', NOISY, 'noisy'],
] as const)('angles of limbs of 200 synthetic swings, %s', (_name, conditions, which) => {
  let measured: LimbErrors;
  beforeAll(() => {
    measured = measureLimbs(SEEDS, conditions);
  });
  it('are all there', () => {
    expect(measured.missing).toEqual([]);
  });
  it.each(LIMB_LIMITS)('$what: within its limit', (limit) => {
    const { name, rms } = limit.read(measured);
    expect(name).not.toBe('');
    expect(rms, name).toBeLessThan(limit[which]);
  });
});
