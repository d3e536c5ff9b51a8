/** Whether points were computed by a model of rigid segments rather than seen: its lengths between joints do not change. */

import { formatFixed } from '../base/format.ts';
import type { Clock } from '../model/clock.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import type { Track } from '../model/track.ts';
import { sd } from '../numeric/statistics.ts';

/** Lengths of limb segments between joint centres; a pair of joints of one rigid marker cluster is none. */
const LENGTHS: readonly (readonly [LandmarkId, LandmarkId])[] = (['lead', 'trail'] as const).flatMap((side) => [
  [`${side}_HJC`, `${side}_KJC`] as const,
  [`${side}_KJC`, `${side}_AJC`] as const,
  [`${side}_SJC`, `${side}_EJC`] as const,
  [`${side}_EJC`, `${side}_WJC`] as const,
]);

/** Standard deviation of a length below which it is no skin marker's: instruments alone scatter by 0.1 mm and more, skin by millimetres. */
const RIGID_m = 0.00003;
/** A joint that moves by less shows nothing. */
const MOVES_m = 0.1;
const FEWEST_LENGTHS = 3;
const FEWEST_SAMPLES = 20;
const AT_MOST = 200;

/**
 * A sentence with the numbers where at least three joint-to-joint lengths of moving limbs stay constant, and no such length changes; null otherwise.
 * `points` in metres.
 */
export function computedPoints(points: ReadonlyMap<LandmarkId, Track<3>>, clock: Clock): string | null {
  let rigid = 0;
  let largest = 0;
  for (const [a, b] of LENGTHS) {
    const p = points.get(a);
    const q = points.get(b);
    if (p === undefined || q === undefined) continue;
    const found = lengthOf(p.data, q.data, clock.frames);
    if (found === null) continue;
    if (!(found.sd < RIGID_m)) return null;
    rigid += 1;
    largest = Math.max(largest, found.sd);
  }
  if (rigid < FEWEST_LENGTHS) return null;
  return `${rigid} lengths between joints vary by at most ${formatFixed(1000 * largest, 3)} mm (standard deviation) while the limbs move: the points were computed from rigid segments, as a suit of sensors does; they are taken as markers`;
}

/** Standard deviation of the length over about two hundred frames; null where the second point hardly moves or is hardly seen. */
function lengthOf(p: Float64Array, q: Float64Array, frames: number): { readonly sd: number } | null {
  const lengths: number[] = [];
  const low = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  const high = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
  const step = Math.max(1, Math.floor(frames / AT_MOST));
  for (let frame = 0; frame < frames; frame += step) {
    let sum = 0;
    for (let axis = 0; axis < 3; axis += 1) {
      const e = p[axis * frames + frame]! - q[axis * frames + frame]!;
      sum += e * e;
    }
    if (Number.isNaN(sum)) continue;
    lengths.push(Math.sqrt(sum));
    for (let axis = 0; axis < 3; axis += 1) {
      low[axis] = Math.min(low[axis]!, q[axis * frames + frame]!);
      high[axis] = Math.max(high[axis]!, q[axis * frames + frame]!);
    }
  }
  const moved = Math.hypot(high[0]! - low[0]!, high[1]! - low[1]!, high[2]! - low[2]!);
  return lengths.length < FEWEST_SAMPLES || !(moved > MOVES_m) ? null : { sd: sd(lengths) };
}
