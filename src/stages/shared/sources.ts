/** Which tracks a reading rests on, and whether they were filled. */

import type { OrderedRotation } from '../../model/analysisPlan.ts';
import type { Avail } from '../../model/availability.ts';
import { jointOf } from '../../model/joints.ts';
import type { Motion, SegmentId } from '../../model/motion.ts';
import type { Reading } from '../../model/quantity.ts';
import { partsOf } from '../../model/readingParts.ts';
import { FILLED_COMPONENTS, FILLED_CUBIC, REBUILT, type Track } from '../../model/track.ts';
import { poseOf } from './motionView.ts';

type AnyTrack = Track<1 | 3 | 9>;

/** The tracks behind a reading; empty for readings that need none (times, club figures). */
export function tracksBehind(reading: Reading, motion: Motion): readonly Avail<AnyTrack>[] {
  return partsOf(reading).map((part) => {
    if (part.of === 'pose') return poseOf(motion, part.id);
    return part.of === 'point' ? motion.points.get(part.id)! : motion.directions.get(part.id)!;
  });
}

/** The tracks behind a rotation that extra orders were asked for. */
export function tracksBehindRotation(rotation: OrderedRotation, motion: Motion): readonly Avail<AnyTrack>[] {
  const joint = jointOf(rotation);
  if (joint !== null) return [poseOf(motion, joint.proximal), poseOf(motion, joint.distal)];
  return [poseOf(motion, rotation as SegmentId)];
}

/** How samples of the tracks in the frames from `first` to `last` were filled: 'filled' by a spline or components, 'rebuilt' from the rest of a segment. */
export function fillFlags(tracks: readonly Avail<AnyTrack>[], first: number, last: number): readonly string[] {
  let isFilled = false;
  let isRebuilt = false;
  for (const track of tracks) {
    if (!track.ok) continue;
    const { state } = track.value;
    for (let f = Math.max(0, first); f <= Math.min(state.length - 1, last); f++) {
      if (state[f] === FILLED_CUBIC || state[f] === FILLED_COMPONENTS) isFilled = true;
      if (state[f] === REBUILT) isRebuilt = true;
    }
  }
  if (!isFilled && !isRebuilt) return NONE;
  return [...(isFilled ? ['filled'] : []), ...(isRebuilt ? ['rebuilt'] : [])];
}

const NONE: readonly string[] = [];
