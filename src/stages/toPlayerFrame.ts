/** From the lab frame L to the player frame G: the axes change places, no number changes but its sign. */

import type { Outcome } from '../base/diagnostics.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import type { Track } from '../model/track.ts';
import type { MarkerTrial, PlayerTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';

/** L (X toward the target, Y up) → G (X toward the ball, Y up, Z to the player's right): x_G = z_L, y_G = y_L, z_G = −x_L (definitions 1). */
export function toPlayerFrame(trial: MarkerTrial, ws: Workspace): Outcome<PlayerTrial> {
  const { frames } = trial.clock;
  const points = new Map<LandmarkId, Track<3>>();
  for (const [id, track] of trial.points) {
    const data = ws.float64(3 * frames);
    data.set(track.data.subarray(2 * frames, 3 * frames), 0);
    data.set(track.data.subarray(frames, 2 * frames), frames);
    for (let f = 0; f < frames; f++) data[2 * frames + f] = 0 - track.data[f]!;
    points.set(id, { ...track, data });
  }
  return { value: { ...trial, points, frame: 'player' }, diagnostics: [] };
}
