import { describe, expect, it } from 'vitest';
import { compareGroups } from '../../../src/compare/compareGroups.ts';
import { compareRecords } from '../../../src/compare/compareRecords.ts';
import { DRIVER, IRONS } from '../../../src/compare/swings.ts';
import { DEFAULT_COMPARE } from '../../../src/model/dayPlan.ts';
import type { SwingSelector } from '../../../src/model/swingSelector.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { fullDay } from '../../support/swingRecords.ts';

const PLAN = {
  player: { id: 'wren', hand: 'right' },
  clubs: [],
  options: { ...DEFAULT_COMPARE, resamples: 100 },
} as const;
const IRON7: SwingSelector = { label: 'iron7', clubs: ['iron7'] };
const OTHERS: SwingSelector = { label: 'other irons', kinds: ['iron'], except: IRON7 };

describe('groups turned round (issue: swapping flips every sign and no verdict)', () => {
  it.each([
    [1, 5, 11],
    [2, 12, 6],
    [3, 9, 8],
  ])('day %i, %i driver and %i iron swings', (seed, nDriver, nIrons) => {
    const records = fullDay(
      createRandom(seed),
      nDriver,
      nIrons,
      1.5,
      (quantity, position) => 2 * (((quantity.length + 5 * position.charCodeAt(1)) % 9) - 4),
    );
    const there = compareRecords(records, PLAN);
    const back = compareRecords(records, { ...PLAN, group: IRONS, reference: DRIVER });
    expect(back.rows.length).toBe(there.rows.length);
    const near = (value: number | null) => (value === null ? null : expect.closeTo(value, 9));
    const minus = (value: number | null) => (value === null ? null : -value);
    there.rows.forEach((row, i) => {
      const turned = back.rows[i]!;
      expect([turned.quantity, turned.position, turned.basis]).toEqual([row.quantity, row.position, row.basis]);
      expect([turned.verdict, turned.family]).toEqual([row.verdict, row.family]);
      expect([turned.difference, turned.low95, turned.high95, turned.hedgesG]).toEqual(
        [minus(row.difference), minus(row.high95), minus(row.low95), minus(row.hedgesG)].map(near),
      );
      expect([turned.margin, turned.p, turned.pBeyond, turned.pWithin, turned.pAdjusted]).toEqual(
        [row.margin, row.p, row.pBeyond, row.pWithin, row.pAdjusted].map(near),
      );
    });
    // rows of several verdicts, so that the law is not one of undecided rows alone
    expect(there.counts.departs).toBeGreaterThan(20);
    expect(there.counts.undecided).toBeGreaterThan(20);
    expect(there.counts.departs + there.counts.undecided).toBeLessThan(there.rows.length);
  });
});

describe('all comparisons of a player', () => {
  const records = fullDay(createRandom(4), 6, 12, 1, () => 0);
  const group = { name: 'one-iron', of: IRON7, against: OTHERS };

  it('without groups are driver against irons alone', () => {
    expect(compareGroups(records, PLAN, [])).toEqual([compareRecords(records, { ...PLAN, name: '' })]);
  });
  it('further groups follow with a name of their own that ends the names of their sheets', () => {
    const [main, further, ...more] = compareGroups(records, PLAN, [group]);
    expect(more).toEqual([]);
    expect([main!.name, main!.part.suffix]).toEqual(['', '']);
    expect([further!.name, further!.part.suffix]).toEqual(['one-iron', '-one-iron']);
    expect([further!.group.clubs, further!.reference.clubs]).toEqual([['iron7'], ['iron8']]);
    expect(further!.reference.trials.length + further!.group.trials.length).toBe(12);
  });
  it('a group called main takes the first place; one that the player has no swing of is passed over', () => {
    const wedges: SwingSelector = { label: 'wedges', kinds: ['wedge'] };
    const woods: SwingSelector = { label: 'woods', kinds: ['wood'] };
    const [main, ...more] = compareGroups(records, PLAN, [
      { ...group, name: 'main' },
      { name: 'short', of: wedges, against: woods },
    ]);
    expect(more).toEqual([]);
    expect([main!.group.label, main!.name, main!.part.suffix]).toEqual(['iron7', '', '']);
    const [, half] = compareGroups(records, PLAN, [{ name: 'half', of: wedges, against: IRONS }]);
    expect(half!.reason).toBe('no swing of the wedges');
  });
});
