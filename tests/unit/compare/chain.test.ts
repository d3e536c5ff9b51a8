import { describe, expect, test } from 'vitest';
import { blockDifferences, blocksOf } from '../../../src/compare/blocks.ts';
import { compareRecords } from '../../../src/compare/compareRecords.ts';
import { DRIVER, IRONS, selectSwings } from '../../../src/compare/swings.ts';
import { CATALOGUE } from '../../../src/model/catalogue.ts';
import { BODY_LINKS } from '../../../src/model/comparison.ts';
import { DEFAULT_COMPARE } from '../../../src/model/dayPlan.ts';
import { CURVE_STEPS, type SwingRecord } from '../../../src/model/swingRecord.ts';
import { createRandom } from '../../../src/numeric/random.ts';
import { clubPlan } from '../../support/plans.ts';
import { smoothCurve } from '../../support/smoothCurves.ts';
import { fullDay, twoGroups } from '../../support/swingRecords.ts';

const PLAN = {
  player: { id: 'wren', hand: null },
  clubs: [clubPlan(), clubPlan({ id: 'iron7', kind: 'iron' }), clubPlan({ id: 'iron8', kind: 'iron' })],
  options: { ...DEFAULT_COMPARE, resamples: 200 },
};

describe('the chain of departures', () => {
  test('runs from the ground up and names the largest of each link in margins', () => {
    const random = createRandom(1);
    const shifts: Readonly<Record<string, number>> = {
      'lead_knee.flexion@P4': 9,
      'trail_knee.flexion@P4': -14,
      'pelvis.forward_bend@P4': 8,
      'pelvis.to_target@P4': 0,
      'thorax.side_bend@P4': 0,
      'head.rise@P4': -60,
      'lead_elbow.flexion@P7': 11,
    };
    const swing = (driver: boolean): Record<string, number> =>
      Object.fromEntries(
        Object.entries(shifts).map(([key, shift]) => [key, 20 + random.normal() + (driver ? shift : 0)]),
      );
    const records = twoGroups(
      Array.from({ length: 7 }, () => swing(true)),
      Array.from({ length: 9 }, () => swing(false)),
    );
    const { chains } = compareRecords(records, PLAN);
    expect(chains.map(({ position, basis }) => `${position} ${basis}`)).toEqual(['P4 value', 'P7 value']);
    expect(
      chains[0]!.links.map(({ link, tested, departing }) => [link, tested, departing.map(({ quantity }) => quantity)]),
    ).toEqual([
      ['knees', 2, ['trail_knee.flexion', 'lead_knee.flexion']],
      ['pelvis', 2, ['pelvis.forward_bend']],
      ['chest', 1, []],
      ['head', 1, ['head.rise']],
    ]);
    expect(chains[0]!.links[3]!.departing[0]!.unit).toBe('mm');
    expect(chains[1]!.links.map(({ link }) => link)).toEqual(['elbows']);
  });

  test('every posture of the catalogue has a link; speeds, times, the club, the ball and the whole body have none', () => {
    const without = /^(club|tempo|time|body|ball|order)[._]|_rate$|speed/;
    const comparison = compareRecords(
      fullDay(createRandom(2), 6, 6, 1, () => 0),
      PLAN,
    );
    const postures = comparison.rows.filter(
      ({ quantity, position, verdict }) => position !== 'swing' && verdict !== 'none' && !without.test(quantity),
    );
    const tested = comparison.chains.flatMap(({ links }) => links).reduce((sum, link) => sum + link.tested, 0);
    expect(tested).toBe(postures.length);
    expect(new Set(comparison.chains.flatMap(({ links }) => links.map(({ link }) => link)))).toEqual(
      new Set(BODY_LINKS),
    );
    expect(CATALOGUE.filter(({ id }) => without.test(id)).length).toBeGreaterThan(20);
  });
});

