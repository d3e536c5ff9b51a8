/** P4 by the shaft; where the shaft is hidden around the top, P4(arm) by the lead arm and the reason. */

import { formatFixed } from '../../base/format.ts';
import type { Missing } from '../../model/availability.ts';
import type { Moment, MomentMethod } from '../../model/positions.ts';
import { MISSING, type Track } from '../../model/track.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import type { LocalFit } from './localFit.ts';
import { missingMoment, momentAt } from './momentMaker.ts';
import { findTop, SEARCH_s, type Top } from './topOfSwing.ts';

/**
 * A longer stretch without samples hides what happens in it: the local fits bridge 30 ms of a swing that turns without a pause, while with
 * 100 ms the turning point found beside the gap was up to 0.2 s off (invented swings with 1 mm of noise, 240 Hz).
 */
const HIDDEN_s = 0.03;
/** A top is seen where the direction is, from this far before its turning point to this far after it (cosine of 0.1 rad; 63 ms at 50 rad/s²). */
const SEEN = 0.995;
/** The tops of shaft and lead arm differ by 30 to 100 ms (definitions 6). */
const ARM_APART_s = 0.15;

export interface Tops {
  readonly p4: Moment;
  /** Null where P4 by the shaft is there, or the lead arm has none either while there is a shaft. */
  readonly arm: Moment | null;
}

/** What the limbs are made of: what a missing one needs, how the arm's top is named. */
export interface Limbs {
  readonly shaft: Missing;
  readonly leadArm: Missing;
  readonly arm: string;
  readonly method: MomentMethod;
  /** Sensors drift together: the stated noise of a direction says nothing of when it turns back. */
  readonly isNoiseDrift: boolean;
}

export const BY_MARKERS: Limbs = {
  shaft: { code: 'no-shaft', needed: 'two markers on the club’s shaft' },
  leadArm: { code: 'no-lead-arm', needed: 'the lead shoulder and wrist centres' },
  arm: 'lead arm',
  method: 'lead-arm-reversal',
  isNoiseDrift: false,
};

export const BY_FOREARM: Limbs = {
  shaft: { code: 'no-sensor', needed: 'a sensor on the club' },
  leadArm: { code: 'no-sensor', needed: 'a sensor on the lead forearm' },
  arm: 'lead forearm',
  method: 'lead-forearm-reversal',
  isNoiseDrift: true,
};

/** First and last frame of a stretch without samples. */
type Stretch = readonly [first: number, last: number];

/** Both tops; `impactFrame` is the last before impact. P4(arm) is only given where P4 by the shaft is not. */
export function findTops(
  shaftGiven: Track<3> | null,
  armGiven: Track<3> | null,
  impactFrame: number,
  ws: Workspace,
  fit: LocalFit,
  limbs: Limbs = BY_MARKERS,
): Tops {
  const shaft = timedBy(shaftGiven, limbs);
  const leadArm = timedBy(armGiven, limbs);
  const arm = leadArm === null ? null : findTop(leadArm, impactFrame, ws, fit);
  const isArmSeen = arm !== null && leadArm !== null && hiddenAround(leadArm, arm, null, impactFrame) === null;
  if (shaft === null) {
    const p4: Moment = { found: false, why: limbs.shaft };
    if (leadArm === null) return { p4, arm: { found: false, why: limbs.leadArm } };
    return { p4, arm: arm === null ? withoutArm(leadArm, limbs, impactFrame) : byArm(arm, limbs) };
  }
  const found = findTop(shaft, impactFrame, ws, fit);
  const hidden = found === null ? null : hiddenAround(shaft, found, isArmSeen ? arm : null, impactFrame);
  if (found !== null && hidden === null) {
    const method = found.pause ? 'shaft-pause' : 'shaft-reversal';
    return { p4: momentAt(found.time_s, found.sd_s, method, flagsOf(found)), arm: null };
  }
  const stretch = hidden ?? whatHides(shaft, leadArm, isArmSeen ? arm : null, impactFrame);
  return { p4: noTop('shaft', stretch, shaft.clock.rate_Hz), arm: isArmSeen ? byArm(arm, limbs) : null };
}

/** Where the noise is drift, the fits find the white noise of the series themselves. */
function timedBy(track: Track<3> | null, limbs: Limbs): Track<3> | null {
  return track === null || !limbs.isNoiseDrift ? track : { ...track, noise: Number.NaN };
}

