/** Where the club head stood at address, for impact without a ball. */

import type { Track } from '../../model/track.ts';

const STILL_s = 0.1;
const SLOW_mPerS = 0.1;
/** The swing back and down takes at most this long. */
const SEARCH_s = 4;
const DOWNSWING_s = 0.3;
/** The head at address is this near its later path; at the top it is not. */
const NEAR_m = 0.25;

/**
 * Mean place over the latest 0.1 s in which the point moves slower than 0.1 m/s (from end to end, four standard deviations of noise allowed),
 * at least 0.3 s before frame `impact`, within 0.25 m of where the point is around that frame. Null where it never stood still.
 */
export function addressPlace(
  track: Track<3>,
  impact: number,
  noise_m: number,
): readonly [number, number, number] | null {
  const { frames, rate_Hz } = track.clock;
  const d = track.data;
  const span = Math.max(2, Math.round(STILL_s * rate_Hz));
  const limit = SLOW_mPerS * STILL_s + 4 * noise_m;
  const first = Math.max(0, Math.floor(impact - SEARCH_s * rate_Hz));
  for (let f = Math.floor(impact - DOWNSWING_s * rate_Hz); f - span >= first; f--) {
    let squares = 0;
    for (let c = 0; c < 3; c++) {
      const move = d[c * frames + f]! - d[c * frames + f - span]!;
      squares += move * move;
    }
    if (!(squares < limit * limit)) continue;
    const mean: [number, number, number] = [0, 0, 0];
    let n = 0;
    for (let g = f - span; g <= f; g++) {
      if (Number.isNaN(d[g])) continue;
      n += 1;
      for (let c = 0; c < 3; c++) mean[c] = mean[c]! + d[c * frames + g]!;
    }
    for (let c = 0; c < 3; c++) mean[c] = mean[c]! / n;
    if (isNearPath(track, mean, impact)) return mean;
  }
  return null;
}

function isNearPath(track: Track<3>, place: readonly number[], impact: number): boolean {
  const { frames, rate_Hz } = track.clock;
  const d = track.data;
  const around = Math.round(0.12 * rate_Hz);
  for (let f = Math.max(0, impact - around); f < Math.min(frames, impact + around); f++) {
    let squares = 0;
    for (let c = 0; c < 3; c++) squares += (d[c * frames + f]! - place[c]!) * (d[c * frames + f]! - place[c]!);
    if (squares < NEAR_m * NEAR_m) return true;
  }
  return false;
}
