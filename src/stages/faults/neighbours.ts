/** Markers near a marker that keep their distance from it: what a leap is seen against, however fast the segment moves. */

import { groupOf } from '../../model/landmarkGroups.ts';
import type { LandmarkId } from '../../model/landmarks.ts';
import type { Track } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import { SEGMENT_CLUSTERS } from '../shared/segmentClusters.ts';
import type { Leap } from './leapCandidates.ts';

export interface Neighbour {
  readonly id: LandmarkId;
  readonly track: Track<3>;
  /** On the same segment, or on the club too: it stays where it is for longer than a step. */
  readonly isRigid: boolean;
}

const MOST_NEIGHBOURS = 5;
/** Frames on each side of a step over which distances are looked at, and how many of them. */
const REACH = 40;
const STRIDE = 4;
const FEWEST_TOGETHER = 3;
/** A metre of distance counts as this much change of it: of markers that are all steady the nearest lie around a marker, not beyond one side. */
const CHANGE_PER_m = 0.03;
/** What the distance to a marker of the same segment may change and still be asked before any other. */
const SAME_SEGMENT_m = 0.05;
/** A marker whose distance varies more says nothing about a leap of centimetres. */
const LARGEST_CHANGE_m = 0.1;

/** The neighbours of a leaping marker around its step, the steadiest and nearest first; the ball is none. */
export function neighboursOf(trial: MarkerTrial, leap: Leap): readonly Neighbour[] {
  const { frames } = trial.clock;
  const own = trial.points.get(leap.id)!.data;
  const all: (Neighbour & { readonly cost_m: number })[] = [];
  for (const [id, track] of trial.points) {
    if (id === leap.id || id === 'BALL') continue;
    const apart_m = distance(own, track.data, frames, leap.before);
    if (!(apart_m > 0)) continue;
    const before = variation(own, track.data, frames, leap.before, -STRIDE);
    const after = variation(own, track.data, frames, leap.after, STRIDE);
    const change_m = Number.isNaN(before) ? after : Number.isNaN(after) ? before : Math.min(before, after);
    if (!(change_m <= LARGEST_CHANGE_m)) continue;
    const isRigid = areOfOneSegment(leap.id, id);
    const cost_m = change_m + CHANGE_PER_m * apart_m - (isRigid ? SAME_SEGMENT_m : 0);
    all.push({ id, track, isRigid, cost_m });
  }
  return all.sort((a, b) => a.cost_m - b.cost_m).slice(0, MOST_NEIGHBOURS);
}

function areOfOneSegment(a: LandmarkId, b: LandmarkId): boolean {
  if (groupOf(a) === 'club') return groupOf(b) === 'club';
  return SEGMENT_CLUSTERS.some(({ landmarks }) => landmarks.includes(a) && landmarks.includes(b));
}

/** Distances in ascending order, as far as they are seen. */
const distances = new Float64Array(REACH / STRIDE);

/** Largest less smallest distance on one side of a step, the two outermost of ten left out; NaN where the two are hardly seen together. */
function variation(p: Float64Array, q: Float64Array, frames: number, from: number, stride: number): number {
  let count = 0;
  for (let i = 0; i < REACH / STRIDE; i++) {
    const f = from + i * stride;
    const d = f < 0 || f >= frames ? Number.NaN : distance(p, q, frames, f);
    if (Number.isNaN(d)) continue;
    let at = count;
    for (; at > 0 && distances[at - 1]! > d; at--) distances[at] = distances[at - 1]!;
    distances[at] = d;
    count += 1;
  }
  if (count < FEWEST_TOGETHER) return Number.NaN;
  const cut = Math.floor(count / 5);
  return distances[count - 1 - cut]! - distances[cut]!;
}

/** Distance of two markers in a frame; NaN where one is missing. */
export function distance(p: Float64Array, q: Float64Array, frames: number, f: number): number {
  const x = p[f]! - q[f]!;
  const y = p[frames + f]! - q[frames + f]!;
  const z = p[2 * frames + f]! - q[2 * frames + f]!;
  return Math.sqrt(x * x + y * y + z * z);
}
