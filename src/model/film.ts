/** The motion of a swing as the page of a player plays it: places of points at the steps of the curves, packed into text. */

import { pack16, unpack16 } from '../base/packed.ts';
import type { PointId } from './motion.ts';

/**
 * Places at the steps of the curves' time base, in G, moved so that the pelvis centre of the first step that has one is the origin in X and
 * Z; heights as they are. `data`: base64 of 16-bit signed numbers, low byte first, one place after the other, x, y, z of each of `points`
 * in turn, step by step, in half millimetres.
 */
export interface Film {
  /** Points that are there at some step; 24 at most. */
  readonly points: readonly PointId[];
  readonly data: string;
}

/** What is filmed where it is known: joint centres, trunk, head, feet, club and ball. */
export const FILM_POINTS: readonly PointId[] = [
  'pelvis_centre',
  'thorax_centre',
  'head_centre',
  'lead_shoulder',
  'trail_shoulder',
  'lead_elbow',
  'trail_elbow',
  'lead_wrist',
  'trail_wrist',
  'lead_hip',
  'trail_hip',
  'lead_knee',
  'trail_knee',
  'lead_ankle',
  'trail_ankle',
  'lead_heel',
  'trail_heel',
  'lead_toe',
  'trail_toe',
  'club_grip',
  'head_point',
];

/** Steps a metre: half a millimetre each. */
const STEPS_PER_m = 2000;

/** Bytes of a film before base64. */
export function filmBytes(points: number, steps: number): number {
  return 2 * 3 * points * steps;
}

/** Metres to the text of `Film.data`. NaN, and what is further than 16 m from the origin, is missing. */
export function packPlaces(places_m: Float64Array): string {
  return pack16(places_m, STEPS_PER_m);
}

/** The text of `Film.data` to metres, NaN where missing. Throws where the text is no base64. */
export function unpackPlaces(data: string): Float64Array {
  return unpack16(data, STEPS_PER_m);
}
