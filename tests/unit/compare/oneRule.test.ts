import { describe, expect, it } from 'vitest';
import { type ComparePlan, compareRecords } from '../../../src/compare/compareRecords.ts';
import { ofOneRule } from '../../../src/compare/oneRule.ts';
import { DEFAULT_COMPARE } from '../../../src/model/dayPlan.ts';
import type { SwingRecord } from '../../../src/model/swingRecord.ts';
import { clubPlan } from '../../support/plans.ts';
import { cellOf, swingRecord } from '../../support/swingRecords.ts';

const KEY = 'ball.from_lead_ankle@P1';
const CLUBS = [clubPlan(), clubPlan({ id: 'iron7', kind: 'iron', length_m: 0.94 })];
const PLAN: ComparePlan = { player: { id: 'wren', hand: 'right' }, clubs: CLUBS, options: DEFAULT_COMPARE };

/** The row of the ball from swings whose values were made by the given rules. */
function rowOf(driver: readonly string[], irons: readonly string[]) {
  const swing = (kind: 'driver' | 'iron') => (rule: string, i: number) => {
    const club = kind === 'driver' ? 'driver' : 'iron7';
    const cell = cellOf(KEY, (kind === 'driver' ? -20 : -120) + i, { rule });
    const changes: Partial<SwingRecord> = { cells: [cell] };
    return swingRecord(
      { trial: `${club}-${i}`, club, kind, order: 2 * i + (kind === 'iron' ? 1 : 0), values: {} },
      changes,
    );
  };
  const rows = compareRecords([...driver.map(swing('driver')), ...irons.map(swing('iron'))], PLAN).rows;
  return rows.find(({ quantity, position }) => `${quantity}@${position}` === KEY)!;
}

describe('values by unlike rules', () => {
  it('are left out where most of both groups share another rule; missing values and values without a rule need none', () => {
    const of = (rule?: string) => ({ rule });
    expect(ofOneRule([of('a'), of('b'), 'no marker', of('a'), of('a'), of('b')], 3)).toEqual([
      of('a'),
      'made by "b", not by "a"',
      'no marker',
      of('a'),
      of('a'),
      'made by "b", not by "a"',
    ]);
    const plain = [of(), of(), 'no marker'];
    expect(ofOneRule(plain, 1)).toBe(plain);
  });

  it('leave a row of the comparison, which says how many and why', () => {
    const row = rowOf(
      ['ball marker', 'ball marker', 'club head', ...Array<string>(5).fill('ball marker')],
      Array<string>(6).fill('ball marker'),
    );
    expect([row.nGroup, row.nReference]).toEqual([7, 6]);
    expect(row.reason).toMatch(/1 of 8 driver left out: made by "club head", not by "ball marker"/);
  });

  it('are not compared where the groups share none', () => {
    const row = rowOf(Array<string>(6).fill('ball marker'), Array<string>(6).fill('club head'));
    expect([row.verdict, row.nGroup, row.nReference]).toEqual(['none', 0, 0]);
    expect(row.reason).toMatch(/unlike rules/);
  });
});
