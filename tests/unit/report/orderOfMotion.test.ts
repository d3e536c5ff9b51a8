import { JSDOM } from 'jsdom';
import { describe, expect, it } from 'vitest';
import { LINKS, type Link, type OrderMethod } from '../../../src/model/orderOfMotion.ts';
import type { BothSides, OrderSummary } from '../../../src/model/orderSummary.ts';
import { renderPlayerDetails } from '../../../src/report/playerDetails.ts';
import { renderPlayerSheet } from '../../../src/report/playerSheet.ts';
import {
  absentLinks,
  atImpactText,
  gainText,
  orderSentences,
  orderText,
} from '../../../src/report/sentences/orderWords.ts';
import type { PlayerView } from '../../../src/report/views.ts';
import { EN } from '../../../src/report/words/en.ts';
import { type FixtureOptions, fixtureComparison, fixtureView } from '../../support/reportFixture.ts';

function parse(svg: string): Document {
  return new JSDOM(svg, { contentType: 'image/svg+xml' }).window.document;
}

function textsOf(root: Element | Document): string[] {
  return [...root.querySelectorAll('text')].map((text) => text.textContent ?? '');
}

function panelOf(svg: Document, method: string): Element | undefined {
  return [...svg.querySelectorAll('g[role=group]')].find(
    (group) => group.querySelector('title')?.textContent === `Order of motion, ${method}`,
  );
}

const WHOLE = 'whole turning speed';

function both<T>(group: T, reference: T = group): BothSides<T> {
  return { group, reference };
}

function byMethod<T>(value: T): Record<OrderMethod, T> {
  return { magnitude: value, long_axis: value, swing_plane: value };
}

/** The fixture's summary with what the sentences are made of set by hand. */
function said(changes: Partial<OrderSummary>): readonly string[] {
  const comparison = fixtureComparison();
  return orderSentences(EN, { ...comparison, orderOfMotion: { ...comparison.orderOfMotion!, ...changes } });
}

const UP: readonly Link[] = ['pelvis', 'thorax', 'club'];
const SWAPPED: readonly Link[] = ['thorax', 'pelvis', 'club'];
const SETTLED = byMethod(both<readonly (readonly [Link, Link])[]>([]));

describe('the order in words', () => {
  it('is said once where driver and irons move alike and every way of measuring gives it', () => {
    const texts = said({
      orders: byMethod(both(UP)),
      unsettled: SETTLED,
      methodsAgree: both<boolean | null>(true),
      clubsAgree: true,
    });
    expect(texts).toEqual([
      'Driver and irons move in one order: pelvis, chest, club.',
      'All three ways of measuring give this order.',
    ]);
  });

  it('is said of each club where they differ', () => {
    const [clubs] = said({ orders: byMethod(both(UP, SWAPPED)), unsettled: SETTLED, clubsAgree: false });
    expect(clubs).toBe('Driver: pelvis, chest, club. Irons: chest, pelvis, club.');
  });

  it('is left open where these swings do not settle it', () => {
    const [clubs, methods] = said({
      orders: byMethod(both(UP, SWAPPED)),
      unsettled: byMethod(both<readonly (readonly [Link, Link])[]>([], [['thorax', 'pelvis']])),
      methodsAgree: both<boolean | null>(null),
      clubsAgree: null,
    });
    expect(clubs).toBe(
      'Driver: pelvis, chest, club. Irons: pelvis and chest about together, then club. Whether the two really differ is open.',
    );
    expect(methods).toBe('Whether another way of measuring would change the order is open.');
  });

  it('names no order of two links that are too close, so that equal pairs read alike whichever mean is the earlier', () => {
    const [clubs] = said({
      orders: byMethod(both(UP, SWAPPED)),
      unsettled: byMethod(both<readonly (readonly [Link, Link])[]>([['pelvis', 'thorax']], [['thorax', 'pelvis']])),
      clubsAgree: null,
    });
    expect(clubs).toBe('Driver and irons move in one order: pelvis and chest about together, then club.');
  });

  it('keeps links that are about together apart from those before and after', () => {
    const summary = fixtureComparison().orderOfMotion!;
    const five: readonly Link[] = ['pelvis', 'lead_upper_arm', 'thorax', 'lead_forearm', 'club'];
    const pairs = both<readonly (readonly [Link, Link])[]>([['lead_upper_arm', 'thorax']]);
    const changed = { ...summary, orders: byMethod(both(five)), unsettled: byMethod(pairs) };
    expect(orderText(EN, changed, 'magnitude', 'group')).toBe(
      'pelvis, then chest and upper arm about together, then forearm, club',
    );
  });

  it.each([
    ['group', both<boolean | null>(false, true), 'driver'],
    ['reference', both<boolean | null>(null, false), 'irons'],
  ] as const)('says what another way of measuring would give (%s)', (side, methodsAgree, label) => {
    const orders = { ...byMethod(both(UP)), long_axis: both(UP), swing_plane: { ...both(UP), [side]: SWAPPED } };
    const texts = said({ orders, unsettled: SETTLED, methodsAgree, clubsAgree: true });
    expect(texts[1]).toBe(
      `How it is measured matters here: in the swing plane the order with the ${label} would be chest, pelvis, club.`,
    );
  });

  it('calls two ways two, and nothing is said of one', () => {
    const one: readonly Link[] = ['club'];
    const two = { magnitude: both(UP), long_axis: both(UP), swing_plane: both(one) };
    const agreed = { unsettled: SETTLED, methodsAgree: both<boolean | null>(true), clubsAgree: true };
    expect(said({ ...agreed, orders: two })[1]).toBe('About the long axis the order is the same.');
    const alone = { magnitude: both(UP), long_axis: both(one), swing_plane: both<readonly Link[]>([]) };
    expect(said({ ...agreed, orders: alone })).toHaveLength(1);
  });

  it('gains, links still gaining at impact and missing links stand with their numbers and reasons', () => {
    const comparison = fixtureComparison({ arms: false });
    const summary = comparison.orderOfMotion!;
    const [pelvis, chest] = summary.links.map(({ speed }) => speed.magnitude);
    const gain = (side: 'group' | 'reference'): string =>
      (chest![side]!.mean_degPerS / pelvis![side]!.mean_degPerS).toFixed(2);
    expect(gainText(EN, comparison)).toContain(
      `Chest over pelvis: driver ${gain('group')}, irons ${gain('reference')};`,
    );
    expect(gainText(EN, comparison)).toContain('club over chest: ');
    expect(atImpactText(EN, comparison)).toBe(
      'Still gaining speed at impact, counted as 0 ms: club (driver in 8 of 8 swings, irons in 8 of 8 swings).',
    );
    expect(absentLinks(EN, summary)).toEqual([
      'No lead upper arm: needs markers of lead upper arm.',
      'No lead forearm: needs markers of lead forearm.',
    ]);
    expect(orderText(EN, summary, 'magnitude', 'group')).toBe('pelvis, chest, club');
  });
});

