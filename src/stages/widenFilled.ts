/** How much less sure filled samples are than measured ones, after the filter. */

import type { LandmarkId } from '../model/landmarks.ts';
import { REBUILT, type Track } from '../model/track.ts';
import type { MarkerTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';

/** Share of the variance of a sample carried by its segment that lies in the shift at the gap's edges, a mean over 0.1 s: no filter takes it away. */
const SHIFT_SHARE = 1 / 24;

/**
 * The smoothed trial with `Track.widening` where `Track.filledSd_m` says how uncertain filled samples are. `filled` is the trial before the
 * filter. The noise of a sample carried by the rest of its segment is white and shrinks in the filter as any marker's; the error of a
 * spline changes slowly and does not.
 */
export function widenFilled(smoothed: MarkerTrial, filled: MarkerTrial, ws: Workspace): MarkerTrial {
  const points = new Map<LandmarkId, Track<3>>(smoothed.points);
  const { frames } = smoothed.clock;
  for (const [id, track] of smoothed.points) {
    const { filledSd_m: sd, state, noise } = track;
    if (sd === undefined || !(noise > 0)) continue;
    const gain = noise / filled.points.get(id)!.noise;
    const rigid = Math.sqrt(gain * gain + SHIFT_SHARE) / noise;
    const widening = ws.float64(frames);
    for (let f = 0; f < frames; f++) widening[f] = Math.max(1, sd[f]! * (state[f] === REBUILT ? rigid : 1 / noise));
    points.set(id, { ...track, widening });
  }
  return { ...smoothed, points };
}
