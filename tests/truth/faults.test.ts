/** Known damage of single markers put into synthetic swings (seeds: both hands), and clean swings in which nothing is to be found. */
import { describe, expect, it } from 'vitest';
import { DEFAULT_FAULTS } from '../../src/model/dayPlan.ts';
import type { LandmarkId } from '../../src/model/landmarks.ts';
import { seedsTo } from '../support/accuracy.ts';
import { type Frames, leaping, swapped, thinned, withHoles } from '../support/damage.ts';
import { DAMAGES } from '../support/damageCases.ts';
import { cleanSwings, faultsOf, faultText, tallyDamage } from '../support/faultCases.ts';
import { trueTimeCells, withGaps } from '../support/gapAccuracy.ts';
import { angleError } from '../support/trueTimes.ts';
import { Errors, NOISY, truthCase } from '../support/truthCases.ts';

describe('clean swings', () => {
  it.each(seedsTo(5))('seed %i: nothing is found, whatever the rate, the noise and the static trial', (seed) => {
    const swings = [...cleanSwings(seed)];
    expect(swings).toHaveLength(12);
    for (const { name, trial, models } of swings) {
      expect(faultsOf(trial, models).map(faultText), name).toEqual([]);
    }
  });

  it('nothing is found where samples are missing: gaps of 5 to 60 frames in 1 to 6 markers, a fifth of all samples', () => {
    for (const seed of seedsTo(6)) {
      const { trial, plan } = truthCase(seed, NOISY);
      const { clusters } = plan.calibration!;
      for (const length of [5, 10, 20, 40, 60]) {
        expect(faultsOf(withHoles(trial, 1 + (seed % 6), length, seed), clusters).map(faultText)).toEqual([]);
      }
      expect(faultsOf(thinned(trial, 0.2, seed), clusters).map(faultText)).toEqual([]);
    }
  });
});

describe('known damage', () => {
  const tallies = tallyDamage(seedsTo(4), 3);

  // ± 1 frame; swaps of markers nearer than 50 mm ± 5
  it.each(DAMAGES)('%s: found as what it is, with its markers and frames, and nothing else', (kind) => {
    const { cases, missed } = tallies.get(kind)!;
    expect(cases).toBeGreaterThan(25);
    expect(missed).toEqual([]);
  });
});

const ANGLES = /^((pelvis|thorax|head)\.(turn|side_bend|forward_bend)|trunk\.(flexion|side_bend|axial))$/;

describe('angles after the repair', () => {
  const pairs: readonly (readonly [LandmarkId, LandmarkId])[] = [
    ['lead_ASIS', 'trail_ASIS'],
    ['C7', 'T8'],
    ['lead_EAR', 'trail_EAR'],
  ];

  /** Errors of pelvis, thorax, head and trunk at true times, degrees. */
  function anglesOf(
    trial: Parameters<typeof trueTimeCells>[0],
    one: ReturnType<typeof truthCase>,
    repair = true,
  ): Errors {
    const errors = new Errors();
    for (const cell of trueTimeCells(trial, { ...one.plan, faults: { ...DEFAULT_FAULTS, repair } }, one.made)) {
      const values: Readonly<Record<string, number>> | undefined =
        one.made.truth.values[cell.position as keyof typeof one.made.truth.values];
      const is = values?.[cell.quantity];
      if (is === undefined || cell.value === null || !ANGLES.test(cell.quantity)) continue;
      errors.add(angleError(cell.value, is));
    }
    return errors;
  }
  const aroundTop = (one: ReturnType<typeof truthCase>): Frames => {
    const top = Math.round(one.made.truth.time_s.P4 * one.trial.clock.rate_Hz);
    return [top - 20, top + 30];
  };

  it('a swap in the trunk exchanged back: within the accuracy of a clean swing; without repair far off', () => {
    for (const seed of seedsTo(3)) {
      const one = truthCase(seed, NOISY);
      for (const [a, b] of pairs) {
        const damaged = swapped(one.trial, a, b, aroundTop(one));
        const mended = anglesOf(damaged, one);
        expect(mended.count).toBeGreaterThan(50);
        expect(mended.values).toEqual(anglesOf(one.trial, one).values);
        expect(mended.rms).toBeLessThan(0.4); // definitions 9
        expect(anglesOf(damaged, one, false).worst).toBeGreaterThan(5);
      }
    }
  });

  it('a leaping marker of the trunk: as if its samples were missing', () => {
    for (const seed of seedsTo(4)) {
      const one = truthCase(seed, NOISY);
      for (const id of ['lead_ASIS', 'PX', 'trail_EAR'] as const) {
        const damaged = leaping(one.trial, id, aroundTop(one), [0.03, -0.02, 0.03]);
        const mended = anglesOf(damaged, one);
        const [first, last] = aroundTop(one);
        const missing = withGaps(one.trial, new Map([[id, { from: first, to: last + 1 }]]));
        expect(mended.values).toEqual(anglesOf(missing, one).values);
        expect(mended.rms).toBeLessThan(0.6); // 0.4 of definitions 9; a marker rebuilt from three others has up to 2.4 times their noise
        expect(anglesOf(damaged, one, false).rms).toBeGreaterThan(2 * mended.rms);
      }
    }
  });
});
