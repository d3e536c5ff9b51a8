/** From which markers or sensors the parts of a motion come. */

import { compareCodeUnits } from '../../base/text.ts';
import type { Motion } from '../../model/motion.ts';
import type { Origin, Origins } from '../../model/origins.ts';
import type { Track } from '../../model/track.ts';
import { fileName } from './landmarkGroups.ts';

type AnyTrack = Track<1 | 3 | 9>;

/** The origins of every pose, point and line that is there, in the order of the motion. */
export function originsOf(motion: Motion): Origins {
  const { hand } = motion.head.facts;
  const names = new Map<AnyTrack, string>();
  for (const [id, track] of motion.landmarks ?? []) names.set(track, fileName(id, hand.value));
  const parts: Record<string, Origin> = {};
  for (const group of [motion.poses, motion.points, motion.directions]) {
    for (const [id, track] of group) {
      if (!track.ok) continue;
      const markers = new Set<string>();
      gatherMarkers(track.value, names, markers);
      parts[id] = { from: track.value.provenance, markers: [...markers].sort(compareCodeUnits) };
    }
  }
  return { cutoffs: motion.cutoffs ?? null, parts };
}

/** A landmark's own track ends the search; any other is looked into. */
function gatherMarkers(track: AnyTrack, names: ReadonlyMap<AnyTrack, string>, found: Set<string>): void {
  const name = names.get(track);
  if (name !== undefined) {
    found.add(name);
    return;
  }
  for (const part of behind(track)) gatherMarkers(part, names, found);
}

function behind({ madeOf, builtOn }: AnyTrack): readonly AnyTrack[] {
  switch (madeOf?.kind) {
    case 'mean':
    case 'frame':
      return madeOf.tracks;
    case 'carried':
      return [madeOf.origin, madeOf.pose];
    case 'line':
      return [madeOf.from, madeOf.to];
    case undefined:
      return builtOn ?? [];
  }
}
