/** Gaps of 5 to 60 frames in 1 to 6 markers at once, put into synthetic swings whose motion is known (seeds: both hands). */
import { describe, expect, it } from 'vitest';
import { seedsTo } from '../support/accuracy.ts';
import { flaggedAngles, GAP_LENGTHS, measureGaps, trueTimeCells, withGaps } from '../support/gapAccuracy.ts';
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

  // half again what 20 swings gave; a cubic through the noisy samples errs by 2.2, 3.7 and 7 mm
  it.each([
    [5, 1.2],
    [10, 1.2],
    [20, 2.7],
  ] as const)('spline, %i frames: under %f mm per axis', (length, limit) => {
    const { asFilled, filtered } = both.static.at('spline', length);
    expect(filtered.count).toBeGreaterThan(100);
    expect(filtered.rms).toBeLessThan(limit);
    expect(asFilled.rms).toBeLessThan(limit);
  });

  // a dozen gaps a row, whose errors inside one gap go together: the root mean square of so few varies by a quarter
  it.each([
    ['rigid', 5],
    ['rigid', 10],
    ['rigid', 20],
    ['rigid', 40],
    ['rigid', 60],
    ['spline', 5],
    ['spline', 10],
    ['spline', 20],
  ] as const)('%s, %i frames: errors are as large as stated', (method, length) => {
    const { rms } = both.static.at(method, length).overStated;
    expect(rms).toBeGreaterThan(0.6);
    expect(rms).toBeLessThan(1.4);
  });

  it('what is rigid is filled whatever its length, a spline fills nothing over 24 frames', () => {
    for (const length of [40, 60] as const) {
      expect(both.static.at('rigid', length).filtered.count).toBeGreaterThan(0);
      expect(both.static.at('spline', length).filtered.count).toBe(0);
      expect(both.static.left.get(length)).toBeGreaterThan(0);
    }
  });
});

describe('long gaps filled by components of the neighbours, which the day file asks for', () => {
  const table = measureGaps(SEEDS, false, true);

  // half again what 20 swings gave; synthetic bodies move together more simply than real ones
  it.each([
    [20, 1.6],
    [40, 3],
    [60, 5.3],
  ] as const)('%i frames: under %f mm per axis, as large as stated', (length, limit) => {
    const { filtered, overStated } = table.at('components', length);
    expect(filtered.count).toBeGreaterThan(100);
    expect(filtered.rms).toBeLessThan(limit);
    // twice what the same fill misses beside the gap, where the swing may be slower or faster
    expect(overStated.rms).toBeGreaterThan(0.2);
    expect(overStated.rms).toBeLessThan(1.6);
  });

  it('what is rigid or short is filled as without them', () => {
    const without = measureGaps(SEEDS.slice(0, 2));
    const some = measureGaps(SEEDS.slice(0, 2), false, true);
    for (const length of GAP_LENGTHS) {
      for (const method of ['rigid', 'spline'] as const) {
        expect(some.at(method, length).asFilled.values).toEqual(without.at(method, length).asFilled.values);
      }
      expect(some.left.get(length) ?? 0).toBe(0);
    }
  });
});

describe('angles that rest on filled samples', () => {
  it('are held by their ± at least as often as stated', () => {
    const { errors, held } = flaggedAngles(SEEDS);
    expect(errors.count).toBeGreaterThan(200);
    // the widest of the samples behind a value counts for all of them: too wide rather than too narrow
    expect(held).toBeGreaterThan(0.93);
  });

  it('have a wider ± than without the gap, and only they', () => {
    const { trial, plan, made } = truthCase(3, NOISY);
    const at = Math.round(made.truth.time_s.P4 * trial.clock.rate_Hz);
    const gap = withGaps(trial, new Map([['lead_ASIS', { from: at - 10, to: at + 10 }]]));
    const [whole, part] = [trial, gap].map((one) => trueTimeCells(one, plan, made));
    const ratio = (quantity: string, position: string): number => {
      const find = (cells: typeof whole) =>
        cells!.find((cell) => cell.quantity === quantity && cell.position === position)!;
      const [a, b] = [find(whole), find(part)];
      expect(b.flags.includes('rebuilt')).toBe(quantity === 'pelvis.turn' && position === 'P4');
      return b.plusMinus! / a.plusMinus!;
    };
    expect(ratio('pelvis.turn', 'P4')).toBeGreaterThan(1.2);
    // the noise of the marker is measured on fewer samples: one of 4 % at most
    expect(Math.abs(ratio('pelvis.turn', 'P7') - 1)).toBeLessThan(0.04);
    expect(ratio('thorax.turn', 'P4')).toBe(1);
  });
});
