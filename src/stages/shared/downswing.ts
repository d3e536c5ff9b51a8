/** Where a trial of markers has its downswing, before any position is known. */

import type { LandmarkId } from '../../model/landmarks.ts';
import { MISSING, type Track } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';

/** Frames [from, to). */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** The end of the arm chain that moves fastest and stops at the top, best first. */
const ENDS: readonly LandmarkId[] = [
  'CLUB_HEAD_1', 'CLUB_HEAD_2', 'CLUB_SHAFT', 'CLUB_GRIP', 'lead_RS', 'lead_US', 'trail_RS', 'trail_US', 'lead_WJC', 'trail_WJC',
]; // biome-ignore format: one glance
/** The downswing begins where the speed last was below this share of its peak: club and hands come nearly to rest at the top. A choice of this program. */
const SHARE_OF_PEAK = 0.1;
/** A trial whose fastest end stays below this has no swing in it, m/s: hands reach 5 and more, a body that stands and turns 1. */
const SLOWEST_PEAK_mPerS = 3;

/**
 * From the top (within some frames) to the fastest frame, which lies at impact or just before it, by the first of the club's and wrists'
 * markers that the trial shows; null where there is none or it never moves fast. Speeds are between neighbouring samples, across gaps their mean.
 */
export function downswingOf(trial: MarkerTrial): Stretch | null {
  for (const id of ENDS) {
    const track = trial.points.get(id);
    const found = track === undefined ? null : ofTrack(track);
    if (found !== null) return found;
  }
  return null;
}

function ofTrack({ data, state, clock: { frames, rate_Hz } }: Track<3>): Stretch | null {
  const seen: number[] = [];
  for (let f = 0; f < frames; f++) if (state[f] !== MISSING) seen.push(f);
  const speeds = seen.slice(1).map((f, i) => {
    const last = seen[i]!;
    const x = data[f]! - data[last]!;
    const y = data[frames + f]! - data[frames + last]!;
    const z = data[2 * frames + f]! - data[2 * frames + last]!;
    return (Math.sqrt(x * x + y * y + z * z) * rate_Hz) / (f - last);
  });
  let peak = 0;
  for (let i = 1; i < speeds.length; i++) if (speeds[i]! > speeds[peak]!) peak = i;
  if (!(speeds[peak]! > SLOWEST_PEAK_mPerS)) return null;
  let top = peak;
  while (top > 0 && speeds[top]! > SHARE_OF_PEAK * speeds[peak]!) top -= 1;
  return { from: seen[top]!, to: seen[peak + 1]! + 1 };
}