describe('the picture of the order', () => {
  const marksOf = (panel: Element): { driver: number[]; irons: number[] } => ({
    driver: [...panel.querySelectorAll('circle')].map((mark) => Number(mark.getAttribute('cx'))),
    irons: [...panel.querySelectorAll('path[stroke-width="0.6"][fill="#ffffff"]')].map(
      (mark) => Number(/^M([\d.]+)/.exec(mark.getAttribute('d')!)![1]) + 1.7,
    ),
  });
  /** Points of a time before impact, from the ticks that have a number. */
  const scaleOf = (panel: Element): ((ms: number) => number) => {
    const ticks = [...panel.querySelectorAll('text[text-anchor=middle]')]
      .map((text) => ({ x: Number(text.getAttribute('x')), ms: Number(text.textContent) }))
      .filter(({ ms }) => Number.isFinite(ms));
    const [a, b] = [ticks[0]!, ticks.at(-1)!];
    return (ms) => a.x + ((b.x - a.x) * (ms - a.ms)) / (b.ms - a.ms);
  };

  it.each([
    ['full', {}],
    ['left-handed', { hand: 'left', seed: 11 }],
    ['5 against 12', { drivers: 5, irons: 12 }],
    ['no arms, no club', { arms: false, club: false }],
    ['one order by one club only', { order: 'mixed' }],
  ] as const)('has a row a link from the ground up and its marks where the scale says: %s', (_name, options) => {
    const view = fixtureView(options as FixtureOptions);
    const { links } = view.comparison.orderOfMotion!;
    for (const svg of [renderPlayerSheet(view), renderPlayerDetails(view)]) {
      const panel = panelOf(parse(svg), WHOLE)!;
      const names = [...panel.querySelectorAll('text')].filter((text) =>
        LINKS.some((link) => link.replaceAll('_', ' ').replace('thorax', 'chest') === text.textContent),
      );
      expect(names.map((text) => text.textContent)).toEqual(
        links.map(({ link }) => link.replaceAll('_', ' ').replace('thorax', 'chest')),
      );
      const heights = names.map((text) => Number(text.getAttribute('y')));
      expect(heights).toEqual([...heights].sort((a, b) => a - b));
      const x = scaleOf(panel);
      const marks = marksOf(panel);
      expect(marks.driver).toHaveLength(links.length);
      expect(marks.irons).toHaveLength(links.length);
      links.forEach(({ timing }, i) => {
        // ticks and marks are rounded to two decimals of a point
        expect(marks.driver[i]).toBeCloseTo(x(1000 * timing.magnitude.group!.mean_s), 1);
        expect(marks.irons[i]).toBeCloseTo(x(1000 * timing.magnitude.reference!.mean_s), 1);
      });
      // impact is on the right: what comes earlier lies further left
      expect(x(50)).toBeLessThan(x(0));
    }
  });

  it('tells driver and irons apart by form: intervals of the driver are solid, those of the irons dashed', () => {
    const panel = panelOf(parse(renderPlayerSheet(fixtureView({ order: 'open' }))), WHOLE)!;
    const intervals = [...panel.querySelectorAll('path[stroke-width="1"]')];
    const of = (colour: string) => intervals.filter((path) => path.getAttribute('stroke') === colour);
    expect(of('#0072b2').length).toBe(5);
    expect(of('#d55e00').length).toBe(5);
    for (const path of of('#0072b2')) expect(path.getAttribute('stroke-dasharray')).toBeNull();
    for (const path of of('#d55e00')) expect(path.getAttribute('stroke-dasharray')).not.toBeNull();
  });

  it('keeps intervals inside the picture, however long they are', () => {
    const view = fixtureView({ order: 'open', drivers: 3, irons: 3 });
    // three scattered swings: an interval reaches past impact, or this test shows nothing
    const lows = view.comparison.orderOfMotion!.links.map(({ timing }) => timing.magnitude.group!.low95_s!);
    expect(Math.min(...lows)).toBeLessThan(0);
    const panel = panelOf(parse(renderPlayerSheet(view)), WHOLE)!;
    const impact = scaleOf(panel)(0);
    for (const path of panel.querySelectorAll('path[stroke-width="1"]')) {
      const [from, to] = /^M([\d.]+) [\d.]+L([\d.]+)/.exec(path.getAttribute('d')!)!.slice(1).map(Number);
      expect(Math.max(from!, to!)).toBeLessThanOrEqual(impact + 0.1);
      expect(Math.min(from!, to!)).toBeGreaterThan(0);
    }
  });

  it('draws a side that has no peak of a link as nothing, and its speed as a dash', () => {
    const view = fixtureView();
    const summary = view.comparison.orderOfMotion!;
    const without = (method: OrderMethod) => ({ ...summary.links[0]!.timing[method], reference: null });
    const links = summary.links.map((entry, i) =>
      i > 0
        ? entry
        : {
            ...entry,
            timing: { ...entry.timing, magnitude: without('magnitude') },
            speed: { ...entry.speed, magnitude: { ...entry.speed.magnitude, reference: null } },
          },
    );
    const changed: PlayerView = {
      ...view,
      comparison: { ...view.comparison, orderOfMotion: { ...summary, links } },
    };
    const panel = panelOf(parse(renderPlayerSheet(changed)), WHOLE)!;
    expect(marksOf(panel).driver).toHaveLength(5);
    expect(marksOf(panel).irons).toHaveLength(4);
    expect(textsOf(panel)).toContain('–');
  });

  it('is on the sheet by the whole turning speed, in the details by all three, and in words for those who do not see it', () => {
    const view = fixtureView({ order: 'mixed' });
    const sheet = parse(renderPlayerSheet(view));
    expect(panelOf(sheet, 'about the long axis')).toBeUndefined();
    const details = parse(renderPlayerDetails(view));
    for (const method of [WHOLE, 'about the long axis', 'in the swing plane']) {
      expect(panelOf(details, method)).toBeDefined();
    }
    const description = sheet.querySelector(':root > desc')?.textContent ?? '';
    const pelvis = view.comparison.orderOfMotion!.links[0]!.timing.magnitude;
    expect(description).toContain(
      `Fastest turning before impact: pelvis: driver ${(1000 * pelvis.group!.mean_s).toFixed(0)} ms, irons ${(1000 * pelvis.reference!.mean_s).toFixed(0)} ms;`,
    );
    expect(description).toContain('How it is measured matters here: about the long axis');
  });

  it('is absent where there is no order, with the reason where the swings have one', () => {
    const view = fixtureView({ reduced: true });
    expect(view.comparison.orderOfMotion).toBeNull();
    const sheetAndDetails = (shown: PlayerView): string[] =>
      [renderPlayerSheet, renderPlayerDetails].map((render) => textsOf(parse(render(shown))).join(' '));
    for (const text of sheetAndDetails(view)) expect(text).not.toMatch(/[Oo]rder of motion/);
    const row = {
      ...view.comparison.rows[0]!,
      quantity: 'order.pelvis.magnitude.time',
      position: 'swing' as const,
      meanGroup: null,
      meanReference: null,
      difference: null,
      verdict: 'none' as const,
      reason: 'described, not judged; 8 of 8 driver and 8 of 8 irons left out: needs a frame of the pelvis',
    };
    const known = { ...view, comparison: { ...view.comparison, rows: [...view.comparison.rows, row] } };
    for (const text of sheetAndDetails(known)) {
      expect(text).toContain('No order of motion: needs a frame of the pelvis.');
    }
    const description = parse(renderPlayerSheet(known)).querySelector(':root > desc')?.textContent;
    expect(description).toContain('No order of motion: needs a frame of the pelvis.');
  });
});
