/** The club at impact: head speed, attack and path of the head point just before the strike (definitions 5). */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import { type Avail, absent, present } from '../model/availability.ts';
import type { ClubFigures, Figured, FoundPositions } from '../model/delivery.ts';
import type { Motion } from '../model/motion.ts';
import type { PathFit } from '../numeric/pathFit.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { positionDiagnostic } from './positions/diagnosticCodes.ts';
import { fitBefore, noiseOf } from './positions/strikeFit.ts';

export interface ClubOptions {
  /** The fit may be carried on past its last sample by this much, seconds; further and the figures are missing. */
  readonly longestReach_s: number;
}

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
 * 'event-time' as P7 has them, 'filled' where a sample of the last three was filled. The path is absent where the target is assumed.
 */
export function clubDelivery(
  motion: Motion,
  found: FoundPositions,
  options: ClubOptions,
  _ws: Workspace,
): Outcome<ClubFigures> {
  const head = motion.points.get('head_point');
  if (!head?.ok) {
    const code = motion.head.source === 'sensors' && head !== undefined ? head.why.code : 'no-head-point';
    return missing(code, head?.why.needed ?? 'markers on the club head', []);
  }
  const p7 = found.moments.get('P7');
  if (!p7?.found || !found.impact.ok) return missing('no-impact', 'the moment of impact (P7)', []);
  const track = head.value;
  const fit = fitBefore(track, found.impact.value.before, noiseOf(track));
  const late_s = fit === null ? Number.POSITIVE_INFINITY : p7.time_s - fit.to_s;
  if (fit === null || !(late_s <= options.longestReach_s)) {
    const why =
      fit === null ? 'six samples of the club head in the last 60 ms' : 'the club head in the last 10 ms before impact';
    return missing('too-few-samples', why, [positionDiagnostic('club-fit-failed', `needs ${why}`)]);
  }
  const flags: string[] = [];
  if (motion.headPoint.ok && motion.headPoint.value.kind === 'marker') flags.push('of-that-marker');
  for (const flag of p7.flags) if (flag === 'contact-place-assumed' || flag === 'event-time') flags.push(flag);
  const last = found.impact.value.before;
  for (let f = Math.max(0, last - 2); f <= last; f++) {
    if (track.state[f]! > 1) {
      flags.push('filled');
      break;
    }
  }
  const v = new Float64Array(3);
  const a = new Float64Array(3);
  fit.velocityAt(p7.time_s, v);
  fit.accelerationAt(p7.time_s, a);
  const figured = (d: Delivery): Avail<Figured> => present({ value: d.value, sd: spread(fit, p7, d, a), flags });
  const assumed = motion.head.facts.target.source === 'assumed';
  return {
    value: {
      'head-speed': figured(headSpeedOf(v)),
      attack: figured(attackOf(v)),
      path: assumed
        ? absent('target-assumed', 'a target line that is set in the day file or given by an alignment marker')
        : figured(pathOf(v)),
    },
    diagnostics: [],
  };
}

function spread(
  fit: PathFit,
  p7: { readonly time_s: number; readonly sd_s: number },
  d: Delivery,
  acceleration: Float64Array,
): number {
  let rate = 0;
  for (let c = 0; c < 3; c++) rate += d.gradient[c]! * acceleration[c]!;
  return Math.hypot(fit.velocitySd(p7.time_s, d.gradient), rate * p7.sd_s);
}

function missing(code: string, needed: string, diagnostics: readonly Diagnostic[]): Outcome<ClubFigures> {
  const none = absent<Figured>(code, needed);
  return { value: { 'head-speed': none, attack: none, path: none }, diagnostics };
}
