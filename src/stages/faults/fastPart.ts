/** The part of a swing in which the club is fast. */

import type { MarkerTrial } from '../../model/trial.ts';

/** The path of the head is fitted to its last 60 ms before impact (definitions 5); a little after it tells the strike. */
const BEFORE_s = 0.06;
const AFTER_s = 0.012;

/** Frames [from, to) of the fast part; those below `struck` lie before impact. */
export interface FastPart {
  readonly from: number;
  readonly struck: number;
  readonly to: number;
}

/** Its words in a message. */
export const FAST_PART = 'from 60 ms before to 12 ms after impact';
export const BEFORE_IMPACT = 'in the last 60 ms before impact';

/** `impact_s`: seconds from the first stored frame. */
export function fastPartOf({ clock: { frames, rate_Hz } }: MarkerTrial, impact_s: number): FastPart {
  const inside = (frame: number): number => Math.min(frames, Math.max(0, frame));
  return {
    from: inside(Math.ceil((impact_s - BEFORE_s) * rate_Hz)),
    struck: inside(Math.floor(impact_s * rate_Hz) + 1),
    to: inside(Math.floor((impact_s + AFTER_s) * rate_Hz) + 1),
  };
}