describe('blocks of the day', () => {
  const ordered = (sides: string, curve: (side: string, place: number) => Float64Array): SwingRecord[] => {
    const random = createRandom(3);
    const of = (side: string): number[] => [...sides].flatMap((one, place) => (one === side ? [place] : []));
    const [drivers, irons] = [of('D'), of('I')];
    const values = { 'pelvis.forward_bend@P4': 20 + random.normal() };
    return twoGroups(
      drivers.map(() => values),
      irons.map(() => values),
    ).map((record) => {
      const side = record.head.trial.startsWith('wren-d') ? 'D' : 'I';
      const order = (side === 'D' ? drivers : irons)[Number(record.head.trial.slice(6)) - 1]!;
      const rad = curve(side, order).map((value) => (value * Math.PI) / 180);
      return {
        ...record,
        head: { ...record.head, order },
        curves: [{ quantity: 'pelvis.forward_bend', unit: 'deg', order: 'YXZ', values: rad }],
      };
    });
  };
  const flat = (): Float64Array => new Float64Array(CURVE_STEPS);

  test('are runs of one side in the order of the trials, told in a note', () => {
    const records = ordered('DDIIIDDDII', flat);
    const blocks = blocksOf(selectSwings(records, 'wren', [], DRIVER), selectSwings(records, 'wren', [], IRONS));
    expect(blocks.map(({ of, swings }) => [of, swings.length])).toEqual([
      ['group', 2],
      ['reference', 3],
      ['group', 3],
      ['reference', 2],
    ]);
    const { notes, blocks: told } = compareRecords(records, PLAN);
    expect(notes).toContain('Order of the swings: driver 2, irons 3, driver 3, irons 2.');
    expect(told[1]).toEqual({ label: 'irons', swings: 3, clubs: ['iron7', 'iron8'] });
    expect(compareRecords(ordered('DI'.repeat(8), flat), PLAN).notes).toContain(
      'Order of the swings: 16 blocks of 1 in turn, the first of the driver.',
    );
  });

  test('differences of neighbouring blocks are group less reference, by means, without what drifts between pairs', () => {
    const blocks = [
      { of: 'reference', swings: [0, 1] },
      { of: 'group', swings: [0] },
      { of: 'reference', swings: [2] },
      { of: 'group', swings: [1, 2] },
      { of: 'reference', swings: [3] },
    ] as const;
    const one = (value: number): Float64Array => Float64Array.of(value, Number.NaN);
    const pairs = blockDifferences(blocks, {
      group: [one(7), one(20), one(22)],
      reference: [one(1), one(3), one(15), one(99)],
    });
    expect(pairs.map((curve) => curve[0])).toEqual([5, 6]);
    expect(pairs[0]![1]).toBeNaN();
    expect(
      blockDifferences(blocks, { group: [null, one(20), one(22)], reference: [one(1), one(3), one(15), null] }),
    ).toHaveLength(1);
  });

  test('a drift through the session hides a difference of curves; with neighbours paired it is found', () => {
    const random = createRandom(4);
    const drifting = (side: string, place: number): Float64Array =>
      smoothCurve(random, CURVE_STEPS, 25).map((value) => 0.5 * value + 1.2 * place + (side === 'D' ? 3 : 0));
    const [curve] = compareRecords(ordered('DI'.repeat(9), drifting), PLAN).curves;
    expect(curve!.p).toBeGreaterThan(0.05);
    expect(curve!.pPaired).toBeLessThan(0.01);
    const few = compareRecords(ordered('DI'.repeat(5), drifting), PLAN).curves[0]!;
    expect(few.pPaired).toBeNull();
  });

  test('curves that differ are told with their paired p', () => {
    const random = createRandom(5);
    const apart = (side: string): Float64Array =>
      smoothCurve(random, CURVE_STEPS, 25).map((value) => value + (side === 'D' ? 6 : 0));
    const { notes } = compareRecords(ordered('DI'.repeat(8), apart), PLAN);
    expect(notes.join(' ')).toContain('Curves with the 8 pairs of neighbouring blocks compared');
    expect(notes.join(' ')).toContain('pelvis forward bend p 0.0078.');
  });
});
