/** How fast the shaft turns before impact: its direction as two angles of time, each a polynomial of samples before the strike alone. */

import type { Track } from '../../model/track.ts';
import {
  derivative,
  derivativeSd,
  fitAngle,
  LEAST_TERMS,
  newAnglePolynomial,
  rateDoubt,
  SPARE,
} from './anglePolynomial.ts';

/** Stretches of samples that are fitted, seconds, and their share after the fastest sample where impact leaves room. */
const WINDOW_s = 0.1;
const AFTER_s = 0.04;
/** The peak is looked for from this long before the fastest sample: rates at the beginning of a fit are noisy. */
const NEAR_s = 0.03;
/** The next shorter stretch. */
const SHORTER = 0.85;
/** A residual that noise does not explain counts for more than its size: what is left over is not white. A choice. */
const MISFIT = 2;
const LEAST_LENGTH = LEAST_TERMS + SPARE + 1;
/** Clean directions are fitted this closely, rad. */
const FLOOR_rad = 1e-7;

const times = { x: new Float64Array(64), swing: new Float64Array(64), rise: new Float64Array(64) };
const swing = newAnglePolynomial();
const rise = newAnglePolynomial();

/** Fastest turning of the shaft. Frames and rad/s. */
export interface ShaftPeak {
  readonly at: number;
  readonly speed_radPerS: number;
  readonly atSd: number;
  readonly speedSd_radPerS: number;
  readonly rising: boolean;
  /** Slope where it still rises, rad/s by frames; otherwise 0. */
  readonly rise: number;
}

export interface ShaftPeaks {
  /** Of the direction, whichever way. */
  readonly size: ShaftPeak | null;
  /** About `normal`. */
  readonly plane: ShaftPeak | null;
}

/**
 * Fastest turning of the shaft near the frame `top` in [low, high], from the samples up to and with frame `last`: swing about `normal` (unit)
 * and rise out of its plane, each a polynomial over the longest stretch if its residual agrees with the noise `sd_rad` there; otherwise over the one
 * whose rate is least in doubt. Speed² = rise'² + cos²(rise) swing'²; about the normal cos²(rise) swing'. Null where there are too few samples.
 */
export function shaftPeaks(
  shaft: Track<3>,
  normal: ArrayLike<number>,
  top: number,
  low: number,
  high: number,
  last: number,
  sd_rad: number,
): ShaftPeaks {
  const { rate_Hz } = shaft.clock;
  const sd = Math.max(FLOOR_rad, Number.isFinite(sd_rad) ? sd_rad : 0);
  const to = Math.min(last, Math.round(top + AFTER_s * rate_Hz));
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  let length = Math.max(LEAST_LENGTH, Math.round(WINDOW_s * rate_Hz));
  const longest = length;
  for (; length >= LEAST_LENGTH; length = Math.floor(SHORTER * length)) {
    if (!fitBoth(shaft, normal, to - length, to, sd)) continue;
    const agree = swing.agrees && rise.agrees;
    const doubt = ((agree ? 1 : MISFIT) * Math.hypot(rateDoubt(swing, sd), rateDoubt(rise, sd))) / length;
    if (!(doubt < least)) continue;
    best = length;
    least = doubt;
    if (agree && length === longest) break;
  }
  if (best === 0) return { size: null, plane: null };
  if (length !== best) {
    length = best;
    fitBoth(shaft, normal, to - length, to, sd);
  }
  const from = Math.max(0, to - length);
  const half = (to - from) / 2;
  const middle = (to + from) / 2;
  const begin = Math.max(low, from, top - NEAR_s * rate_Hz);
  // Carried on only where the strike ends the samples.
  const until = to < last ? to : high;
  // What no polynomial follows is noise too.
  const noise = Number.isFinite(sd_rad) ? sd * Math.sqrt(Math.max(1, swing.ratio, rise.ratio)) : Number.NaN;
  return {
    size: peakOf(sizeAt, begin, until, middle, half, rate_Hz, noise),
    plane: peakOf(planeAt, begin, until, middle, half, rate_Hz, noise),
  };
}

/** Both angles of the samples of [from, to]; false with too few. */
function fitBoth(shaft: Track<3>, normal: ArrayLike<number>, from: number, to: number, sd: number): boolean {
  const n = gather(shaft, normal, Math.max(0, from), to);
  if (n < LEAST_TERMS + SPARE) return false;
  fitAngle(swing, times.x, times.swing, n, sd);
  fitAngle(rise, times.x, times.rise, n, sd);
  return Number.isFinite(swing.ratio + rise.ratio);
}

