/** Times found on filled samples are less sure than on measured ones. */

import type { Motion } from '../../model/motion.ts';
import type { Moment, MomentMethod, PositionId } from '../../model/positions.ts';
import type { Track } from '../../model/track.ts';

/** Samples this far on either side weigh in a time, seconds: the local fits are about as wide. */
const REACH_s = 0.02;

type Found = Extract<Moment, { found: true }>;

/**
 * Takes the standard deviation of each time by the largest widening of what it was found on, and flags it `filled`; in place. The time of the
 * strike comes from fits to measured samples, whose ± knows already: it is flagged alone.
 */
export function widenMoments(motion: Motion, moments: Map<PositionId, Moment>): void {
  for (const [position, moment] of moments) {
    if (!moment.found) continue;
    const most = widest(foundOn(motion, moment.method), moment, motion.clock.rate_Hz);
    if (most === 1) continue;
    const flags = [...new Set([...moment.flags, 'filled'])];
    const isOfFit = moment.method === 'ball-contact' || moment.method === 'velocity-step';
    moments.set(position, { ...moment, sd_s: isOfFit ? moment.sd_s : most * moment.sd_s, flags });
  }
}

function foundOn(motion: Motion, method: MomentMethod): Track<3> | null {
  const direction = (id: 'shaft' | 'lead_arm' | 'trail_arm') => motion.directions.get(id);
  const point = () => {
    const head = motion.points.get('head_point');
    return head?.ok === true ? head : motion.points.get('lead_wrist');
  };
  const track = method.startsWith('shaft')
    ? direction('shaft')
    : method.startsWith('lead-arm')
      ? direction('lead_arm')
      : method.startsWith('trail-arm')
        ? direction('trail_arm')
        : method === 'stillness' || method === 'slowest' || method === 'ball-contact' || method === 'velocity-step'
          ? point()
          : undefined;
  return track?.ok === true ? track.value : null;
}

function widest(track: Track<3> | null, { time_s, window_s }: Found, rate_Hz: number): number {
  const widening = track?.widening;
  if (widening === undefined) return 1;
  const [from_s, to_s] = window_s ?? [time_s - REACH_s, time_s + REACH_s];
  let most = 1;
  const last = Math.min(widening.length - 1, Math.ceil(to_s * rate_Hz));
  for (let f = Math.max(0, Math.floor(from_s * rate_Hz)); f <= last; f++) most = Math.max(most, widening[f]!);
  return most;
}
