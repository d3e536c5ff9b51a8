/** Moments of the swing as values: how sure, how found, why missing. */

import type { Missing } from '../../model/availability.ts';
import type { Moment, MomentMethod } from '../../model/positions.ts';

export type FoundMoment = Extract<Moment, { readonly found: true }>;

/**
 * Confidence of a method before its timing: 1 where the rule of the definitions was followed on measured samples, less where a
 * substitute stood in. (Choices of this program; no source.)
 */
const TRUST: Readonly<Record<MomentMethod, number>> = {
  stillness: 1,
  slowest: 0.5,
  'shaft-horizontal': 1,
  'lead-arm-horizontal': 1,
  'trail-arm-horizontal': 1,
  'shaft-reversal': 1,
  'shaft-pause': 0.9,
  'lead-arm-reversal': 0.8,
  'lead-forearm-horizontal': 1,
  'trail-forearm-horizontal': 1,
  'lead-forearm-reversal': 0.8,
  shock: 0.9,
  'shaft-rotation-share': 1,
  'ball-contact': 1,
  'velocity-step': 0.9,
  'address-place': 0.5,
  event: 0.6,
  trigger: 0.8,
  sound: 0.7,
};

/** A standard deviation of this many seconds halves the confidence. */
const HALF_SD_s = 0.01;

/**
 * A found moment. Confidence, 0 to 1: the trust in the method divided by 1 + (sd / 10 ms)², times 0.7 where neighbours are reversed or
 * samples were filled.
 */
export function momentAt(
  time_s: number,
  sd_s: number,
  method: MomentMethod,
  flags: readonly string[] = [],
  window_s: readonly [number, number] | null = null,
): FoundMoment {
  const sd = Number.isFinite(sd_s) ? sd_s : HALF_SD_s;
  const spread = sd / HALF_SD_s;
  const doubt = flags.includes('reversed') || flags.includes('filled') ? 0.7 : 1;
  return {
    found: true,
    time_s,
    sd_s: sd,
    method,
    confidence: (TRUST[method] * doubt) / (1 + spread * spread),
    flags,
    window_s,
    eventOffset_s: null,
  };
}

/** The same moment with one more flag. */
export function flagged(moment: FoundMoment, flag: string): FoundMoment {
  if (moment.flags.includes(flag)) return moment;
  const again = momentAt(moment.time_s, moment.sd_s, moment.method, [...moment.flags, flag], moment.window_s);
  return { ...again, eventOffset_s: moment.eventOffset_s };
}

export function missingMoment(code: string, needed: string): Moment {
  const why: Missing = { code, needed };
  return { found: false, why };
}
