/** What the comparison says of the order of motion, from records made by hand. */
import { describe, expect, it } from 'vitest';
import { compareRecords } from '../../../src/compare/compareRecords.ts';
import { DEFAULT_COMPARE } from '../../../src/model/dayPlan.ts';
import type { Link, OrderMethod } from '../../../src/model/orderOfMotion.ts';
import type { OrderSummary } from '../../../src/model/orderSummary.ts';
import { clubPlan } from '../../support/plans.ts';
import { twoGroups } from '../../support/swingRecords.ts';

type Values = Readonly<Record<string, number | null>>;

const time = (link: Link, method: OrderMethod = 'magnitude'): string => `order.${link}.${method}.time@swing`;
const speed = (link: Link, method: OrderMethod = 'magnitude'): string => `order.${link}.${method}.speed@swing`;

function comparisonOf(driver: readonly Values[], irons: readonly Values[]) {
  return compareRecords(twoGroups(driver, irons), {
    player: { id: 'wren', hand: 'right' },
    clubs: [clubPlan()],
    options: { ...DEFAULT_COMPARE, resamples: 200 },
  });
}

function summaryOf(driver: readonly Values[], irons: readonly Values[]): OrderSummary {
  const { orderOfMotion } = comparisonOf(driver, irons);
  if (orderOfMotion === null) throw new Error('no order');
  return orderOfMotion;
}

/** Swings whose values are each key's list, one after the other. */
function swings(n: number, of: Readonly<Record<string, (swing: number) => number | null>>): Values[] {
  return Array.from({ length: n }, (_, swing) =>
    Object.fromEntries(Object.entries(of).map(([key, value]) => [key, value(swing)])),
  );
}

/** −2 … 2 times `step` about `mean`, over and over. */
const about =
  (mean: number, step: number, shift = 0) =>
  (swing: number): number =>
    mean + step * (((swing + shift) % 5) - 2);

describe('times and speeds of a link', () => {
  it('are means with the t interval of the mean, of groups of unequal size', () => {
    const { links } = summaryOf(
      swings(5, { [time('pelvis')]: about(0.1, 0.01), [speed('pelvis')]: about(450, 10) }),
      swings(10, { [time('pelvis')]: about(0.09, 0.01), [speed('pelvis')]: about(440, 10) }),
    );
    const { timing, speed: speeds, gain, whyNot } = links[0]!;
    // t(0.975) of 4 and 9 degrees of freedom is 2.776 and 2.262 in any table; standard deviations √(10/4) and √(20/9) steps.
    const half = [
      (2.7764 * 0.01 * Math.sqrt(10 / 4)) / Math.sqrt(5),
      (2.2622 * 0.01 * Math.sqrt(20 / 9)) / Math.sqrt(10),
    ];
    const { group, reference } = timing.magnitude;
    expect([group!.n, reference!.n]).toEqual([5, 10]);
    expect(group!.mean_s).toBeCloseTo(0.1, 12);
    expect(group!.low95_s).toBeCloseTo(0.1 - half[0]!, 6);
    expect(group!.high95_s).toBeCloseTo(0.1 + half[0]!, 6);
    expect(reference!.low95_s).toBeCloseTo(0.09 - half[1]!, 6);
    expect(reference!.high95_s).toBeCloseTo(0.09 + half[1]!, 6);
    expect(speeds.magnitude.group!.mean_degPerS).toBeCloseTo(450, 9);
    expect(speeds.magnitude.group!.sd_degPerS).toBeCloseTo(10 * Math.sqrt(10 / 4), 9);
    expect(timing.long_axis).toEqual({ group: null, reference: null });
    expect([gain, whyNot]).toEqual([null, '']);
  });

  it('of one swing have no interval', () => {
    const { links } = summaryOf(
      swings(1, { [time('pelvis')]: () => 0.1 }),
      swings(6, { [time('pelvis')]: about(0.1, 0.01) }),
    );
    expect(links[0]!.timing.magnitude.group).toEqual({ mean_s: 0.1, low95_s: null, high95_s: null, n: 1, atImpact: 0 });
    expect(links[0]!.timing.magnitude.reference!.low95_s).toBeLessThan(0.1);
  });

  it('count the swings in which the link still gains speed at impact', () => {
    const { links } = summaryOf(
      swings(5, { [time('club')]: (swing) => (swing < 3 ? 0 : 0.004) }),
      swings(5, { [time('club')]: () => 0.004 }),
    );
    expect(links[0]!.timing.magnitude.group!.atImpact).toBe(3);
    expect(links[0]!.timing.magnitude.reference!.atImpact).toBe(0);
  });

  it('gain over the nearest link before that both groups have, as ratios of the means', () => {
    const { links } = summaryOf(
      swings(5, {
        [time('pelvis')]: () => 0.1,
        [speed('pelvis')]: () => 400,
        [time('club')]: () => 0,
        [speed('club')]: about(2000, 10),
      }),
      swings(6, {
        [time('pelvis')]: () => 0.1,
        [speed('pelvis')]: () => 500,
        [time('thorax')]: () => 0.08,
        [speed('thorax')]: () => 700,
        [time('club')]: () => 0,
        [speed('club')]: () => 1800,
      }),
    );
    expect(links.map(({ link, gain }) => [link, gain?.from ?? null])).toEqual([
      ['pelvis', null],
      ['thorax', 'pelvis'],
      ['club', 'pelvis'],
    ]);
    expect(links[1]!.gain).toEqual({ from: 'pelvis', group: null, reference: 1.4 });
    expect(links[2]!.gain!.group).toBeCloseTo(5, 9);
    expect(links[2]!.gain!.reference).toBeCloseTo(3.6, 9);
  });
});

