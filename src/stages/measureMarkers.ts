/** What each marker is like as recorded: gaps and noise. */

import type { LandmarkId } from '../model/landmarks.ts';
import { MISSING, type Track } from '../model/track.ts';
import type { MarkerQuality, MarkerTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { fileName } from './shared/landmarkGroups.ts';
import { whiteNoise } from './shared/markerNoise.ts';

/** A trial whose tracks know their noise, and a row of quality for each, nothing filled yet. */
export interface MeasuredTrial {
  readonly trial: MarkerTrial;
  /** In the order of the trial's points. */
  readonly quality: readonly MarkerQuality[];
}

/** Counts what is missing of each marker and writes its white noise to `Track.noise` (metres per axis). Data are the input's own. */
export function measureMarkers(trial: MarkerTrial, ws: Workspace): MeasuredTrial {
  const { frames, rate_Hz } = trial.clock;
  const points = new Map<LandmarkId, Track<3>>();
  const quality: MarkerQuality[] = [];
  const scratch = ws.float64(Math.ceil(frames / 16) + 1);
  for (const [id, track] of trial.points) {
    const noise = whiteNoise(track.data, frames, scratch);
    points.set(id, { ...track, noise });
    let missing = 0;
    let longest = 0;
    const isWhole = !track.state.includes(MISSING);
    for (let f = 0, run = 0; f < frames && !isWhole; f++) {
      run = track.state[f] === MISSING ? run + 1 : 0;
      if (run === 0) continue;
      missing += 1;
      longest = Math.max(longest, run);
    }
    quality.push({
      marker: fileName(id, trial.head.facts.hand.value),
      frames,
      missing,
      filled: 0,
      longestGap_s: longest / rate_Hz,
      noise_m: noise,
      flags: [],
    });
  }
  return { trial: { ...trial, points }, quality };
}
