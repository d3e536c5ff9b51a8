/** Gaps of 5 to 60 frames in 1 to 6 markers at once, put into synthetic swings whose motion is known (seeds: both hands). */
import { describe, expect, it } from 'vitest';
import { seedsTo } from '../support/accuracy.ts';
import { GAP_LENGTHS, measureGaps } from '../support/gapAccuracy.ts';
import { NOISY, truthCase } from '../support/truthCases.ts';

const SEEDS = seedsTo(12);

describe('gaps filled, 1 mm of noise per axis', () => {
  const both = { static: measureGaps(SEEDS), own: measureGaps(SEEDS, true) };

  it('the seeds hold both hands', () => {
    const hands = new Set(SEEDS.map((seed) => truthCase(seed, NOISY).player.hand));
    expect([...hands].sort()).toEqual(['left', 'right']);
  });

  // the task's own limit, on what angles are made of; before the filter the markers' own noise is in it, times the gain of the cluster
  it.each(GAP_LENGTHS)('rigid body, %i frames: under 1 mm per axis, whichever trial gives the shape', (length) => {
    for (const table of Object.values(both)) {
      const { filtered, asFilled } = table.at('rigid', length);
      expect(filtered.count).toBeGreaterThan(100);
      expect(filtered.rms).toBeLessThan(1);
      expect(asFilled.rms).toBeLessThan(2.5); // gains reach 2.4 on these bodies
    }
  });

  it('what is rigid is filled whatever its length, a spline fills nothing over 24 frames', () => {
    for (const length of [40, 60] as const) {
      expect(both.static.at('rigid', length).filtered.count).toBeGreaterThan(0);
      expect(both.static.at('spline', length).filtered.count).toBe(0);
      expect(both.static.left.get(length)).toBeGreaterThan(0);
    }
  });
});