describe('links without a peak', () => {
  it('in one group are there with the reason, in both are told apart', () => {
    const { links, absent } = summaryOf(
      swings(5, {
        [time('pelvis')]: about(0.1, 0.01),
        [time('thorax')]: about(0.08, 0.01),
        [time('club')]: () => null,
      }),
      swings(6, { [time('pelvis')]: about(0.1, 0.01), [time('thorax')]: () => null, [time('club')]: () => null }),
    );
    expect(links.map(({ link }) => link)).toEqual(['pelvis', 'thorax']);
    expect(links[0]!.whyNot).toBe('');
    expect(links[1]!.whyNot).toBe('6 of 6 irons left out: needs the left and right PSIS');
    expect(links[1]!.timing.magnitude.reference).toBeNull();
    const club = absent.find(({ link }) => link === 'club')!;
    expect(club.why).toBe('5 of 5 driver and 6 of 6 irons left out: needs the left and right PSIS');
  });

  it('in all swings of a group leave no order at all', () => {
    const { orderOfMotion } = comparisonOf(
      swings(5, { [time('pelvis')]: about(0.1, 0.01) }),
      swings(5, { [time('thorax')]: about(0.1, 0.01) }),
    );
    expect(orderOfMotion).toBeNull();
  });
});

describe('whether methods and clubs agree', () => {
  const three = (pelvis: number, thorax: number, club: number, method: OrderMethod) => ({
    [time('pelvis', method)]: about(pelvis, 0.002),
    [time('thorax', method)]: about(thorax, 0.002, 2),
    [time('club', method)]: about(club, 0.0005),
  });

  it('one order by all methods: they agree', () => {
    const all = { ...three(0.09, 0.06, 0.01, 'magnitude'), ...three(0.08, 0.07, 0.01, 'swing_plane') };
    const { orders, methodsAgree, clubsAgree, unsettled } = summaryOf(swings(5, all), swings(8, all));
    expect(orders.magnitude.group).toEqual(['pelvis', 'thorax', 'club']);
    expect(orders.long_axis.group).toEqual([]);
    expect(methodsAgree).toEqual({ group: true, reference: true });
    expect(clubsAgree).toBe(true);
    expect(unsettled.magnitude).toEqual({ group: [], reference: [] });
  });

  it('another order by one method that the swings settle: they do not', () => {
    const mixed = { ...three(0.09, 0.06, 0.01, 'magnitude'), ...three(0.05, 0.08, 0.01, 'swing_plane') };
    const one = { ...three(0.09, 0.06, 0.01, 'magnitude'), ...three(0.09, 0.06, 0.01, 'swing_plane') };
    const { methodsAgree, orders, clubsAgree } = summaryOf(swings(6, mixed), swings(6, one));
    expect(orders.swing_plane.group).toEqual(['thorax', 'pelvis', 'club']);
    expect(methodsAgree).toEqual({ group: false, reference: true });
    expect(clubsAgree).toBe(true);
  });

  it('another order within the scatter of the swings: it cannot be told', () => {
    const close = { ...three(0.09, 0.06, 0.01, 'magnitude'), ...three(0.0601, 0.0605, 0.01, 'swing_plane') };
    const { methodsAgree, orders, unsettled } = summaryOf(swings(5, close), swings(5, close));
    expect(orders.swing_plane.group).toEqual(['thorax', 'pelvis', 'club']);
    expect(unsettled.swing_plane.group).toEqual([['thorax', 'pelvis']]);
    expect(methodsAgree.group).toBeNull();
  });

  it('one swing settles nothing: the same order is still the same order', () => {
    const same = { ...three(0.09, 0.06, 0.01, 'magnitude'), ...three(0.08, 0.07, 0.01, 'swing_plane') };
    const other = { ...three(0.09, 0.06, 0.01, 'magnitude'), ...three(0.05, 0.07, 0.01, 'swing_plane') };
    const { methodsAgree } = summaryOf(swings(1, same), swings(1, other));
    expect(methodsAgree).toEqual({ group: true, reference: null });
  });

  it('driver and irons in unlike orders', () => {
    const { clubsAgree, orders } = summaryOf(
      swings(5, three(0.09, 0.06, 0.01, 'magnitude')),
      swings(7, three(0.06, 0.09, 0.01, 'magnitude')),
    );
    expect(orders.magnitude).toEqual({ group: ['pelvis', 'thorax', 'club'], reference: ['thorax', 'pelvis', 'club'] });
    expect(clubsAgree).toBe(false);
  });

  it('scatter that all links share settles their order', () => {
    // One clock: P7 moves every time alike.
    const shared = (mean: number) => about(mean, 0.02);
    const { unsettled, orders } = summaryOf(
      swings(5, { [time('pelvis')]: shared(0.091), [time('thorax')]: shared(0.09) }),
      swings(5, { [time('pelvis')]: shared(0.09), [time('thorax')]: shared(0.091) }),
    );
    expect(orders.magnitude).toEqual({ group: ['pelvis', 'thorax'], reference: ['thorax', 'pelvis'] });
    expect(unsettled.magnitude).toEqual({ group: [], reference: [] });
  });

  it('fewer than two links in common: nothing is said', () => {
    const { methodsAgree, clubsAgree } = summaryOf(
      swings(5, { [time('pelvis')]: about(0.1, 0.01), [time('club', 'swing_plane')]: about(0.01, 0.001) }),
      swings(5, { [time('pelvis')]: about(0.1, 0.01) }),
    );
    expect(methodsAgree).toEqual({ group: null, reference: null });
    expect(clubsAgree).toBeNull();
  });
});

