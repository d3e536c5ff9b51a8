/** A frame rate under which the swing would take a time that no swing takes. */

import { formatFixed } from '../../base/format.ts';
import type { BodyFaultLimits } from '../../model/bodyFaultLimits.ts';
import type { Fault } from '../../model/faults.ts';
import type { Moments, PositionId } from '../../model/positions.ts';
import type { Track } from '../../model/track.ts';
import { lastAtBall } from '../positions/plausibility.ts';

/**
 * `rate-contradicts-swing`: the time from P4 to P7 or from P1 to P4 outside its limits; where the recording begins after the takeaway, the time
 * from the last frame in which the club head was at the ball to P4, against the shortest alone. `head` null: no club head.
 */
export function rateContradicts(
  moments: Moments,
  head: Track<3> | null,
  rate_Hz: number,
  { downswing_s, backswing_s }: BodyFaultLimits,
): Fault[] {
  const top_s = timeOf(moments, 'P4') ?? timeOf(moments, 'P4(arm)');
  if (top_s === null) return [];
  const [p1_s, p7_s] = [timeOf(moments, 'P1'), timeOf(moments, 'P7')];
  const said: string[] = [];
  if (p1_s !== null) {
    const outside = outsideOf('P1 to P4', top_s - p1_s, backswing_s);
    if (outside !== null) said.push(outside);
  } else if (p7_s !== null && head !== null) {
    const left = lastAtBall(head, top_s, p7_s);
    const back_s = top_s - left / rate_Hz;
    const outside = left < 0 ? null : outsideOf('the way from the ball to P4', back_s, [backswing_s[0], Infinity]);
    if (outside !== null) said.push(outside);
  }
  const outside = p7_s === null ? null : outsideOf('P4 to P7', p7_s - top_s, downswing_s);
  if (outside !== null) said.push(outside);
  if (said.length === 0) return [];
  const detail = `at ${formatFixed(rate_Hz, rate_Hz % 1 === 0 ? 0 : 2)} Hz ${said.join('; ')}: the rate is wrong, or the frames are not evenly spaced`;
  return [{ code: 'rate-contradicts-swing', markers: [], frames: [], action: 'kept', detail }];
}

function timeOf(moments: Moments, position: PositionId): number | null {
  const moment = moments.get(position);
  return moment?.found ? moment.time_s : null;
}

/** Null inside the limits. */
function outsideOf(what: string, time_s: number, [least, most]: readonly [number, number]): string | null {
  if (time_s >= least && time_s <= most) return null;
  const limits =
    most === Infinity ? `${formatFixed(least, 2)} s or more` : `${formatFixed(least, 2)} to ${formatFixed(most, 2)} s`;
  return `${what} takes ${formatFixed(time_s, 3)} s; ${limits} ${most === Infinity ? 'is' : 'are'} possible`;
}
