import { describe, expect, test } from 'vitest';
import { compareRecords } from '../../../src/compare/compareRecords.ts';
import { trendOf } from '../../../src/compare/drift.ts';
import { DEFAULT_COMPARE } from '../../../src/model/dayPlan.ts';
import { CURVE_STEPS, type SwingRecord } from '../../../src/model/swingRecord.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { clubPlan } from '../../support/plans.ts';
import { slowTSurvival } from '../../support/slowStatistics.ts';
import { allMoments, cellOf, momentOf, twoGroups } from '../../support/swingRecords.ts';

const PLAN = {
  player: { id: 'wren', hand: null },
  clubs: [clubPlan(), clubPlan({ id: 'iron7', kind: 'iron' }), clubPlan({ id: 'iron8', kind: 'iron' })],
  options: DEFAULT_COMPARE,
};

describe('drift', () => {
  test('slope, its p and the lag-1 correlation of five points by hand', () => {
    // y = 1 2 2 4 6 over 0 … 4: slope 12/10, intercept 0.6, residuals 0.4 0.2 −1 −0.2 0.6, their squares 1.6, neighbours −0.04.
    const trend = trendOf([0, 1, 2, 3, 4], [1, 2, 2, 4, 6]);
    expect(trend.slope).toBeCloseTo(1.2, 12);
    expect(trend.lag1).toBeCloseTo((0.08 - 0.2 + 0.2 - 0.12) / 1.6, 12);
    const se = Math.sqrt(1.6 / 3 / 10);
    expect(trend.p).toBeCloseTo(2 * slowTSurvival(1.2 / se, 3), 7);
  });

  test('swings on both sides of a missing one are no neighbours', () => {
    const whole = trendOf([0, 1, 2, 3, 4], [1, 2, 2, 4, 6]);
    const gap = trendOf([0, 1, 2, 4, 5], [1, 2, 2, 4, 6]);
    expect(gap.lag1).not.toBeCloseTo(whole.lag1, 3);
    expect(() => trendOf([0, 1], [1, 2])).toThrow(RangeError);
  });

  test('an exact line is certain, a level one is none', () => {
    expect(trendOf([0, 1, 2, 3, 4], [1, 2, 3, 4, 5]).p).toBe(0);
    expect(trendOf([0, 1, 2, 3, 4], [2, 2, 2, 2, 2])).toMatchObject({ slope: 0, p: 1, lag1: 0 });
  });

  test('only the club that drifts is flagged, by its own trial order, and a note says so', () => {
    const random = createRandom(2);
    const steady = (): Record<string, number> => ({ 'pelvis.forward_bend@P7': 10 + random.normal() });
    const driver = Array.from({ length: 8 }, (_, i) => ({
      'pelvis.forward_bend@P7': 10 + 2 * i + 0.5 * random.normal(),
    }));
    const comparison = compareRecords(twoGroups(driver, Array.from({ length: 12 }, steady)), PLAN);
    expect(comparison.drift.map(({ club, flagged }) => [club, flagged])).toEqual([
      ['driver', true],
      ['iron7', false],
      ['iron8', false],
    ]);
    expect(Math.abs(comparison.drift[0]!.slope - 2)).toBeLessThan(0.3);
    expect(comparison.notes.join(' ')).toContain('Drift within driver: pelvis.forward_bend at P7');
  });
});

describe('what is drawn', () => {
  const curve = (level: number): Float64Array => new Float64Array(CURVE_STEPS).fill((level * Math.PI) / 180);
  const level = (trial: string): number => Number(trial.slice(6));
  const changes = (trial: string): Partial<SwingRecord> => {
    const values = curve(level(trial));
    if (trial === 'wren-d01' || trial === 'wren-d02' || trial === 'wren-d03') values.fill(Number.NaN, 70);
    return {
      curves: [{ quantity: 'pelvis.turn', unit: 'deg', order: 'YXZ', values }],
      figures: [
        { position: 'P1', points: { pelvis_centre: [0.1, 1, 0.2], head_centre: [0.1, 1.6, 0.2] } },
        { position: 'P4', points: { lead_wrist: [0.3 + 0.1 * level(trial), 1.5, 0.2] } },
      ],
      cells: [cellOf('tempo.downswing@swing', 0.25, { plusMinus: 0.002 }), cellOf('pelvis.turn@P4', -40)],
      moments: trial === 'wren-i01' ? { ...allMoments(), P7: momentOf('P7', { time_s: 1.3 }) } : allMoments(),
    };
  };
  const five = Array.from({ length: 5 }, () => ({}));
  const comparison = compareRecords(twoGroups(five, five, changes), PLAN);

  test('curves are in display units; steps that fewer than half of the swings have are left open', () => {
    const [summary] = comparison.curves;
    expect(summary!.groupMean[0]).toBeCloseTo(3, 12);
    expect(summary!.referenceSd[0]).toBeCloseTo(Math.sqrt(2.5), 12);
    expect(summary!.groupMean[75]).toBeNaN();
    expect(summary!.referenceMean[75]).toBeCloseTo(3, 12);
    expect(summary!.groupCurves.map(({ trial }) => trial)).toHaveLength(5);
  });

  test('figures are means after moving the pelvis at P1 to the middle', () => {
    expect(comparison.figures.map(({ position }) => position)).toEqual(['P1', 'P4']);
    const [start, top] = comparison.figures;
    expect(start!.group['pelvis_centre']).toEqual([0, 1, 0]);
    expect(top!.group['lead_wrist']![0]).toBeCloseTo(0.5, 12);
    expect(top!.group['lead_wrist']![1]).toBeCloseTo(1.5, 12);
  });

  test('marks carry each swing’s value and its ±; times are means relative to P7', () => {
    const marks = comparison.marks.find(({ quantity }) => quantity === 'tempo.downswing');
    expect(marks!.group[0]).toEqual({ trial: 'wren-d01', value: 0.25, plusMinus: 0.002 });
    const top = comparison.times.find(({ position }) => position === 'P4')!;
    expect(top.group_s).toBeCloseTo(0.3 - 0.8, 12);
    // one of the five irons hits 0.5 s later
    expect(top.reference_s).toBeCloseTo(0.3 - 0.8 - 0.5 / 5, 12);
    expect(comparison.times.find(({ position }) => position === 'P7')).toEqual({
      position: 'P7',
      group_s: 0,
      reference_s: 0,
    });
    expect(comparison.hand).toBe('right');
  });
});
