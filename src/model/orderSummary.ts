/** The order of motion of two groups of swings, as the report draws it. */

import type { Link, OrderMethod } from './orderOfMotion.ts';

/** What a figure is in the group and in its reference; null where no swing has it. */
export interface BothSides<T> {
  readonly group: T;
  readonly reference: T;
}

/** When a link turns fastest, seconds before impact, with the 95 % interval of the mean over the swings; null with one swing. */
export interface LinkTiming {
  readonly mean_s: number;
  readonly low95_s: number | null;
  readonly high95_s: number | null;
  readonly n: number;
  /** Of these, swings in which the link still gains speed at impact: they count as 0 s. */
  readonly atImpact: number;
}

/** Peak speed of turning; the standard deviation over the swings is null with one. */
export interface LinkSpeed {
  readonly mean_degPerS: number;
  readonly sd_degPerS: number | null;
  readonly n: number;
}

export interface OrderLink {
  readonly link: Link;
  readonly timing: Readonly<Record<OrderMethod, BothSides<LinkTiming | null>>>;
  readonly speed: Readonly<Record<OrderMethod, BothSides<LinkSpeed | null>>>;
  /** Ratio of the mean peak speeds by magnitude to those of the nearest link before; null for the first link. */
  readonly gain: ({ readonly from: Link } & BothSides<number | null>) | null;
  /** Why a group has no peak of it by magnitude, '' where both have. */
  readonly whyNot: string;
}

export interface OrderSummary {
  /** From the ground up, links with a peak in at least one group. */
  readonly links: readonly OrderLink[];
  /** The others, with the reason; a hand that no forearm needs is not missed. */
  readonly absent: readonly { readonly link: Link; readonly why: string }[];
  /** Links by their mean time, the earliest first. */
  readonly orders: Readonly<Record<OrderMethod, BothSides<readonly Link[]>>>;
  /** Neighbours in that order whose order these swings do not settle: the 95 % interval of the mean difference within a swing holds 0. */
  readonly unsettled: Readonly<Record<OrderMethod, BothSides<readonly (readonly [Link, Link])[]>>>;
  /**
   * Whether the three methods give one order of the links that two of them share. False only where two links stand in one order by one
   * method and in the other by another, both settled; null where the orders differ without that, or fewer than two links are shared.
   */
  readonly methodsAgree: BothSides<boolean | null>;
  /** The same of the group and its reference, by magnitude. */
  readonly clubsAgree: boolean | null;
}
