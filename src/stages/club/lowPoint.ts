/** The lowest point of the head's path. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { Figured } from '../../model/delivery.ts';
import type { PathFit } from '../../numeric/pathFit.ts';
import { BALL_RADIUS_m } from '../positions/strikeFit.ts';
import type { Strike } from './strike.ts';

/** A path is carried on this far at most, metres (definitions 5). */
export const FURTHEST_m = 0.25;

/** Where the ball lies along the target line, as z of G, and its standard deviation. */
export interface BallPlace {
  readonly z_m: number;
  readonly sd_m: number;
  readonly flags: readonly string[];
}

/** One ball radius before the head point at P7, for recordings without a still ball. */
export function assumedBall({ fit, contact }: Strike): BallPlace {
  const p = new Float64Array(3);
  const v = new Float64Array(3);
  fit.positionAt(contact.time_s, p);
  fit.velocityAt(contact.time_s, v);
  const speed = Math.hypot(v[0]!, v[1]!, v[2]!);
  return {
    z_m: p[2]! + (BALL_RADIUS_m * v[2]!) / speed,
    sd_m: Math.hypot(fit.positionSd(contact.time_s, [0, 0, 1]), v[2]! * contact.sd_s),
    flags: ['ball-place-assumed'],
  };
}

/**
 * The lowest point of a fitted path against the ball, metres, + toward the target. The fit covers [from_s, to_s] of its `inside`; outside it is
 * carried on by at most 25 cm, flagged 'carried-on'; sd from the fit's covariance: the height's slope decides where it is lowest.
 */
export function lowPoint(
  fit: PathFit,
  inside: readonly [number, number],
  ball: BallPlace,
  flags: readonly string[],
): Avail<Figured> {
  const v = new Float64Array(3);
  const rise = (t: number): number => {
    fit.velocityAt(t, v);
    return v[1]!;
  };
  const speedAt = (t: number): number => {
    fit.velocityAt(t, v);
    return Math.hypot(v[0]!, v[1]!, v[2]!);
  };
  let low = inside[0];
  let high = inside[1];
  if (rise(high) < 0) {
    low = high;
    high += FURTHEST_m / speedAt(high);
  } else if (rise(low) > 0) {
    high = low;
    low -= FURTHEST_m / speedAt(low);
  }
  if (!(rise(low) <= 0 && rise(high) >= 0)) {
    return absent('low-point-too-far', 'a lowest point within 25 cm of the measured path');
  }
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2;
    if (rise(middle) < 0) low = middle;
    else high = middle;
  }
  const time_s = (low + high) / 2;
  const p = new Float64Array(3);
  const a = new Float64Array(3);
  fit.positionAt(time_s, p);
  fit.accelerationAt(time_s, a);
  fit.velocityAt(time_s, v);
  const shift = (v[2]! * fit.velocitySd(time_s, [0, 1, 0])) / a[1]!;
  const isCarried = time_s < inside[0] - 1e-9 || time_s > inside[1] + 1e-9;
  return present({
    value: ball.z_m - p[2]!,
    sd: Math.hypot(shift, fit.positionSd(time_s, [0, 0, 1]), ball.sd_m),
    flags: [...flags, ...ball.flags, ...(isCarried ? ['carried-on'] : [])],
  });
}
