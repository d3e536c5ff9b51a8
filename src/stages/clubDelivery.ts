/** The club at impact: head speed, attack and path of the head point just before the strike (definitions 5). */

import type { Outcome } from '../base/diagnostics.ts';
import { type Avail, absent, present } from '../model/availability.ts';
import type { DeliveryFigures, Figured, FoundPositions } from '../model/delivery.ts';
import type { Motion } from '../model/motion.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { type ClubOptions, type Strike, strikeOf } from './club/strike.ts';
import { positionDiagnostic } from './positions/diagnosticCodes.ts';

export type { ClubOptions } from './club/strike.ts';

/** Two and a half frames at 240 Hz. */
export const DEFAULT_CLUB_OPTIONS: ClubOptions = { longestReach_s: 0.0105 };

/** Figures and their gradients by the velocity; player frame G. */
interface Delivery {
  readonly value: number;
  readonly gradient: readonly [number, number, number];
}

/** Length of the velocity, m/s. */
export function headSpeedOf(v: ArrayLike<number>): Delivery {
  const speed = Math.sqrt(v[0]! * v[0]! + v[1]! * v[1]! + v[2]! * v[2]!);
  return { value: speed, gradient: [v[0]! / speed, v[1]! / speed, v[2]! / speed] };
}

/** Elevation of the velocity, rad, + up. */
export function attackOf(v: ArrayLike<number>): Delivery {
  const flat2 = v[0]! * v[0]! + v[2]! * v[2]!;
  const flat = Math.sqrt(flat2);
  const square = flat2 + v[1]! * v[1]!;
  const k = -v[1]! / (flat * square);
  return { value: Math.atan2(v[1]!, flat), gradient: [k * v[0]!, flat / square, k * v[2]!] };
}

/** Horizontal direction against the target line (−Z of G), rad, + away from the player: atan2(v·X, −v·Z). */
export function pathOf(v: ArrayLike<number>): Delivery {
  const flat2 = v[0]! * v[0]! + v[2]! * v[2]!;
  return { value: Math.atan2(v[0]!, -v[2]!), gradient: [-v[2]! / flat2, 0, v[0]! / flat2] };
}

/**
 * From the fit of unfiltered samples before the strike only, at P7. sd: the fit's covariance and, as the figures change with time, the
 * uncertainty of P7. Flags: 'of-that-marker' where the head point is a marker (never compared between clubs), 'contact-place-assumed' and
 * 'event-time' as P7 has them, 'filled' where a sample of the last 60 ms was filled
 * and left out of the fit. The path is absent where the target is assumed.
 */
export function clubDelivery(
  motion: Motion,
  found: FoundPositions,
  options: ClubOptions,
  _ws: Workspace,
): Outcome<DeliveryFigures> {
  const strike = strikeOf(motion, found, options);
  return deliveryOf(strike, motion.head.facts.target.source === 'assumed');
}

/** The same from a strike that is at hand. */
export function deliveryOf(found: Avail<Strike>, targetAssumed: boolean): Outcome<DeliveryFigures> {
  if (!found.ok) {
    const { code, needed } = found.why;
    const none = absent<Figured>(code, needed);
    const diagnostics = code === 'too-few-samples' ? [positionDiagnostic('club-fit-failed', `needs ${needed}`)] : [];
    return { value: { 'head-speed': none, attack: none, path: none }, diagnostics };
  }
  const strike = found.value;
  const { fit, contact, flags } = strike;
  const v = new Float64Array(3);
  const a = new Float64Array(3);
  fit.velocityAt(contact.time_s, v);
  fit.accelerationAt(contact.time_s, a);
  const figured = (d: Delivery): Avail<Figured> => present({ value: d.value, sd: spread(strike, d, a), flags });
  return {
    value: {
      'head-speed': figured(headSpeedOf(v)),
      attack: figured(attackOf(v)),
      path: targetAssumed
        ? absent('target-assumed', 'a target line that is set in the day file or given by an alignment marker')
        : figured(pathOf(v)),
    },
    diagnostics: [],
  };
}

function spread({ fit, contact }: Strike, d: Delivery, acceleration: Float64Array): number {
  let rate = 0;
  for (let c = 0; c < 3; c++) rate += d.gradient[c]! * acceleration[c]!;
  return Math.hypot(fit.velocitySd(contact.time_s, d.gradient), rate * contact.sd_s);
}
