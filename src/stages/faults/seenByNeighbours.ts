/** A marker's place as its neighbours carry it from frame to frame. */

import type { Track } from '../../model/track.ts';
import { createPoseFit, fitPoseInto } from '../../numeric/poseFit.ts';
import type { Leap } from './leapCandidates.ts';
import { distance, type Neighbour } from './neighbours.ts';

/** What the neighbours see must be this share of the leap (a single frame off its place gives half as much again as it is off), and of the least leap that counts. */
const SHARE_OF_LEAP = 0.6;
const SHARE_OF_LIMIT = 0.8;
/** As much more where neighbours leap too: all of them do when the club strikes the ball. */
const TOGETHER = 1.5;
/** Of a distance alone: a leap across the line to a neighbour changes it little. */
const SHARE_OF_DISTANCE = 0.6;
/** A leap below this many limits must hold for two samples on both sides: noise that is carried along seldom does so twice. */
const LARGE = 2;
/** A recording whose steps make this the least leap (2 mm of noise at least) is rough all over: there only large ones stand out. */
const ROUGH_m = 0.03;
/** Without a neighbour a leap must exceed the limit this many times. */
const ALONE = 3;

/**
 * True where the neighbours see the marker leap. The blow at impact and the speed of a club move all of them together and leave the marker
 * where they carry it. `alsoLeap` are neighbours that leap at the same step: they count only where fewer than two others do.
 */
export function isSeenByNeighbours(
  leap: Leap,
  track: Track<3>,
  neighbours: readonly Neighbour[],
  alsoLeap: (neighbour: Neighbour) => boolean,
): boolean {
  if (leap.limit_m > ROUGH_m && !(leap.size_m > LARGE * leap.limit_m)) return false;
  const quiet = neighbours.filter((one) => !alsoLeap(one));
  const off = offCarried(track, quiet.length > 1 ? quiet : neighbours, leap.before, leap.after);
  if (Number.isNaN(off)) return neighbours.length === 0 && leap.size_m > ALONE * leap.limit_m;
  const times = quiet.length < neighbours.length ? TOGETHER : 1;
  const least = Math.max(SHARE_OF_LEAP * leap.size_m, times * SHARE_OF_LIMIT * leap.limit_m);
  if (!(off > least)) return false;
  if (leap.size_m > LARGE * leap.limit_m || leap.earlier < 0 || leap.later < 0) return true;
  return offCarried(track, quiet.length > 1 ? quiet : neighbours, leap.earlier, leap.later) > least;
}

/**
 * How far a marker is in frame g from where its neighbours carry it from frame f, metres: as a rigid body by three of them and more that do
 * not lie nearly on a line; by fewer from the second largest change of its distances. NaN without any. `to` is the marker in frame g, where
 * another may have the name.
 */
export function offCarried(
  track: Track<3>,
  neighbours: readonly Neighbour[],
  f: number,
  g: number,
  to: Track<3> = track,
): number {
  const { frames } = track.clock;
  const there = neighbours.filter(({ track: { data } }) => !Number.isNaN(data[f]!) && !Number.isNaN(data[g]!));
  if (there.length === 0) return Number.NaN;
  const fit = createPoseFit();
  const before = new Float64Array(3 * there.length);
  const after = new Float64Array(3 * there.length);
  there.forEach(({ track: { data } }, k) => {
    for (let c = 0; c < 3; c++) {
      before[3 * k + c] = data[c * frames + f]!;
      after[3 * k + c] = data[c * frames + g]!;
    }
  });
  if (fitPoseInto(fit, before, after, there.length) !== 'ok') {
    const changes = there
      .map(({ track: { data } }) =>
        Math.abs(distance(to.data, data, frames, g) - distance(track.data, data, frames, f)),
      )
      .sort((a, b) => b - a);
    return changes[changes.length === 1 ? 0 : 1]! / SHARE_OF_DISTANCE;
  }
  const { R, L } = fit;
  const [x, y, z] = [0, 1, 2].map((c) => track.data[c * frames + f]!);
  let square = 0;
  for (let c = 0; c < 3; c++) {
    const e = to.data[c * frames + g]! - (R[3 * c]! * x! + R[3 * c + 1]! * y! + R[3 * c + 2]! * z! + L[c]!);
    square += e * e;
  }
  return Math.sqrt(square);
}
