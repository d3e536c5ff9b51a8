/** Which tracks a reading rests on, and what their noise does to it. */

import type { OrderedRotation } from '../../model/analysisPlan.ts';
import type { Avail } from '../../model/availability.ts';
import type { Motion } from '../../model/motion.ts';
import type { Reading } from '../../model/quantity.ts';
import { FILLED_CUBIC, type Track } from '../../model/track.ts';

type AnyTrack = Track<1 | 3 | 9>;

/** The tracks behind a reading; empty for readings that need none (times, club figures). */
export function tracksBehind(reading: Reading, motion: Motion): readonly Avail<AnyTrack>[] {
  const { poses, directions, points } = motion;
  switch (reading.kind) {
    case 'orientation':
    case 'inclination':
    case 'inclination-direction':
    case 'angular-speed':
      return [poses.get(reading.segment)!];
    case 'joint':
      return [poses.get(reading.proximal)!, poses.get(reading.distal)!];
    case 'turn-difference':
      return [poses.get('pelvis')!, poses.get('thorax')!];
    case 'displacement':
      return [points.get(reading.point)!];
    case 'line-tilt':
    case 'line-turn':
    case 'line-lean':
      return [directions.get(reading.line)!];
    case 'axis-tilt':
      return [points.get('pelvis_centre')!, points.get('thorax_centre')!];
    case 'address-distance':
      return [points.get(reading.from)!, points.get(reading.to)!];
    case 'address-heading':
      return [directions.get(reading.line)!];
    case 'ball-place':
      return [points.get('lead_ankle')!, points.get('trail_ankle')!];
    case 'point-speed':
      return [points.get(reading.point)!];
    case 'force':
    case 'club':
    case 'time':
    case 'time-ratio':
      return [];
  }
}

/** The tracks behind a rotation that extra orders were asked for. */
export function tracksBehindRotation(rotation: OrderedRotation, motion: Motion): readonly Avail<AnyTrack>[] {
  const { poses } = motion;
  if (rotation === 'trunk') return [poses.get('pelvis')!, poses.get('thorax')!];
  if (rotation === 'neck') return [poses.get('thorax')!, poses.get('head')!];
  return [poses.get(rotation)!];
}

/** Root of the sum of squares of the tracks' noise; NaN where one is unknown. */
export function combinedNoise(tracks: readonly Avail<AnyTrack>[]): number {
  let variance = 0;
  for (const track of tracks) variance += track.ok ? track.value.noise * track.value.noise : Number.NaN;
  return Math.sqrt(variance);
}

/** True where a sample of one of the tracks in the frames from `first` to `last` was filled. */
export function isFilled(tracks: readonly Avail<AnyTrack>[], first: number, last: number): boolean {
  return tracks.some((track) => {
    if (!track.ok) return false;
    const { state } = track.value;
    for (let f = Math.max(0, first); f <= Math.min(state.length - 1, last); f++) {
      if (state[f]! >= FILLED_CUBIC) return true;
    }
    return false;
  });
}
