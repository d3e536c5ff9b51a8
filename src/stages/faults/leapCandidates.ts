/** Steps of a marker between two samples that its motion before and after does not explain. */

import type { LandmarkId } from '../../model/landmarks.ts';
import { MISSING, type Track } from '../../model/track.ts';
import { selectInPlace } from '../../numeric/select.ts';

/** A step from the last sample before to the first after; the samples next to them give the speed on each side, -1: none near. */
export interface Leap {
  readonly id: LandmarkId;
  readonly earlier: number;
  readonly before: number;
  readonly after: number;
  readonly later: number;
  /** What the motion does not explain, metres. */
  readonly size_m: number;
  /** The least that counts for this marker, metres. */
  readonly limit_m: number;
}

/** Skin that shakes after a blow (10 mm at 20 Hz) leaves 0.7 mm at 240 Hz; a leap below this harms no angle beyond what skin does. */
const LEAST_LEAP_m = 0.008;
/** Times the usual size: beyond 6.9 standard deviations on one axis, one step in 10⁹ by chance. */
const TIMES_USUAL = 4;
/** Where the usual size cannot be told. */
const UNKNOWN_LEAP_m = 0.03;
const BLOCK = 16;
/** Frames away from which a sample still gives a speed. */
const NEAR = 3;
/** Longest gap across which a marker's own motion says where it should be, frames. */
export const LONGEST_CARRY = 4;
/** A step beside a larger one is its echo: a single leap gives half of itself to both neighbours. Squared. */
const ECHO = 0.56;

/**
 * `size` metres that the step leaves unexplained: x(after) − x(before) less the frames between times the mean of the speeds on both sides; for
 * neighbouring frames half the third difference. Before from `p`, after from `q`: planar columns, which may be two markers'. `vector` takes
 * its components.
 */
export function unexplained(
  p: Float64Array,
  q: Float64Array,
  frames: number,
  at: Pick<Leap, 'earlier' | 'before' | 'after' | 'later'>,
  vector: number[] = [0, 0, 0],
): number {
  const { earlier, before, after, later } = at;
  let square = 0;
  for (let c = 0; c < 3; c++) {
    const o = c * frames;
    let speed = 0;
    if (earlier >= 0) speed += (p[o + before]! - p[o + earlier]!) / (before - earlier);
    if (later >= 0) speed += (q[o + later]! - q[o + after]!) / (later - after);
    if (earlier >= 0 && later >= 0) speed /= 2;
    const e = q[o + after]! - p[o + before]! - (after - before) * speed;
    vector[c] = e;
    square += e * e;
  }
  return Math.sqrt(square);
}

/** Candidates of one marker in the order of time. `squares` needs a place a frame, `blocks` one in sixteen. */
export function leapCandidates(id: LandmarkId, track: Track<3>, squares: Float64Array, blocks: Float64Array): Leap[] {
  const { frames } = track.clock;
  const isGappy = track.state.includes(MISSING);
  if (!isGappy && isSmooth(track.data, frames)) return [];
  const { usual_m, largest } = usualSize(track.data, frames, squares, blocks);
  const limit_m = Number.isNaN(usual_m) ? UNKNOWN_LEAP_m : Math.max(LEAST_LEAP_m, TIMES_USUAL * usual_m);
  const least = limit_m * limit_m;
  const leaps: Leap[] = [];
  const add = (before: number, after: number, size_m: number): void => {
    const earlier = sampleNear(track, before, -1);
    leaps.push({ id, earlier, before, after, later: sampleNear(track, after, 1), size_m, limit_m });
  };
  const isQuiet = !isGappy && largest <= least;
  for (let f = 0; f + 1 < frames; f++) {
    // the first step and the last have no square
    if (isQuiet && f === 1 && frames > 4) f = frames - 2;
    const square = squares[f]!;
    if (square <= least) continue;
    if (square > least) {
      if (square >= ECHO * larger(squares[f - 1], squares[f + 1])) add(f, f + 1, Math.sqrt(square));
      continue;
    }
    if (!isGappy && f > 0 && f + 2 < frames) continue;
    if (track.state[f] === MISSING) continue;
    const after = nextSample(track, f);
    if (after < 0 || after - f > LONGEST_CARRY) continue;
    const at = { earlier: sampleNear(track, f, -1), before: f, after, later: sampleNear(track, after, 1) };
    const size_m = unexplained(track.data, track.data, frames, at);
    if (size_m > limit_m * (after - f)) leaps.push({ id, ...at, size_m, limit_m });
  }
  return leaps;
}

