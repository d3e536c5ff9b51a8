/** The order of motion: when, before impact, each link from the pelvis to the club turns fastest, and how fast. */

import type { Outcome } from '../base/diagnostics.ts';
import { type Avail, absent, present } from '../model/availability.ts';
import type { Cutoffs } from '../model/dayPlan.ts';
import type { FoundPositions } from '../model/delivery.ts';
import type { Motion } from '../model/motion.ts';
import {
  LINKS,
  type Link,
  ORDER_METHODS,
  type OrderMethod,
  type OrderOfMotion,
  type SpeedPeak,
} from '../model/orderOfMotion.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { clubPeaks } from './order/clubPeaks.ts';
import { everywhere } from './order/peaks.ts';
import { planeOfSwing } from './order/planeOfSwing.ts';
import type { Search } from './order/search.ts';
import { segmentPeaks } from './order/segmentPeaks.ts';

export interface OrderOptions {
  /** The smoothing that the markers have had: it decides how their noise hangs together. */
  readonly filter: Cutoffs;
  /** The search begins this long before the top, since the pelvis turns round before the club does. */
  readonly beforeTop_s: number;
  /** Where the top is missing: this long before impact, flagged 'top-missing'. A downswing takes 0.2 to 0.3 s. */
  readonly withoutTop_s: number;
  /** Half of the longest stretch of a segment that is fitted. */
  readonly widest_s: number;
  /** The club's fit may be carried on past its last sample by this much. */
  readonly longestReach_s: number;
}

export const DEFAULT_ORDER_OPTIONS: Omit<OrderOptions, 'filter'> = {
  beforeTop_s: 0.05,
  withoutTop_s: 0.3,
  widest_s: 0.05,
  longestReach_s: 0.015,
};

/**
 * Peaks of every link by the three methods (model/orderOfMotion.ts). Body: angular velocity from rotations (never from Cardan angles), as
 * smoothed, a quartic around the fastest frame; it runs through impact. Of sensors as the gyro measures it. Club: the
 * turning of the shaft, from samples before the strike alone; about its own long axis a club only twists, so it has no part in that method.
 * Absent with its reason: without impact, without the link's frame, and where the speed only falls from the beginning of the search on.
 */
export function orderOfMotion(
  motion: Motion,
  found: FoundPositions,
  options: OrderOptions,
  ws: Workspace,
): Outcome<OrderOfMotion> {
  const search = searchOf(found, options);
  const plane = planeOfSwing(motion, found, ws);
  const peaks = Object.fromEntries(
    ORDER_METHODS.map((method) => [method, {} as Record<Link, Avail<SpeedPeak>>]),
  ) as Record<OrderMethod, Record<Link, Avail<SpeedPeak>>>;
  for (const link of LINKS) {
    const of = !search.ok
      ? everywhere(search)
      : link === 'club'
        ? clubPeaks(motion, found, search.value, plane, options.longestReach_s)
        : segmentPeaks(motion, link, search.value, plane, options, ws);
    for (const method of ORDER_METHODS) peaks[method][link] = of[method];
  }
  return { value: peaks, diagnostics: [] };
}

function searchOf({ moments }: FoundPositions, options: OrderOptions): Avail<Search> {
  const p7 = moments.get('P7');
  if (p7?.found !== true) {
    return p7 === undefined ? absent('no-impact', 'the moment of impact (P7)') : { ok: false, why: p7.why };
  }
  const top = [moments.get('P4'), moments.get('P4(arm)')].find((moment) => moment?.found === true);
  const hasTop = top?.found === true;
  const flags = p7.flags.filter((flag) => flag === 'contact-place-assumed' || flag === 'event-time');
  return present({
    from_s: hasTop ? top.time_s - options.beforeTop_s : p7.time_s - options.withoutTop_s,
    to_s: p7.time_s,
    toSd_s: p7.sd_s,
    flags: hasTop ? flags : [...flags, 'top-missing'],
  });
}
