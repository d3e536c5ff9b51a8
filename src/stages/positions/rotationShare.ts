/** Fractions between two positions: where the shaft's rotation has gone a share of its way. */

import type { Track } from '../../model/track.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { isFilled, widestWindow } from './elevation.ts';
import { FOR_VALUES, fitAround, fitted, type LocalFit, rootNear, sdOf } from './localFit.ts';
import type { FoundMoment } from './momentMaker.ts';
import { anglesAbout, planeOfDirections } from './rotationInPlane.ts';

/** Frames beyond the two positions whose angles serve the local fits at the ends. */
const MARGIN_frames = 8;

export interface Share {
  readonly time_s: number;
  readonly sd_s: number;
  readonly filled: boolean;
}

/**
 * When the shaft's rotation about the normal of the plane of its directions between two moments has gone `share` (0 to 1) of the way from the
 * first to the second. Both lie in [low, high), which crosses neither the top nor impact. sd: noise at the place and at both ends, and
 * the times of the ends. Null where samples are missing.
 */
export function shareBetween(
  shaft: Track<3>,
  from: FoundMoment,
  to: FoundMoment,
  share: number,
  low: number,
  high: number,
  ws: Workspace,
  fit: LocalFit,
): Share | null {
  const { rate_Hz, frames } = shaft.clock;
  const a = from.time_s * rate_Hz;
  const b = to.time_s * rate_Hz;
  const first = Math.min(a, b);
  const last = Math.max(a, b);
  const normal = new Float64Array(3);
  if (!planeOfDirections(shaft, Math.ceil(first), Math.floor(last), normal)) return null;
  const start = Math.max(low, Math.floor(first) - MARGIN_frames);
  const end = Math.min(high, Math.ceil(last) + MARGIN_frames + 1);
  const angles = ws.float64(frames);
  angles.fill(Number.NaN);
  anglesAbout(shaft, normal, start, end - 1, angles);
  const middle = Math.round((first + last) / 2);
  const widest = widestWindow(Math.abs(angles[middle + 1]! - angles[middle - 1]!) * rate_Hz * 0.5);
  const around = (frame: number): boolean =>
    fitAround(angles, frame, start, end, rate_Hz, shaft.noise, widest, FOR_VALUES, fit);
  if (!around(a)) return null;
  const angleA = fitted(fit, a, 0);
  const turnA = Math.abs(fitted(fit, a, 1)) * rate_Hz * from.sd_s;
  if (!around(b)) return null;
  const angleB = fitted(fit, b, 0);
  const turnB = Math.abs(fitted(fit, b, 1)) * rate_Hz * to.sd_s;
  const level = angleA + share * (angleB - angleA);
  let guess = -1;
  for (let f = Math.floor(first); f < Math.ceil(last); f++) {
    const x = angles[f]! - level;
    const y = angles[f + 1]! - level;
    if (x >= 0 !== y >= 0 && !Number.isNaN(x + y)) {
      guess = f + x / (x - y);
      break;
    }
  }
  if (guess < 0 || !around(guess)) return null;
  const root = rootNear(fit, guess, 2, 0, level);
  if (Number.isNaN(root)) return null;
  const rate = Math.abs(fitted(fit, root, 1)) * rate_Hz;
  const sd = Math.hypot(sdOf(fit, root, 0), (1 - share) * turnA, share * turnB);
  return { time_s: root / rate_Hz, sd_s: sd / rate, filled: isFilled(shaft.state, root) };
}
