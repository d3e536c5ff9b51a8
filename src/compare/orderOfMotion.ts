/** The order of motion of two groups: when each link turns fastest, and whether methods and clubs give one order. */

import { LINKS, type Link, ORDER_METHODS, type OrderMethod, orderByTime } from '../model/orderOfMotion.ts';
import type { BothSides, LinkSpeed, LinkTiming, OrderLink, OrderSummary } from '../model/orderSummary.ts';
import { tQuantile } from '../numeric/distributions.ts';
import type { Sample } from './samples.ts';
import { summarise } from './twoSamples.ts';

/** Half-width of the 95 % interval of a mean; 0 without scatter. */
export function half95(sd: number, n: number): number {
  return sd === 0 ? 0 : (tQuantile(0.975, n - 1) * sd) / Math.sqrt(n);
}

function timingOf(values: Float64Array): LinkTiming | null {
  const { n, mean, sd } = summarise(values);
  if (n === 0) return null;
  const half = n < 2 ? null : half95(sd, n);
  return {
    mean_s: mean,
    low95_s: half === null ? null : mean - half,
    high95_s: half === null ? null : mean + half,
    n,
    atImpact: values.filter((value) => value === 0).length,
  };
}

function speedOf(values: Float64Array): LinkSpeed | null {
  const { n, mean, sd } = summarise(values);
  return n === 0 ? null : { mean_degPerS: mean, sd_degPerS: n < 2 ? null : sd, n };
}

/** Times by link of one group by one method. */
type Times = ReadonlyMap<Link, Float64Array>;

function orderOf(times: Times): Link[] {
  return orderByTime((link) => {
    const values = times.get(link);
    const { n, mean } = values === undefined ? { n: 0, mean: 0 } : summarise(values);
    return n === 0 ? null : mean;
  });
}

/** 1 where `a` comes before `b` in these swings, −1 after, 0 where they do not settle it; from the differences within single swings. */
function settledOrder(times: Times, a: Link, b: Link): number {
  const first = times.get(a)!;
  const second = times.get(b)!;
  const { n, mean, sd } = summarise(first.map((value, swing) => value - second[swing]!));
  return n < 2 || !(Math.abs(mean) > half95(sd, n)) ? 0 : Math.sign(mean);
}

/** As `methodsAgree` of OrderSummary says, between any two views of the same links. */
function agree(views: readonly Times[]): boolean | null {
  let isShared = false;
  let isOne = true;
  for (const [i, view] of views.entries()) {
    for (const other of views.slice(i + 1)) {
      const inOther = new Set(orderOf(other));
      const shared = orderOf(view).filter((link) => inOther.has(link));
      if (shared.length < 2) continue;
      isShared = true;
      const again = orderOf(other).filter((link) => shared.includes(link));
      if (again.join() !== shared.join()) isOne = false;
      for (const [k, a] of shared.entries()) {
        for (const b of shared.slice(k + 1)) {
          if (settledOrder(view, a, b) * settledOrder(other, a, b) < 0) return false;
        }
      }
    }
  }
  return isShared && isOne ? true : null;
}

function byMethod<T>(of: (method: OrderMethod) => T): Readonly<Record<OrderMethod, T>> {
  return { magnitude: of('magnitude'), long_axis: of('long_axis'), swing_plane: of('swing_plane') };
}

/**
 * From the samples of a comparison (display units: seconds, degrees per second). Swings left out of a sample are left out here; a sample that
 * may not be compared is passed over. Null where no link has a peak in both groups.
 */
export function orderSummary(samples: readonly Sample[]): OrderSummary | null {
  const found = new Map<string, Sample>();
  for (const sample of samples) {
    const { reading } = sample.quantity;
    if (reading.kind !== 'order-of-motion' || sample.refused !== '') continue;
    found.set(`${reading.link} ${reading.method} ${reading.figure}`, sample);
  }
  const sampleOf = (link: Link, method: OrderMethod, figure: 'time' | 'speed'): Sample | undefined =>
    found.get(`${link} ${method} ${figure}`);
  const sides = <T>(sample: Sample | undefined, of: (values: Float64Array) => T): BothSides<T | null> =>
    sample === undefined
      ? { group: null, reference: null }
      : { group: of(sample.values.subarray(0, sample.nGroup)), reference: of(sample.values.subarray(sample.nGroup)) };
  const times = (method: OrderMethod, side: keyof BothSides<unknown>): Times =>
    new Map(
      LINKS.flatMap((link) => {
        const values = sides(sampleOf(link, method, 'time'), (part) => part)[side];
        return values === null ? [] : [[link, values] as const];
      }),
    );
  const links: OrderLink[] = [];
  const absent: { link: Link; why: string }[] = [];
  for (const link of LINKS) {
    const timing = byMethod((method) => sides(sampleOf(link, method, 'time'), timingOf));
    const speed = byMethod((method) => sides(sampleOf(link, method, 'speed'), speedOf));
    const whole = timing.magnitude;
    const why = whole.group === null || whole.reference === null ? reasonOf(sampleOf(link, 'magnitude', 'time')) : '';
    const isFound = ORDER_METHODS.some((method) => timing[method].group !== null || timing[method].reference !== null);
    if (isFound) links.push({ link, timing, speed, gain: gainOf(links, speed), whyNot: why });
    else if (link !== 'lead_hand' || links.at(-1)?.link !== 'lead_forearm') absent.push({ link, why });
  }
  const isCompared = links.some(({ timing }) =>
    ORDER_METHODS.some((method) => timing[method].group !== null && timing[method].reference !== null),
  );
  if (!isCompared) return null;
  const both = <T>(of: (side: keyof BothSides<unknown>) => T): BothSides<T> => ({
    group: of('group'),
    reference: of('reference'),
  });
  return {
    links,
    absent,
    orders: byMethod((method) => both((side) => orderOf(times(method, side)))),
    unsettled: byMethod((method) => both((side) => unsettledOf(times(method, side)))),
    methodsAgree: both((side) => agree(ORDER_METHODS.map((method) => times(method, side)))),
    clubsAgree: agree([times('magnitude', 'group'), times('magnitude', 'reference')]),
  };
}

function reasonOf(sample: Sample | undefined): string {
  return sample === undefined ? 'no swing has it' : sample.leftOut;
}

/** Over the nearest link before that both groups have, else that either has. */
function gainOf(before: readonly OrderLink[], speed: OrderLink['speed']): OrderLink['gain'] {
  const nearest = [...before].reverse();
  const from =
    nearest.find(({ speed: { magnitude } }) => magnitude.group !== null && magnitude.reference !== null) ??
    nearest.find(({ speed: { magnitude } }) => magnitude.group !== null || magnitude.reference !== null);
  if (from === undefined) return null;
  const ratio = (side: keyof BothSides<unknown>): number | null => {
    const own = speed.magnitude[side];
    const base = from.speed.magnitude[side];
    return own === null || base === null ? null : own.mean_degPerS / base.mean_degPerS;
  };
  return { from: from.link, group: ratio('group'), reference: ratio('reference') };
}

/** Neighbours whose order is not settled. */
function unsettledOf(times: Times): (readonly [Link, Link])[] {
  const order = orderOf(times);
  return order.slice(1).flatMap((link, i) => {
    const before = order[i]!;
    return settledOrder(times, before, link) === 0 ? [[before, link] as const] : [];
  });
}
