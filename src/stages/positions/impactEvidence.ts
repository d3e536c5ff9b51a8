/** Evidence of impact to the frame: the ball leaving its place, the sudden change of head velocity, the head passing a place. */

import { MISSING, type Track } from '../../model/track.ts';
import { medianInPlace } from '../../numeric/select.ts';
import type { Workspace } from '../../numeric/workspace.ts';

/** Last frame before and first frame after, not always neighbours. */
export interface FramePair {
  readonly before: number;
  readonly after: number;
}

/** The ball's still place and when it left it. */
export interface StillBall {
  readonly place: readonly [number, number, number];
  /** Standard deviation of a coordinate of the place, metres: noise over the root of the still frames. */
  readonly sd_m: number;
  /** Last frame in place, next frame seen away from it (or just the next frame, where the ball is not seen again). */
  readonly leaves: FramePair | null;
}

/** The ball has left its place when it is this far away, or six standard deviations of its noise. */
const LEFT_m = 0.006;
const LEFT_SD = 6;
/** Shorter stretches of a ball at rest are not a teed ball. */
const LEAST_STILL_s = 0.05;

/**
 * Finds where the ball lay: around its median over frames up to `until`, then the mean of the frames near it in the run that ends with its
 * leaving. Null where no ball lies still for 0.05 s.
 */
export function stillBall(ball: Track<3>, until: number, noise_m: number, ws: Workspace): StillBall | null {
  const { frames, rate_Hz } = ball.clock;
  const d = ball.data;
  const end = Math.min(frames - 1, until);
  let n = 0;
  for (let f = 0; f <= end; f++) if (ball.state[f] !== MISSING) n += 1;
  if (n < 3) return null;
  const scratch = ws.float64(n);
  const place: [number, number, number] = [0, 0, 0];
  for (let c = 0; c < 3; c++) {
    let i = 0;
    for (let f = 0; f <= end; f++) if (ball.state[f] !== MISSING) scratch[i++] = d[c * frames + f]!;
    place[c] = medianInPlace(scratch, n);
  }
  const limit = Math.max(LEFT_m, LEFT_SD * noise_m);
  const isNear = (f: number): boolean => {
    const x = d[f]! - place[0];
    const y = d[frames + f]! - place[1];
    const z = d[2 * frames + f]! - place[2];
    return x * x + y * y + z * z <= limit * limit;
  };
  let near = 0;
  let last = -1;
  let away = -1;
  for (let f = 0; f < frames; f++) {
    if (ball.state[f] === MISSING) continue;
    if (isNear(f)) {
      near += 1;
      last = f;
      away = -1;
    } else if (last >= 0 && away < 0) {
      away = f;
      // A single wild sample is not leaving: the ball must stay away from its place.
      if (near >= LEAST_STILL_s * rate_Hz && staysAway(ball, f, isNear)) break;
      away = -1;
    }
  }
  if (near < LEAST_STILL_s * rate_Hz || last < 0) return null;
  const mean: [number, number, number] = [0, 0, 0];
  for (let f = 0; f <= last; f++) {
    if (ball.state[f] === MISSING || !isNear(f)) continue;
    for (let c = 0; c < 3; c++) mean[c] = mean[c]! + d[c * frames + f]! / near;
  }
  const gone = away >= 0 ? away : last + 1;
  return {
    place: mean,
    sd_m: noise_m / Math.sqrt(near),
    leaves: gone < frames ? { before: last, after: gone } : null,
  };
}

const STAY_FRAMES = 4;

function staysAway(ball: Track<3>, from: number, isNear: (f: number) => boolean): boolean {
  const end = Math.min(ball.clock.frames, from + STAY_FRAMES);
  for (let f = from; f < end; f++) if (ball.state[f] !== MISSING && isNear(f)) return false;
  return true;
}

/** Speed of a point between neighbouring frames, m/s: entry f is from f to f + 1; NaN where one is missing. */
export function stepSpeeds(track: Track<3>, ws: Workspace): Float64Array {
  const { frames, rate_Hz } = track.clock;
  const d = track.data;
  const out = ws.float64(frames);
  out[frames - 1] = Number.NaN;
  for (let f = 0; f + 1 < frames; f++) {
    const x = d[f + 1]! - d[f]!;
    const y = d[frames + f + 1]! - d[frames + f]!;
    const z = d[2 * frames + f + 1]! - d[2 * frames + f]!;
    out[f] = rate_Hz * Math.sqrt(x * x + y * y + z * z);
  }
  return out;
}

/** Fastest step in [from, to), or −1. */
export function fastestStep(speeds: Float64Array, from: number, to: number): number {
  let best = -1;
  for (let f = Math.max(0, from); f < Math.min(speeds.length, to); f++) {
    const v = speeds[f]!;
    if (!Number.isNaN(v) && (best < 0 || v > speeds[best]!)) best = f;
  }
  return best;
}

/** A struck ball takes 15 to 30 % of the head's speed within half a millisecond; a swing without a ball at most 3 % a frame. */
const LEAST_LOSS = 0.08;
/** The strike comes near the fastest moment. */
const NEAR_PEAK = 0.75;

/**
 * The sudden change of head velocity in [from, to): the pair of frames across which the speed falls most against the trend of the steps
 * before it. Null where no fall reaches 8 % of the fastest speed there.
 */
export function velocityStep(speeds: Float64Array, from: number, to: number): FramePair | null {
  const fastest = fastestStep(speeds, from, to);
  if (fastest < 0) return null;
  const peak = speeds[fastest]!;
  let best = -1;
  let most = LEAST_LOSS;
  for (let f = Math.max(3, from); f < Math.min(speeds.length - 2, to); f++) {
    // The step f may hold the strike: before it f−1, f−2, f−3 and after it f+1, f+2.
    const trend = speeds[f - 1]! + 0.5 * (speeds[f - 1]! - speeds[f - 3]!);
    const after = speeds[f + 1]! - 0.5 * (speeds[f + 2]! - speeds[f + 1]!);
    const loss = (trend - after) / peak;
    if (loss > most && speeds[f - 1]! > NEAR_PEAK * peak && speeds[f + 1]! < 0.98 * speeds[f - 1]!) {
      most = loss;
      best = f;
    }
  }
  return best < 0 ? null : { before: best, after: best + 1 };
}

/** The pair of frames between which the point, in [from, to), passes the plane through `place` across its motion, nearest to it; null where it comes no nearer than 0.25 m. */
export function passingOf(track: Track<3>, place: ArrayLike<number>, from: number, to: number): FramePair | null {
  const { frames } = track.clock;
  const d = track.data;
  let best = -1;
  let nearest = 0.25;
  for (let f = Math.max(0, from); f + 1 < Math.min(frames, to); f++) {
    let before = 0;
    let after = 0;
    let length = 0;
    let distance = 0;
    for (let c = 0; c < 3; c++) {
      const a = d[c * frames + f]!;
      const b = d[c * frames + f + 1]!;
      before += (place[c]! - a) * (b - a);
      after += (place[c]! - b) * (b - a);
      length += (b - a) * (b - a);
      distance += (place[c]! - (a + b) / 2) * (place[c]! - (a + b) / 2);
    }
    if (!(before > 0 && after <= 0)) continue;
    const away = Math.sqrt(Math.max(0, distance - length / 4));
    if (away < nearest) {
      nearest = away;
      best = f;
    }
  }
  return best < 0 ? null : { before: best, after: best + 1 };
}
