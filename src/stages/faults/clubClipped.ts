/** Markers of the club that are lost where it is fast. */

import { formatFixed } from '../../base/format.ts';
import type { BodyFaultLimits } from '../../model/bodyFaultLimits.ts';
import type { Fault } from '../../model/faults.ts';
import type { ClubLandmark } from '../../model/landmarks.ts';
import { MISSING, type Track } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import { HEAD_MARKERS } from '../shared/clubBody.ts';
import { FAST_PART, type FastPart } from './fastPart.ts';
import { stretchesOf } from './stretches.ts';

const CLUB_MARKERS: readonly ClubLandmark[] = ['CLUB_GRIP', 'CLUB_SHAFT', ...HEAD_MARKERS];
/** A marker that is seen in fewer of the other frames is one with gaps everywhere, which is said elsewhere. A choice of this program. */
const SEEN_ELSEWHERE = 0.7;
/** One frame is a gap, not a club that is lost. */
const FEWEST_FRAMES = 2;

/** `club-clipped` of a trial as recorded: the share of the fast part in which a marker of the club is missing that is seen elsewhere. */
export function clubClipped(trial: MarkerTrial, { from, to }: FastPart, { clubLost }: BodyFaultLimits): Fault[] {
  const wide = to - from;
  const lost = CLUB_MARKERS.flatMap((id) => {
    const track = trial.points.get(id);
    if (track === undefined) return [];
    const others = track.clock.frames - wide;
    const inside = missingIn(track, from, to);
    const elsewhere = missingIn(track, 0, track.clock.frames) - inside;
    const isLost = inside >= FEWEST_FRAMES && inside > clubLost * wide && elsewhere <= (1 - SEEN_ELSEWHERE) * others;
    return isLost ? [{ id, track, inside }] : [];
  });
  if (lost.length === 0) return [];
  const most = lost.reduce((a, b) => (b.inside > a.inside ? b : a));
  const percent = (share: number): string => `${formatFixed(100 * share, 0)} %`;
  return [
    {
      code: 'club-clipped',
      markers: lost.map(({ id }) => id).sort(),
      frames: stretchesOf((f) => lost.some(({ track }) => track.state[f] === MISSING), from, to, 0),
      action: 'kept',
      detail: `missing in up to ${most.inside} of ${wide} frames (${percent(most.inside / wide)}) ${FAST_PART}; ${percent(clubLost)} are allowed`,
    },
  ];
}

function missingIn({ state }: Track<3>, from: number, to: number): number {
  let count = 0;
  for (let f = from; f < to; f++) if (state[f] === MISSING) count += 1;
  return count;
}