function larger(a: number | undefined, b: number | undefined): number {
  return Math.max(a! >= 0 ? a! : 0, b! >= 0 ? b! : 0);
}

/** What a step may leave unexplained along one axis, times two, for its size to stay below the least leap that counts for any marker. */
const SMOOTH_m = (2 * LEAST_LEAP_m) / Math.sqrt(3);

/** True where no step leaves enough unexplained on any axis to be a leap; of a marker that is seen in every frame. */
function isSmooth(data: Float64Array, frames: number): boolean {
  if (frames < 4) return false;
  for (let c = 0; c < 3; c++) {
    const o = c * frames;
    let x1 = data[o]!;
    let x2 = data[o + 1]!;
    let x3 = data[o + 2]!;
    // the first step and the last have a neighbour on one side alone
    if (!(Math.abs(x3 - 2 * x2 + x1) < SMOOTH_m / 2)) return false;
    for (let f = o + 3; f < o + frames; f++) {
      const x4 = data[f]!;
      if (!(Math.abs(x4 - x1 - 3 * (x3 - x2)) < SMOOTH_m)) return false;
      x1 = x2;
      x2 = x3;
      x3 = x4;
    }
    if (!(Math.abs(x3 - 2 * x2 + x1) < SMOOTH_m / 2)) return false;
  }
  return true;
}

interface Usual {
  /** NaN where it cannot be told. */
  readonly usual_m: number;
  /** Largest of the squares. */
  readonly largest: number;
}

/**
 * Squares of what each step between neighbouring frames leaves unexplained, NaN where one of its four samples is missing, and the usual size:
 * root of the median over blocks of 16 frames of their mean. A fast downswing fills few blocks and does not count.
 */
function usualSize(data: Float64Array, frames: number, squares: Float64Array, blocks: Float64Array): Usual {
  squares.fill(Number.NaN, 0, frames);
  let n = 0;
  let largest = 0;
  let [x1, x2, x3] = [data[0]!, data[1]!, data[2]!];
  let [y1, y2, y3] = [data[frames]!, data[frames + 1]!, data[frames + 2]!];
  let [z1, z2, z3] = [data[2 * frames]!, data[2 * frames + 1]!, data[2 * frames + 2]!];
  for (let start = 1; start + 2 < frames; start += BLOCK) {
    const end = Math.min(start + BLOCK, frames - 2);
    let sum = 0;
    let count = 0;
    for (let f = start; f < end; f++) {
      const x4 = data[f + 2]!;
      const y4 = data[frames + f + 2]!;
      const z4 = data[2 * frames + f + 2]!;
      const ex = x4 - x1 - 3 * (x3 - x2);
      const ey = y4 - y1 - 3 * (y3 - y2);
      const ez = z4 - z1 - 3 * (z3 - z2);
      x1 = x2;
      x2 = x3;
      x3 = x4;
      y1 = y2;
      y2 = y3;
      y3 = y4;
      z1 = z2;
      z2 = z3;
      z3 = z4;
      const square = (ex * ex + ey * ey + ez * ez) / 4;
      squares[f] = square;
      if (square >= 0) {
        sum += square;
        count += 1;
        if (square > largest) largest = square;
      }
    }
    if (2 * count < end - start && count < 4) continue;
    blocks[n] = sum / count;
    n += 1;
  }
  return { usual_m: n === 0 ? Number.NaN : Math.sqrt(selectInPlace(blocks, n, n >> 1)), largest };
}

/** The nearest sample on one side of a frame, at most three frames away; -1: none. */
function sampleNear(track: Track<3>, frame: number, side: 1 | -1): number {
  const { frames } = track.clock;
  for (let i = 1; i <= NEAR; i++) {
    const f = frame + side * i;
    if (f < 0 || f >= frames) return -1;
    if (track.state[f] !== MISSING) return f;
  }
  return -1;
}

/** The next frame with a sample; -1: none. */
export function nextSample({ state, clock: { frames } }: Track<3>, frame: number): number {
  let f = frame + 1;
  while (f < frames && state[f] === MISSING) f += 1;
  return f < frames ? f : -1;
}
