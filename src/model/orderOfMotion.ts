/** The order of motion: which link of pelvis, chest, lead arm and club turns fastest when, in the way down. */

import type { Avail } from './availability.ts';

/** From the ground up. The hand stands in for a forearm without a frame; a swing has one of the two. */
export const LINKS = ['pelvis', 'thorax', 'lead_upper_arm', 'lead_forearm', 'lead_hand', 'club'] as const;
export type Link = (typeof LINKS)[number];

/** A coach's words for a link. */
export const LINK_NAMES: Readonly<Record<Link, string>> = {
  pelvis: 'pelvis',
  thorax: 'chest',
  lead_upper_arm: 'lead upper arm',
  lead_forearm: 'lead forearm',
  lead_hand: 'lead hand',
  club: 'club',
};

/**
 * What counts as the speed of turning. 'magnitude': size of the angular velocity, of the club its shaft's turning without the twist about
 * itself; 'long_axis': the part about the link's own long axis; 'swing_plane': the part about the normal of the swing plane. The choice
 * can change the order (Marsan and others 2019, Acta Bioeng Biomech 21(2):115-120).
 */
export const ORDER_METHODS = ['magnitude', 'long_axis', 'swing_plane'] as const;
export type OrderMethod = (typeof ORDER_METHODS)[number];

/** The fastest moment of a link between the top and impact. Standard deviations are of the measuring noise, NaN where it is not known. */
export interface SpeedPeak {
  /** Seconds before P7; 0 where the link is still gaining speed at impact (flag 'rising-at-impact'). */
  readonly before_s: number;
  readonly beforeSd_s: number;
  readonly speed_radPerS: number;
  readonly speedSd_radPerS: number;
  readonly flags: readonly string[];
}

/** Peaks of every link by every method, or why there is none. */
export type OrderOfMotion = Readonly<Record<OrderMethod, Readonly<Record<Link, Avail<SpeedPeak>>>>>;

/** The links before one, the nearest first: its gain is over the first of them that has a peak. */
export function linksBefore(link: Link): readonly Link[] {
  return LINKS.slice(0, LINKS.indexOf(link)).reverse();
}

/** Links by the time of their peak, the earliest first; at one time as in `LINKS`. `before_s` is null where there is no peak. */
export function orderByTime(before_s: (link: Link) => number | null): Link[] {
  const found = LINKS.flatMap((link) => {
    const before = before_s(link);
    return before === null ? [] : [{ link, before }];
  });
  // The sort is stable.
  return found.sort((a, b) => b.before - a.before).map(({ link }) => link);
}