describe('rows of the order of motion', () => {
  const day = {
    [time('pelvis')]: about(0.1, 0.001),
    [speed('pelvis')]: about(450, 1),
    'pelvis.turn@P4': about(-40, 1),
  };
  const slow = { ...day, [speed('pelvis')]: about(300, 1) };

  it('have means, difference and interval, but no family and no verdict, however far they lie apart', () => {
    const { rows, familySizes, drift } = comparisonOf(swings(8, day), swings(8, slow));
    const row = rows.find(({ quantity }) => quantity === 'order.pelvis.magnitude.speed')!;
    expect(row.difference).toBeCloseTo(150, 9);
    expect(row.low95).toBeLessThan(150);
    expect([row.family, row.verdict, row.pAdjusted]).toEqual([null, 'none', null]);
    expect(row.reason).toBe('described, not judged');
    expect(familySizes).toEqual({ ...familySizes, screening: 1, limbs: 0 });
    expect(drift.filter(({ quantity }) => quantity.startsWith('order.'))).toEqual([]);
  });

  it('move no other row', () => {
    const rest = { 'pelvis.turn@P4': about(-40, 1) };
    const rowOf = (values: Readonly<Record<string, (swing: number) => number>>) =>
      comparisonOf(swings(8, values), swings(8, rest)).rows.find(({ quantity }) => quantity === 'pelvis.turn');
    expect(rowOf(day)).toEqual(rowOf(rest));
  });
});
