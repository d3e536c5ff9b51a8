/** The path of the head point just before the strike, from which all figures of the velocity come. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { FoundPositions } from '../../model/delivery.ts';
import type { Motion } from '../../model/motion.ts';
import { FILLED_CUBIC, type Track } from '../../model/track.ts';
import type { PathFit } from '../../numeric/pathFit.ts';
import { AFTER_WINDOW_s, fitBefore, noiseOf, PATH_WINDOW_s } from '../positions/strikeFit.ts';

export interface ClubOptions {
  /** A fit may be carried on past its last sample by this much, seconds; further and the figures are missing. */
  readonly longestReach_s: number;
}

/** P7 with what figures at it need. */
export interface Contact {
  readonly time_s: number;
  readonly sd_s: number;
  /** Last frame before contact and first after it. */
  readonly before: number;
  readonly after: number;
  /** Of P7, as far as figures carry them. */
  readonly flags: readonly string[];
}

export interface Strike {
  readonly contact: Contact;
  readonly track: Track<3>;
  readonly noise_m: number;
  readonly fit: PathFit;
  readonly flags: readonly string[];
}

export function contactOf(found: FoundPositions): Avail<Contact> {
  const p7 = found.moments.get('P7');
  if (!p7?.found || !found.impact.ok) return absent('no-impact', 'the moment of impact (P7)');
  const { before, after } = found.impact.value;
  const flags = p7.flags.filter((flag) => flag === 'contact-place-assumed' || flag === 'event-time');
  return present({ time_s: p7.time_s, sd_s: p7.sd_s, before, after, flags });
}

/** True where a sample of the last 60 ms up to `last` was filled: it is left out of the fits, whose ± grows by that. */
export function isFilledBefore(track: Track<3 | 9>, last: number): boolean {
  const span = Math.floor(PATH_WINDOW_s * track.clock.rate_Hz + 1e-9);
  return isFilledWithin(track, last - span, last);
}

/** Flags of what is read from the path after the strike as well. */
export function flagsAfter({ flags, track, contact }: Strike): readonly string[] {
  const span = Math.floor(AFTER_WINDOW_s * track.clock.rate_Hz + 1e-9);
  const isFilled = !flags.includes('filled') && isFilledWithin(track, contact.after, contact.after + span);
  return isFilled ? [...flags, 'filled'] : flags;
}

/** True where a sample of [from, to] was filled. */
export function isFilledWithin(track: Track<3 | 9>, from: number, to: number): boolean {
  const last = Math.min(track.clock.frames - 1, to);
  for (let f = Math.max(0, from); f <= last; f++) if (track.state[f]! >= FILLED_CUBIC) return true;
  return false;
}

/** Absent: 'no-head-point', 'no-impact', 'too-few-samples'. */
export function strikeOf(motion: Motion, found: FoundPositions, options: ClubOptions): Avail<Strike> {
  const head = motion.points.get('head_point');
  if (!head?.ok) {
    const code = motion.head.source === 'sensors' && head !== undefined ? head.why.code : 'no-head-point';
    return absent(code, head?.why.needed ?? 'markers on the club head');
  }
  const contact = contactOf(found);
  if (!contact.ok) return contact;
  const track = head.value;
  const { before, time_s } = contact.value;
  const noise_m = noiseOf(track);
  const fit = fitBefore(track, before, noise_m);
  if (fit === null) return absent('too-few-samples', 'six samples of the club head in the last 60 ms');
  if (!(time_s - fit.to_s <= options.longestReach_s)) {
    return absent('too-few-samples', 'the club head in the last 10 ms before impact');
  }
  const flags: string[] = [];
  if (motion.headPoint.ok && motion.headPoint.value.kind === 'marker') flags.push('of-that-marker');
  flags.push(...contact.value.flags);
  if (isFilledBefore(track, before)) flags.push('filled');
  return present({ contact: contact.value, track, noise_m, fit, flags });
}
