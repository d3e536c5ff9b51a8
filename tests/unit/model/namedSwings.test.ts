import { describe, expect, it } from 'vitest';
import { selectSwings } from '../../../src/compare/swings.ts';
import { type KnownSwings, namedSides } from '../../../src/model/namedSwings.ts';
import type { SwingRecord } from '../../../src/model/swingRecord.ts';
import type { SwingSelector } from '../../../src/model/swingSelector.ts';

const CLUBS = [
  { id: 'driver', kind: 'driver', length_m: null },
  { id: 'driver2', kind: 'driver', length_m: null },
  { id: 'iron5', kind: 'iron', length_m: null },
  { id: 'iron7', kind: 'iron', length_m: null },
  { id: 'late', kind: 'wedge', length_m: null },
] as const;

const SWINGS = [
  ['driver', 'before'],
  ['driver', 'after'],
  ['driver2', 'after'],
  ['iron5', 'before'],
  ['iron7', 'after'],
  ['iron7', ''],
  ['late', 'late'],
].map(([club, set], index) => ({ club: club!, set: set!, trial: `t${index}` }));

const KNOWN: KnownSwings = { clubs: CLUBS, swings: SWINGS };

/** What the comparison itself selects, by place in SWINGS. */
function chosen(selector: SwingSelector): string {
  const records = SWINGS.map((head) => ({
    head: { ...head, player: 'wren', role: 'swing', kind: null },
  })) as unknown as SwingRecord[];
  return selectSwings(records, 'wren', CLUBS, selector)
    .records.map(({ head }) => head.trial.slice(1))
    .join('');
}

describe('names of swings', () => {
  it.each([
    ['driver', 'irons', 'driver', '012', 'irons', '345'],
    ['club:driver', 'Irons', 'driver', '01', 'irons', '345'],
    ['kind:driver', 'iron7', 'driver', '012', 'iron7', '45'],
    ['iron5', 'irons', 'iron5', '3', 'other irons', '45'],
    ['irons', 'iron5', 'other irons', '45', 'iron5', '3'],
    ['driver,after', 'driver , before', 'driver, set after', '12', 'driver, set before', '0'],
    ['after', 'before', 'set after', '124', 'set before', '03'],
    ['iron5,iron7', 'driver2', 'iron5, iron7', '345', 'driver2', '2'],
    ['set:late', 'before,after', 'set late', '6', 'sets before, after', '01234'],
    ['irons', 'after', 'irons', '345', 'other set after', '12'],
  ])('%s against %s', (of, against, labelA, inA, labelB, inB) => {
    const sides = namedSides(of, against, KNOWN);
    expect([sides.of.label, chosen(sides.of)]).toEqual([labelA, inA]);
    expect([sides.against.label, chosen(sides.against)]).toEqual([labelB, inB]);
  });
  it('the narrower side keeps what both name, whichever way round they are written', () => {
    const there = namedSides('iron5', 'irons', KNOWN);
    const back = namedSides('irons', 'iron5', KNOWN);
    expect(back).toEqual({ of: there.against, against: there.of });
  });
  it.each([
    [
      'irn5',
      'irons',
      'of',
      '"irn5" is no club, kind or set of these swings; did you mean iron5?; there are clubs driver, driver2, iron5, iron7, late; sets after, before, late; kinds driver, wood, hybrid, iron, wedge, putter',
    ],
    ['driver', 'club:irons', 'against', '"irons" is no club of these swings'],
    ['driver', 'late', 'against', '"late" is a club and a set; write club:late or set:late'],
    ['driver,', 'irons', 'of', 'names nothing before or after a comma'],
    [' ', 'irons', 'of', 'it names no swings; there are clubs'],
    ['kind:driver', 'driver', 'against', '"driver" names the same swings as "kind:driver"'],
  ])('%j against %j is refused at the side that is wrong', (of, against, side, message) => {
    expect(() => namedSides(of, against, KNOWN)).toThrow(
      expect.objectContaining({ side, message: expect.stringContaining(message) as string }),
    );
  });
  it('lists no sets where there are none', () => {
    const swings = [{ club: 'iron5', set: '' }];
    expect(() => namedSides('x', 'y', { clubs: [], swings })).toThrow('there are clubs (none); kinds driver');
  });
});