function flagsOf(top: Top): string[] {
  return [...(top.pause ? ['pause'] : []), ...(top.filled ? ['filled'] : [])];
}

function byArm(top: Top, limbs: Limbs): Moment {
  return momentAt(top.time_s, top.sd_s, limbs.method, flagsOf(top));
}

function withoutArm(leadArm: Track<3>, limbs: Limbs, impactFrame: number): Moment {
  return noTop(limbs.arm, whatHides(leadArm, null, null, impactFrame), leadArm.clock.rate_Hz);
}

/** Why there is no top: hidden there, or the recording begins after it. */
function noTop(limb: string, hidden: Stretch | null, rate_Hz: number): Moment {
  if (hidden === null)
    return missingMoment('no-top', `a recording that begins before the top and shows the ${limb} turn back`);
  const [first, last] = hidden;
  const stretch = `from ${formatFixed(first / rate_Hz, 3)} s to ${formatFixed(last / rate_Hz, 3)} s`;
  return missingMoment('top-hidden', `the ${limb} in view around the top; it is hidden ${stretch}`);
}

/** The stretch in which the direction is missing around a top that was found, or between it and the arm's; null where the turn is seen. */
function hiddenAround(track: Track<3>, top: Top, arm: Top | null, impactFrame: number): Stretch | null {
  const { rate_Hz, frames } = track.clock;
  const end = Math.min(frames - 1, impactFrame);
  const at = Math.max(0, Math.min(end, Math.round(top.time_s * rate_Hz)));
  const other = arm === null ? at : Math.max(0, Math.min(end, Math.round(arm.time_s * rate_Hz)));
  let from = Math.min(at, other);
  const early = nearestPresent(track, from);
  while (from > 0 && !isAway(track, early, from)) from -= 1;
  let to = Math.max(at, other);
  const late = nearestPresent(track, to);
  while (to < end && !isAway(track, late, to)) to += 1;
  return longestGap(track, from, to);
}

function nearestPresent(track: Track<3>, frame: number): number {
  const { frames } = track.clock;
  for (let k = 0; k < frames; k++) {
    if (frame - k >= 0 && track.state[frame - k] !== MISSING) return frame - k;
    if (frame + k < frames && track.state[frame + k] !== MISSING) return frame + k;
  }
  return frame;
}

/** Has the unit direction turned by more than 0.1 rad between the frames? Not where it is missing. */
function isAway({ data, clock, state }: Track<3>, a: number, b: number): boolean {
  if (state[b] === MISSING) return false;
  const { frames } = clock;
  const cosine =
    data[a]! * data[b]! + data[frames + a]! * data[frames + b]! + data[2 * frames + a]! * data[2 * frames + b]!;
  return cosine < SEEN;
}

/** The longest stretch without samples in [from, to] that is longer than 30 ms. */
function longestGap({ state, clock }: Track<3>, from: number, to: number): Stretch | null {
  let best: Stretch | null = null;
  let length = HIDDEN_s * clock.rate_Hz;
  let start = -1;
  for (let f = from; f <= to + 1; f++) {
    if (f <= to && state[f] === MISSING) {
      if (start < 0) start = f;
      continue;
    }
    if (start >= 0 && f - start > length) {
      length = f - start;
      best = [start, f - 1];
    }
    start = -1;
  }
  return best;
}

/**
 * Which stretch hides a top that was not found: around the arm's where that is known; none where an arm in view all along shows no top
 * either, for then the recording begins after it; otherwise the longest before impact.
 */
function whatHides(track: Track<3>, leadArm: Track<3> | null, arm: Top | null, impactFrame: number): Stretch | null {
  const { rate_Hz, frames } = track.clock;
  const last = Math.min(frames - 1, impactFrame);
  const first = Math.max(0, Math.floor(last - SEARCH_s * rate_Hz));
  if (arm !== null) {
    const from = Math.floor((arm.time_s - ARM_APART_s) * rate_Hz);
    const to = Math.ceil((arm.time_s + ARM_APART_s) * rate_Hz);
    return longestGap(track, Math.max(0, from), Math.min(last, to));
  }
  if (leadArm !== null && longestGap(leadArm, first, last) === null) return null;
  return longestGap(track, first, last);
}
