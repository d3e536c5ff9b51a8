import type { PlayerComparison } from '../../model/comparison.ts';
import { LINKS, type Link, ORDER_METHODS, type OrderMethod } from '../../model/orderOfMotion.ts';
import type { OrderSummary } from '../../model/orderSummary.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { listed, plain } from './numbers.ts';
import { capital } from './ranking.ts';

/** A coach's words for the order of motion: which link turns fastest when, with both clubs and by the three ways of measuring. */

/** 'about the long axis' */
export function methodName(words: Words, method: OrderMethod): string {
  return words.order.methods[method];
}

type Side = 'group' | 'reference';

/**
 * 'pelvis, chest, club', or 'pelvis and chest about together, then club' where these swings do not settle the order of neighbours; those
 * stand from the ground up, whichever mean is the earlier.
 */
export function orderText(words: Words, summary: OrderSummary, method: OrderMethod, side: Side): string {
  const { order } = words;
  const links = summary.orders[method][side];
  const isOpen = (a: Link, b: Link): boolean =>
    summary.unsettled[method][side].some((pair) => pair.includes(a) && pair.includes(b));
  const runs: Link[][] = [];
  for (const [i, link] of links.entries()) {
    const before = links[i - 1];
    if (before !== undefined && isOpen(before, link)) runs[runs.length - 1]!.push(link);
    else runs.push([link]);
  }
  return runs
    .map((run, i) => {
      const names = listed(
        words,
        LINKS.filter((link) => run.includes(link)).map((link) => order.shortLinks[link]),
      );
      const isApart = i > 0 && (run.length > 1 || runs[i - 1]!.length > 1);
      const joint = i === 0 ? '' : isApart ? order.afterwards : order.next;
      return `${joint}${run.length > 1 ? fill(order.together, { links: names }) : names}`;
    })
    .join('');
}

/** The order by the whole turning speed, with both clubs. */
function clubsText(words: Words, { group, reference }: PlayerComparison, summary: OrderSummary): string {
  const own = orderText(words, summary, 'magnitude', 'group');
  const other = orderText(words, summary, 'magnitude', 'reference');
  const { order } = words;
  if (own === other && own !== '')
    return fill(order.both, { group: capital(group.label), reference: reference.label, order: own });
  const both = [
    own === '' ? '' : fill(order.side, { label: capital(group.label), order: own }),
    other === '' ? '' : fill(order.side, { label: capital(reference.label), order: other }),
  ].filter((text) => text !== '');
  if (both.length < 2 || summary.clubsAgree === false) return both.join(' ');
  return `${both.join(' ')} ${order.isOpen}`;
}

/** Links that a way of measuring shares with the whole turning speed. */
function sharedOrder(
  summary: OrderSummary,
  method: OrderMethod,
  side: Side,
): { own: string; whole: string; n: number } {
  const own = summary.orders[method][side];
  const whole = summary.orders.magnitude[side];
  const shared = own.filter((link) => whole.includes(link));
  return { own: shared.join(), whole: whole.filter((link) => own.includes(link)).join(), n: shared.length };
}

const OTHERS = ORDER_METHODS.filter((method) => method !== 'magnitude');

/** Whether the ways of measuring agree here; '' where there is nothing to compare. */
function methodsText(words: Words, { group, reference }: PlayerComparison, summary: OrderSummary): string {
  const { methodsAgree } = summary;
  const hasOrder = (method: OrderMethod, side: Side): boolean => sharedOrder(summary, method, side).n > 1;
  const sides = (['group', 'reference'] as const).filter((side) => OTHERS.some((method) => hasOrder(method, side)));
  const others = OTHERS.filter((method) => sides.some((side) => hasOrder(method, side)));
  if (sides.length === 0) return '';
  if (sides.every((side) => methodsAgree[side] === true)) {
    return others.length > 1
      ? words.order.allAgree
      : fill(words.order.agrees, { method: capital(methodName(words, others[0]!)) });
  }
  const side = sides.find((entry) => methodsAgree[entry] === false);
  if (side === undefined) return words.order.methodsOpen;
  const method = others.find((entry) => {
    const { own, whole } = sharedOrder(summary, entry, side);
    return own !== whole;
  });
  if (method === undefined) return words.order.methodsMatter;
  const label = side === 'group' ? group.label : reference.label;
  return fill(words.order.methodMatters, {
    method: methodName(words, method),
    label,
    order: orderText(words, summary, method, side),
  });
}

