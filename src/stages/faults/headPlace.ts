/** Where the head point and the head markers sit on the club: what the other swings of the club are compared with. */

import type { HeadPlace } from '../../model/headPlace.ts';
import type { Motion } from '../../model/motion.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import { HEAD_MARKERS } from '../shared/clubBody.ts';
import { median } from '../shared/medians.ts';
import { distanceAt } from '../shared/tracks.ts';

/** At most this many frames, evenly taken. */
const MOST_FRAMES = 60;
const FEWEST_FRAMES = 10;

/**
 * Medians over the frames before `until` (the backswing, in which the shaft hardly bends) of the head point's place along and off the line from grip
 * to shaft, and of the distances between the head markers, metres. Neither knows a handedness. Null where fewer than ten frames show it.
 */
export function headPlace(motion: Motion, trial: MarkerTrial, until: number): HeadPlace | null {
  const [head, grip, shaft] = [
    motion.points.get('head_point'),
    motion.points.get('club_grip'),
    motion.directions.get('shaft'),
  ];
  const place: Record<string, number> = {};
  const stride = Math.max(1, Math.ceil(until / MOST_FRAMES));
  const frames = Array.from({ length: Math.ceil(until / stride) }, (_, i) => i * stride);
  const keep = (name: string, values: readonly number[]): void => {
    const seen = values.filter((value) => !Number.isNaN(value));
    if (seen.length >= FEWEST_FRAMES) place[name] = median(seen);
  };
  if (head?.ok && grip?.ok && shaft?.ok) {
    const n = motion.clock.frames;
    const along = frames.map((f) => {
      let sum = 0;
      for (let at = f; at < 3 * n; at += n)
        sum += (head.value.data[at]! - grip.value.data[at]!) * shaft.value.data[at]!;
      return sum;
    });
    keep('along the shaft', along);
    keep(
      'off the shaft',
      frames.map((f, i) => {
        const reach = distanceAt(head.value, grip.value, f);
        return Math.sqrt(Math.max(0, reach * reach - along[i]! * along[i]!));
      }),
    );
  }
  HEAD_MARKERS.forEach((a, i) => {
    for (const b of HEAD_MARKERS.slice(i + 1)) {
      const [p, q] = [trial.points.get(a), trial.points.get(b)];
      if (p !== undefined && q !== undefined)
        keep(
          `${a} to ${b}`,
          frames.map((f) => distanceAt(p, q, f)),
        );
    }
  });
  return Object.keys(place).length === 0 ? null : place;
}
