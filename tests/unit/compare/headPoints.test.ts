import { describe, expect, it } from 'vitest';
import { headPointFaults } from '../../../src/compare/headPoints.ts';
import type { HeadPlace } from '../../../src/model/headPlace.ts';
import type { SwingRecord } from '../../../src/model/swingRecord.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { swingRecord } from '../../support/swingRecords.ts';

const LIMIT_m = 0.006;
const found = (records: readonly SwingRecord[]) => headPointFaults(records, () => LIMIT_m);

function swings(places: readonly (HeadPlace | undefined)[], club = 'driver'): SwingRecord[] {
  return places.map((headPlace, order) => {
    const made = { trial: `${club}-${order}`, club, kind: 'driver' as const, order, values: {} };
    return swingRecord(made, headPlace === undefined ? {} : { headPlace });
  });
}

const place = (along_m: number): HeadPlace => ({ 'along the shaft': along_m, 'off the shaft': 0.05 });

describe('the head point in the swings of a club', () => {
  it('alike within the limit: nothing', () => {
    expect(found(swings([0.8, 0.803, 0.805, 0.801].map(place)))).toEqual(new Map());
  });

  it('one swing off by more: named, with both lengths and the limit', () => {
    const all = found(swings([0.8, 0.801, 0.812, 0.8].map(place)));
    expect([...all.keys()]).toEqual(['driver-2']);
    expect(all.get('driver-2')).toEqual({
      code: 'head-point-changes',
      markers: [],
      frames: [],
      action: 'kept',
      detail:
        'along the shaft 812.0 mm, in most other swings of the club 800.0 mm; 6.0 mm are allowed: a marker of the club was put elsewhere, or this is another club',
    });
  });

  it('a head marker that was put elsewhere is named by its distances', () => {
    const usual = { 'CLUB_HEAD_1 to CLUB_HEAD_2': 0.096, 'CLUB_HEAD_1 to CLUB_HEAD_3': 0.082 };
    const all = found(swings([usual, usual, { ...usual, 'CLUB_HEAD_1 to CLUB_HEAD_2': 0.104 }]));
    expect(all.get('driver-2')?.markers).toEqual(['CLUB_HEAD_1', 'CLUB_HEAD_2']);
  });

  it('half of the day otherwise: the later half is what changed', () => {
    const all = found(swings([0.8, 0.8, 0.8, 0.83, 0.83, 0.83].map(place)));
    expect([...all.keys()].sort()).toEqual(['driver-3', 'driver-4', 'driver-5']);
  });

  it('two swings alone tell nothing, other clubs are other clubs, and a swing without its place is left out', () => {
    expect(found(swings([0.8, 0.9].map(place)))).toEqual(new Map());
    expect(found([...swings([0.8, 0.8, 0.8].map(place)), ...swings([0.7, 0.7, 0.7].map(place), 'iron7')])).toEqual(
      new Map(),
    );
    expect(found(swings([place(0.8), undefined, place(0.8), place(0.8)]))).toEqual(new Map());
  });

  it('does not depend on the order of the records', () => {
    const random = createRandom(7);
    const all = swings(Array.from({ length: 12 }, () => place(0.8 + 0.02 * random.uniform())));
    const there = [...found(all)].sort();
    const back = [...found([...all].reverse())].sort();
    expect(there.length).toBeGreaterThan(0);
    expect(back).toEqual(there);
  });
});