/** What the picture of the order shows, one text about the clubs and one about the ways of measuring; [] where there is no order. */
export function orderSentences(words: Words, comparison: PlayerComparison): readonly string[] {
  const summary = comparison.orderOfMotion;
  if (summary === null) return [];
  return [clubsText(words, comparison, summary), methodsText(words, comparison, summary)].filter((text) => text !== '');
}

/** '8 of 8 driver left out: needs …' → 'needs …', where one cause holds for all. */
export function causeOf(reason: string): string {
  const causes = new Set(reason.split('; ').map((part) => part.replace(/^.* left out: /, '')));
  return [...causes].filter((cause) => !/^(fewer than |described, not judged)/.test(cause)).join('; ');
}

/** 'No lead forearm: needs …', one sentence a reason. Of forearm and hand one is enough, and the forearm stands for both. */
export function absentLinks(words: Words, summary: OrderSummary): readonly string[] {
  const has = (link: Link): boolean => summary.links.some((entry) => entry.link === link);
  const byCause = new Map<string, string[]>();
  for (const { link, why } of summary.absent) {
    if (link === 'lead_hand' || (link === 'lead_forearm' && has('lead_hand'))) continue;
    const cause = causeOf(why);
    byCause.set(cause, [...(byCause.get(cause) ?? []), words.order.links[link]]);
  }
  return [...byCause].map(([cause, names]) => fill(words.order.absent, { links: names.join(', '), cause }));
}

/** 'No order of motion: needs …', where no link has a peak with both clubs and the pelvis tells why; '' otherwise. */
export function noOrderText(words: Words, { orderOfMotion, rows }: PlayerComparison): string {
  if (orderOfMotion !== null) return '';
  const row = rows.find(({ quantity }) => quantity === 'order.pelvis.magnitude.time');
  const cause = row === undefined ? '' : causeOf(row.reason);
  return cause === '' ? '' : fill(words.order.none, { cause });
}

/** The times in words, for those who do not see the picture, or why there are none. */
export function orderDescription(words: Words, comparison: PlayerComparison): string {
  const summary = comparison.orderOfMotion;
  if (summary === null) return noOrderText(words, comparison);
  const times = summary.links.map(({ link, timing }) => {
    const said = sidesText(comparison, (side) => {
      const found = timing.magnitude[side];
      return found === null ? '' : `${plain(words, 1000 * found.mean_s, 0)} ms`;
    });
    return said === '' ? '' : `${words.order.links[link]}: ${said}`;
  });
  const told = times.filter((text) => text !== '').join('; ');
  return [fill(words.order.description, { times: told }), ...orderSentences(words, comparison)].join(' ');
}

/** 'Chest over pelvis: driver 1.60, irons 1.61; …': peak speeds by the whole turning speed; '' where there is none. */
export function gainText(words: Words, comparison: PlayerComparison): string {
  const { links } = words.order;
  const gains = comparison.orderOfMotion?.links.flatMap(({ link, gain }) => {
    if (gain === null) return [];
    const said = sidesText(comparison, (side) => (gain[side] === null ? '' : plain(words, gain[side], 2)));
    return said === '' ? [] : [fill(words.order.gain, { link: links[link], before: links[gain.from], gains: said })];
  });
  return gains === undefined || gains.length === 0 ? '' : fill(words.order.gains, { gains: capital(gains.join('; ')) });
}

/** 'Still gaining speed at impact, counted as 0 ms: club in 8 of 8 driver, 8 of 8 irons.'; '' where no link does. */
export function atImpactText(words: Words, comparison: PlayerComparison): string {
  const links = comparison.orderOfMotion?.links.flatMap(({ link, timing }) => {
    const said = sidesText(comparison, (side) => {
      const found = timing.magnitude[side];
      return found === null || found.atImpact === 0
        ? ''
        : fill(words.order.inSwings, { n: found.atImpact, of: found.n });
    });
    return said === '' ? [] : [`${words.order.links[link]} (${said})`];
  });
  return links === undefined || links.length === 0 ? '' : fill(words.order.atImpact, { links: listed(words, links) });
}

/** 'driver 1.60, irons 1.61'; a side without words is left out. */
function sidesText(comparison: PlayerComparison, of: (side: Side) => string): string {
  return (['group', 'reference'] as const)
    .map((side) => [comparison[side].label, of(side)] as const)
    .filter(([, text]) => text !== '')
    .map(([label, text]) => `${label} ${text}`)
    .join(', ');
}