/** Times in half windows from the middle and both angles of the samples there are; returns how many. */
function gather(shaft: Track<3>, normal: ArrayLike<number>, from: number, to: number): number {
  const most = to - from + 1;
  if (times.x.length < most) {
    times.x = new Float64Array(2 * most);
    times.swing = new Float64Array(2 * most);
    times.rise = new Float64Array(2 * most);
  }
  const { data } = shaft;
  const { frames } = shaft.clock;
  const half = (to - from) / 2;
  const [nx, ny, nz] = [normal[0]!, normal[1]!, normal[2]!];
  let ax = 0;
  let ay = 0;
  let az = 0;
  let n = 0;
  let before = 0;
  for (let f = from; f <= to; f++) {
    const x = data[f]!;
    const y = data[frames + f]!;
    const z = data[2 * frames + f]!;
    if (Number.isNaN(x + y + z)) continue;
    const out = x * nx + y * ny + z * nz;
    if (n === 0) {
      const length = Math.sqrt(1 - out * out);
      ax = (x - out * nx) / length;
      ay = (y - out * ny) / length;
      az = (z - out * nz) / length;
    }
    const bx = ny * az - nz * ay;
    const by = nz * ax - nx * az;
    const bz = nx * ay - ny * ax;
    let angle = Math.atan2(x * bx + y * by + z * bz, x * ax + y * ay + z * az);
    angle -= 2 * Math.PI * Math.round((angle - before) / (2 * Math.PI));
    before = angle;
    times.x[n] = (f - (to + from) / 2) / half;
    times.swing[n] = angle;
    times.rise[n] = Math.asin(Math.max(-1, Math.min(1, out)));
    n += 1;
  }
  return n;
}

/** A speed by x and its standard deviation per unit of noise, into `speed`. */
type SpeedAt = (x: number) => void;
const speed = { value: 0, sd: 0 };

const sizeAt: SpeedAt = (x) => {
  const c = Math.cos(derivative(rise, x, 0));
  const s = derivative(swing, x, 1);
  const r = derivative(rise, x, 1);
  speed.value = Math.sqrt(r * r + c * c * s * s);
  // cos(rise) · swing is an angle of the noise of the direction.
  speed.sd = Math.hypot(c * s * derivativeSd(swing, x, 1), r * derivativeSd(rise, x, 1)) / speed.value;
};

const planeAt: SpeedAt = (x) => {
  const c = Math.cos(derivative(rise, x, 0));
  speed.value = c * c * derivative(swing, x, 1);
  speed.sd = c * derivativeSd(swing, x, 1);
};

function valueAt(at: SpeedAt, x: number): number {
  at(x);
  return speed.value;
}

/** Small against the window, large against rounding. */
const STEP = 1e-4;

function peakOf(
  at: SpeedAt,
  low: number,
  high: number,
  middle: number,
  half: number,
  rate_Hz: number,
  sd_rad: number,
): ShaftPeak | null {
  const xOf = (frame: number): number => (frame - middle) / half;
  const slope = (x: number): number => (valueAt(at, x + STEP) - valueAt(at, x - STEP)) / (2 * STEP);
  const from = xOf(low);
  const to = xOf(high);
  const steps = Math.max(4, Math.ceil(high - low));
  const step = (to - from) / steps;
  let best = from;
  let most = valueAt(at, from);
  for (let i = 1; i <= steps; i++) {
    const value = valueAt(at, from + step * i);
    if (value > most) {
      most = value;
      best = from + step * i;
    }
  }
  let left = Math.max(from, best - step);
  let right = Math.min(to, best + step);
  if (slope(left) <= 0) return null;
  const rising = slope(right) > 0;
  for (let i = 0; i < 50 && !rising && right - left > 1e-9; i++) {
    const centre = (left + right) / 2;
    if (slope(centre) > 0) left = centre;
    else right = centre;
  }
  const x = rising ? to : (left + right) / 2;
  at(x);
  const { value, sd } = speed;
  const bend = (slope(x + 10 * STEP) - slope(x - 10 * STEP)) / (20 * STEP);
  const perFrame = rate_Hz / half;
  return {
    at: middle + half * x,
    speed_radPerS: value * perFrame,
    atSd: rising ? 0 : (half * sd_rad * derivativeSd(swing, x, 2)) / Math.abs(bend),
    speedSd_radPerS: sd * sd_rad * perFrame,
    rising,
    rise: rising ? (slope(x) * perFrame) / half : 0,
  };
}
