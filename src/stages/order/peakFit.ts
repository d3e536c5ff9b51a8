/** The highest place of a noisy series: a polynomial by least squares around it, and what the noise does to place and height. */

import { fitAround, fitSd, polynomial, type SeriesNoise, sampleSd, TERMS } from './quarticFit.ts';

/** Five samples, where there is no noise to be smoothed. */
const LEAST_HALF = 2;

export interface FittedPeak {
  /** In frames of the series. */
  readonly at: number;
  readonly value: number;
  /** NaN where the noise is not known. */
  readonly atSd: number;
  readonly valueSd: number;
  /** The series still rises at the end of the stretch that is searched. */
  readonly rising: boolean;
  /** Slope by frames where it does; otherwise 0. */
  readonly rise: number;
  /** Frames to another peak that the noise cannot tell from the highest; 0 where there is none. */
  readonly rival: number;
}

/** Where the fitted curve is highest in [from, to]; `end` where it still rises there; NaN where it only falls or rises on beyond `to` short of `end`. */
function highest(top: number, half: number, from: number, to: number, end: number): number {
  const value = (t: number): number => polynomial((t - top) / half, 0);
  const slope = (t: number): number => polynomial((t - top) / half, 1);
  const steps = Math.max(4, Math.ceil(2 * (to - from)));
  const step = (to - from) / steps;
  let best = from;
  for (let i = 1; i <= steps; i++) if (value(from + step * i) > value(best)) best = from + step * i;
  let left = Math.max(from, best - step);
  let right = Math.min(to, best + step);
  if (slope(left) <= 0) return Number.NaN;
  if (slope(right) > 0) return right >= end ? end : Number.NaN;
  for (let i = 0; i < 50 && right - left > 1e-10; i++) {
    const middle = (left + right) / 2;
    if (slope(middle) > 0) left = middle;
    else right = middle;
  }
  return (left + right) / 2;
}

/**
 * Mean square residual over the variance of a sample's noise up to which a fit agrees with it: of independent noise two standard deviations above what
 * is expected; a quartic follows filtered noise in part.
 */
function bound(noise: SeriesNoise, count: number): number {
  const isFiltered = noise.kind === 'angles' && noise.correlation !== null;
  return isFiltered ? 1 : 1 + 2 * Math.sqrt(2 / Math.max(1, count - TERMS));
}

/** A residual that noise does not explain counts for more than its size: what is left over is not noise. A choice. */
const MISFIT = 2;
const MOST_MOVES = 3;

/** The stretch [a, b] of the last fit that found a peak, and what it leaves over. */
const stretch = { a: 0, b: 0, centre: 0, meanSquare: 0 };

/** Place of the highest value of the quartic through `half` frames to each side, moved after the place it finds; NaN where there is none. */
function placeNear(series: Float64Array, top: number, low: number, high: number, half: number): number {
  let centre = top;
  let found = Number.NaN;
  for (let moves = 0; moves <= MOST_MOVES; moves++) {
    const a = Math.max(0, centre - half);
    const b = Math.min(series.length - 1, centre + half);
    const meanSquare = fitAround(series, a, b, centre, half);
    if (Number.isNaN(meanSquare)) return Number.NaN;
    found = highest(centre, half, Math.max(low, centre - 0.7 * half), Math.min(high, centre + 0.7 * half), high);
    Object.assign(stretch, { a, b, centre, meanSquare });
    const nearest = Math.round(found);
    if (Number.isNaN(found) || nearest === centre) return found;
    if (moves < MOST_MOVES) centre = nearest;
  }
  return found;
}

/**
 * The highest place of `series` in [low, high] (frames of the series, fractions allowed), near the sample `top`. A quartic through the widest
 * stretch, `widest` frames to each side, if its residual agrees with the noise; otherwise through the one, never fewer than five frames, whose value
 * is least in doubt. Null where there are fewer than five samples, or the series is highest at `low`: no peak.
 */
export function peakAround(
  series: Float64Array,
  top: number,
  low: number,
  high: number,
  widest: number,
  noise: SeriesNoise,
  rate_Hz: number,
): FittedPeak | null {
  const level = sampleSd(noise, rate_Hz);
  const first = level > 0 ? Math.max(LEAST_HALF, widest) : LEAST_HALF;
  let best: Omit<FittedPeak, 'rival'> | null = null;
  let bestCentre = top;
  let least = Number.POSITIVE_INFINITY;
  for (let half = first; ; half = Math.max(LEAST_HALF, Math.floor(0.8 * half))) {
    const at = placeNear(series, top, low, high, half);
    if (!Number.isNaN(at)) {
      const { a, b, centre, meanSquare } = stretch;
      const ratio = level > 0 ? meanSquare / (level * level) : 0;
      const agrees = ratio <= bound(noise, b - a + 1);
      const left = Math.sqrt(Math.max(1, ratio));
      const peak = peakOf(series, a, b, centre, half, at, at >= high, noise, rate_Hz);
      const doubt = (agrees ? 1 : MISFIT) * left * peak.valueSd;
      if (best === null || doubt < least) {
        best = { ...peak, atSd: left * peak.atSd, valueSd: left * peak.valueSd };
        bestCentre = centre;
        least = doubt;
      }
      if (agrees && half === first) break;
    }
    if (half === LEAST_HALF) break;
  }
  return best === null ? null : { ...best, rival: rivalOf(series, best, low, high, bestCentre, level) };
}

/**
 * Frames from the peak to the farthest other maximum of the series in [low, high] that lies no more than two standard deviations of the
 * difference below it, with a valley between them that is deeper than the noise.
 */
function rivalOf(
  series: Float64Array,
  { at, value, valueSd }: Omit<FittedPeak, 'rival'>,
  low: number,
  high: number,
  centre: number,
  level: number,
): number {
  const least = value - 2 * Math.SQRT2 * valueSd;
  let far = 0;
  for (const way of [1, -1]) {
    let valley = value;
    for (let i = centre + way; i >= Math.max(1, low) && i <= Math.min(series.length - 2, high); i += way) {
      const y = series[i]!;
      if (y < valley) valley = y;
      const isTop = y >= series[i - 1]! && y >= series[i + 1]!;
      if (isTop && y >= least && y - valley > level) far = Math.max(far, Math.abs(i - at));
    }
  }
  return far;
}

function peakOf(
  series: Float64Array,
  a: number,
  b: number,
  top: number,
  half: number,
  at: number,
  rising: boolean,
  noise: SeriesNoise,
  rate_Hz: number,
): Omit<FittedPeak, 'rival'> {
  const x = (at - top) / half;
  const bend = polynomial(x, 2) / (half * half);
  return {
    at,
    value: polynomial(x, 0),
    atSd: rising ? 0 : fitSd(series, a, b, top, half, at, 1, noise, rate_Hz) / Math.abs(bend),
    valueSd: fitSd(series, a, b, top, half, at, 0, noise, rate_Hz),
    rising,
    rise: rising ? polynomial(x, 1) / half : 0,
  };
}
