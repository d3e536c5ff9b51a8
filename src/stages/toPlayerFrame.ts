/** From the lab frame L to the player frame G: the axes change places, no number changes but its sign. */

import type { Outcome } from '../base/diagnostics.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import type { Track } from '../model/track.ts';
import type { ForceTrial, MarkerTrial, PlayerTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';

/** L (X toward the target, Y up) → G (X toward the ball, Y up, Z to the player's right): x_G = z_L, y_G = y_L, z_G = −x_L (definitions 1). */
export function toPlayerFrame(trial: MarkerTrial, ws: Workspace): Outcome<PlayerTrial> {
  const { frames } = trial.clock;
  const points = new Map<LandmarkId, Track<3>>();
  for (const [id, track] of trial.points) {
    const data = ws.float64(3 * frames);
    inPlayer(track.data, data, frames);
    points.set(id, { ...track, data });
  }
  const forces = trial.forces === undefined ? {} : { forces: forcesInPlayer(trial.forces, frames, ws) };
  return { value: { ...trial, ...forces, points, frame: 'player' }, diagnostics: [] };
}

function forcesInPlayer({ plates }: ForceTrial, frames: number, ws: Workspace): ForceTrial {
  const turned = (from: Float64Array): Float64Array => {
    const data = ws.float64(3 * frames);
    inPlayer(from, data, frames);
    return data;
  };
  return {
    plates: plates.map(({ name, corners_m, force_N, pressure_m }) => ({
      name,
      corners_m: corners_m.map(([x, y, z]) => [z, y, 0 - x] as const),
      force_N: turned(force_N),
      pressure_m: turned(pressure_m),
    })),
  };
}

/** Planar columns of vectors or places. */
function inPlayer(from: Float64Array, data: Float64Array, frames: number): void {
  data.set(from.subarray(2 * frames, 3 * frames), 0);
  data.set(from.subarray(frames, 2 * frames), frames);
  for (let f = 0; f < frames; f++) data[2 * frames + f] = 0 - from[f]!;
}
