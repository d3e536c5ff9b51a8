/** P4: where the shaft, or without a club the lead arm, turns back. */

import type { Track } from '../../model/track.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { isFilled } from './elevation.ts';
import { FOR_TURNING, fitAround, fitted, type LocalFit, rootNear, sdOf } from './localFit.ts';
import { anglesAbout, planeOfDirections } from './rotationInPlane.ts';

/** Directions of the plane: this long before and after the turning point (definitions 6). */
const BEFORE_s = 0.35;
const AFTER_s = 0.1;
/** The top is sought at most this long before impact. */
export const SEARCH_s = 1.5;
/** Rotation by which the direction must have come back before a farthest point counts as the turning point. */
const BACK_rad = 0.35;
/** Downswing rate that ends a pause, rad/s (20°/s, definitions 6). */
const PAUSE_RATE_radPerS = (20 * Math.PI) / 180;
/** A turning point slower than that rate for longer than this is a pause: a swing that turns at 50 rad/s² is so for 14 ms. */
const PAUSE_s = 0.1;
const WIDEST_s = 0.09;
/** Half-window of the rate that decides on a pause: noise of 3 mrad a sample makes 0.06 rad/s of it at 240 Hz. */
const RATE_SPAN_s = 0.017;
const ROUNDS = 8;

export interface Top {
  readonly time_s: number;
  readonly sd_s: number;
  readonly pause: boolean;
  readonly filled: boolean;
}

/** Null where the direction does not turn back within the search, or too few samples are there. `impactFrame` is the last before impact. */
export function findTop(track: Track<3>, impactFrame: number, ws: Workspace, fit: LocalFit, fromFrame = 0): Top | null {
  const { rate_Hz, frames } = track.clock;
  const first = Math.max(fromFrame, Math.floor(impactFrame - SEARCH_s * rate_Hz));
  const last = Math.min(frames - 1, impactFrame);
  if (last - first < 8) return null;
  const normal = new Float64Array(3);
  const angles = ws.float64(frames);
  angles.fill(Number.NaN);
  if (!planeOfDirections(track, Math.max(first, Math.round(last - 0.25 * rate_Hz)), last, normal)) return null;
  anglesAbout(track, normal, first, last, angles);
  let turning = turningFrame(angles, first, last);
  if (turning < 0) return null;
  let time = turning;
  let found: Top | null = null;
  for (let round = 0; round < ROUNDS; round++) {
    const from = Math.max(first, Math.round(time - BEFORE_s * rate_Hz));
    const to = Math.min(last, Math.round(time + AFTER_s * rate_Hz));
    if (!planeOfDirections(track, from, to, normal)) return found;
    orient(track, normal, turning, to);
    anglesAbout(track, normal, from, last, angles);
    turning = lowest(angles, from, last);
    const next = timeTurning(angles, track, turning, from, last + 1, fit);
    if (next === null) return found;
    found = next;
    const moved = Math.abs(next.time_s * rate_Hz - time);
    time = next.time_s * rate_Hz;
    if (moved < 1e-4) break;
  }
  return found;
}

/** Turns the normal so that the angle grows in the downswing. */
function orient(track: Track<3>, normal: Float64Array, from: number, to: number): void {
  const { frames } = track.clock;
  const d = track.data;
  const [ax, ay, az] = [d[from]!, d[frames + from]!, d[2 * frames + from]!];
  const [bx, by, bz] = [d[to]!, d[frames + to]!, d[2 * frames + to]!];
  const turn = normal[0]! * (ay * bz - az * by) + normal[1]! * (az * bx - ax * bz) + normal[2]! * (ax * by - ay * bx);
  if (turn < 0) for (let i = 0; i < 3; i++) normal[i] = -normal[i]!;
}

/** Going back from impact: the lowest angle before the series has risen again by BACK_rad; −1 where it lies at the search's own end. */
function turningFrame(angles: Float64Array, first: number, last: number): number {
  let best = -1;
  for (let f = last; f >= first; f--) {
    const a = angles[f]!;
    if (Number.isNaN(a)) continue;
    if (best < 0 || a < angles[best]!) best = f;
    else if (a > angles[best]! + BACK_rad) return best;
  }
  return best - first > 3 && best >= 0 && angles[best]! < firstPresent(angles, first) - 0.02 ? best : -1;
}

function firstPresent(angles: Float64Array, first: number): number {
  let f = first;
  while (Number.isNaN(angles[f])) f += 1;
  return angles[f]!;
}

function lowest(angles: Float64Array, from: number, to: number): number {
  let best = from;
  for (let f = from; f <= to; f++) if (angles[f]! < angles[best]! || Number.isNaN(angles[best])) best = f;
  return best;
}

function timeTurning(
  angles: Float64Array,
  track: Track<3>,
  turning: number,
  from: number,
  to: number,
  fit: LocalFit,
): Top | null {
  const { rate_Hz } = track.clock;
  const reach = WIDEST_s * rate_Hz;
  const around = (frame: number): boolean =>
    fitAround(angles, frame, from, to, rate_Hz, track.noise, WIDEST_s, FOR_TURNING, fit);
  if (!around(turning)) return null;
  const root = rootNear(fit, turning, reach, 1, 0);
  const slow = PAUSE_RATE_radPerS / rate_Hz;
  const span = Math.max(2, Math.round(RATE_SPAN_s * rate_Hz));
  // Frames around the turning point at which the rate stays below that of a pause.
  let low = turning;
  while (low - 1 > from + 2 && slowAt(angles, low - 1, span, slow)) low -= 1;
  let high = turning;
  // A few frames above the rate are noise as long as slow ones follow.
  for (let f = turning + 1; f < to - 3 && f <= high + span + 1; f++) if (slowAt(angles, f, span, slow)) high = f;
  if (high - low > PAUSE_s * rate_Hz) {
    if (!around(high + 0.5)) return null;
    const end = rootNear(fit, high, reach, 1, slow);
    if (!Number.isNaN(end)) return top(angles, track, end, true, fit);
  }
  if (Number.isNaN(root)) return null;
  if (around(root)) {
    const again = rootNear(fit, root, reach, 1, 0);
    if (!Number.isNaN(again)) return top(angles, track, again, false, fit);
  }
  return null;
}

function top(angles: Float64Array, track: Track<3>, frame: number, pause: boolean, fit: LocalFit): Top {
  const { rate_Hz } = track.clock;
  const bend = Math.abs(fitted(fit, frame, 2));
  return {
    time_s: frame / rate_Hz,
    sd_s: sdOf(fit, frame, 1) / bend / rate_Hz,
    pause,
    filled: isFilled(track.state, frame) || Number.isNaN(angles[Math.round(frame)]),
  };
}

/** Is the rate of least squares over ± `span` frames below `slow` (rad per frame)? */
function slowAt(angles: Float64Array, f: number, span: number, slow: number): boolean {
  let sum = 0;
  let squares = 0;
  for (let k = 1; k <= span; k++) {
    const d = angles[f + k]! - angles[f - k]!;
    if (Number.isNaN(d)) return false;
    sum += k * d;
    squares += 2 * k * k;
  }
  return Math.abs(sum / squares) < slow;
}
