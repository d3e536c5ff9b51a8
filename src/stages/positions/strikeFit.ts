/** The path of the club head just before and just after the strike, and what its fits say about the moment of contact. */

import { MEASURED, type Track } from '../../model/track.ts';
import { fitPath, LEAST_SAMPLES, PATH_PRIORS, type PathFit } from '../../numeric/pathFit.ts';
import { whiteNoise } from '../shared/markerNoise.ts';

/** Stretch of samples that is fitted (definitions 5), seconds. */
export const PATH_WINDOW_s = 0.06;
/** After the strike the club is slowed and shaken: a shorter stretch. */
export const AFTER_WINDOW_s = 0.04;

/** Radius of a ball of the smallest allowed diameter, 42.67 mm (Rules of golf equipment: 1.680 in), metres. */
export const BALL_RADIUS_m = 0.04267 / 2;

/** Noise of a track per axis, metres: as stored, otherwise measured from its sixth differences; 0 where neither is possible. */
export function noiseOf(track: Track<3>): number {
  if (Number.isFinite(track.noise)) return track.noise;
  const { frames } = track.clock;
  const measured = whiteNoise(track.data, frames, new Float64Array(Math.ceil(frames / 16) + 1));
  return Number.isFinite(measured) ? measured : 0;
}

/**
 * Copies the measured samples of [from, to] and fits them; null where there are fewer than six. What was filled says nothing that the samples
 * around it do not, and seen as measured it would make the fit look surer than it is.
 */
function fitFrames(track: Track<3>, from: number, to: number, noise_m: number): PathFit | null {
  const { frames, rate_Hz } = track.clock;
  const first = Math.max(0, from);
  const last = Math.min(frames - 1, to);
  const most = last - first + 1;
  if (most < LEAST_SAMPLES) return null;
  const times = new Float64Array(most);
  let n = 0;
  for (let f = first; f <= last; f++) {
    if (track.state[f] !== MEASURED) continue;
    times[n] = f / rate_Hz;
    n += 1;
  }
  if (n < LEAST_SAMPLES) return null;
  const points = new Float64Array(3 * n);
  let i = 0;
  for (let f = first; f <= last; f++) {
    if (track.state[f] !== MEASURED) continue;
    for (let c = 0; c < 3; c++) points[c * n + i] = track.data[c * frames + f]!;
    i += 1;
  }
  return fitPath(times.subarray(0, n), points, n, noise_m, PATH_PRIORS);
}

/** Path over the last 60 ms up to and with frame `last`. */
export function fitBefore(track: Track<3>, last: number, noise_m: number): PathFit | null {
  const span = Math.max(LEAST_SAMPLES, Math.floor(PATH_WINDOW_s * track.clock.rate_Hz + 1e-9));
  return fitFrames(track, last - span, last, noise_m);
}

/** Path over 40 ms from frame `first` on. */
export function fitAfter(track: Track<3>, first: number, noise_m: number): PathFit | null {
  const span = Math.max(LEAST_SAMPLES, Math.floor(AFTER_WINDOW_s * track.clock.rate_Hz + 1e-9));
  return fitFrames(track, first, first + span, noise_m);
}

/** Both fits end where they meet, where shrinkage biases them most: widens the spread (measured on invented swings). */
const MEETING_FACTOR = 1.25;

/** A moment within the pair of frames. */
export interface StrikeTime {
  readonly time_s: number;
  readonly sd_s: number;
}

const p = new Float64Array(3);
const q = new Float64Array(3);
const v = new Float64Array(3);
const u = new Float64Array(3);

/**
 * When the point is `ahead_m` behind `place` along its own direction of motion: (place − p(t)) · û(t) = ahead. Newton from `start_s`, at most
 * `reach_s` away. sd from the fit's covariance and `placeSd_m` along û. Null where it does not come there.
 */
export function arrivalAt(
  fit: PathFit,
  place: ArrayLike<number>,
  ahead_m: number,
  placeSd_m: number,
  start_s: number,
  reach_s: number,
): StrikeTime | null {
  let t = start_s;
  for (let i = 0; i < 50; i++) {
    fit.positionAt(t, p);
    fit.velocityAt(t, v);
    const speed = Math.hypot(v[0]!, v[1]!, v[2]!);
    if (!(speed > 0)) return null;
    let along = 0;
    for (let c = 0; c < 3; c++) along += ((place[c]! - p[c]!) * v[c]!) / speed;
    const step = (along - ahead_m) / speed;
    t += step;
    if (!(Math.abs(t - start_s) <= reach_s)) return null;
    if (Math.abs(step) < 1e-9) {
      for (let c = 0; c < 3; c++) u[c] = v[c]! / speed;
      const sd = fit.positionSd(t, u);
      return { time_s: t, sd_s: Math.sqrt(sd * sd + placeSd_m * placeSd_m) / speed };
    }
  }
  return null;
}

/**
 * Where the paths before and after meet along the direction of motion before: (p_after − p_before) · û = 0, inside [low_s, high_s].
 * The force of contact lasts `contact_s`; the paths carried on meet in its middle, so half of it is taken off: first touch.
 * Null where the speeds differ by less than `leastStep` or they meet elsewhere.
 */
export function meetingOf(
  before: PathFit,
  after: PathFit,
  low_s: number,
  high_s: number,
  contact_s: number,
  leastStep: number,
): StrikeTime | null {
  let t = (low_s + high_s) / 2;
  for (let i = 0; i < 50; i++) {
    before.positionAt(t, p);
    after.positionAt(t, q);
    before.velocityAt(t, v);
    after.velocityAt(t, u);
    const speed = Math.hypot(v[0]!, v[1]!, v[2]!);
    let gap = 0;
    let change = 0;
    for (let c = 0; c < 3; c++) {
      gap += ((q[c]! - p[c]!) * v[c]!) / speed;
      change += ((u[c]! - v[c]!) * v[c]!) / speed;
    }
    if (!(Math.abs(change) > leastStep * speed)) return null;
    const step = -gap / change;
    t += step;
    if (!(t > low_s - (high_s - low_s) && t < high_s + (high_s - low_s))) return null;
    if (Math.abs(step) < 1e-9) {
      for (let c = 0; c < 3; c++) u[c] = v[c]! / speed;
      const sd = Math.hypot(before.positionSd(t, u), after.positionSd(t, u));
      return { time_s: t - contact_s / 2, sd_s: (MEETING_FACTOR * sd) / Math.abs(change) };
    }
  }
  return null;
}
