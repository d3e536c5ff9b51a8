/** How noise that was filtered hangs together from frame to frame. */

import { filterGain, zeroLag } from '../../numeric/butterworth.ts';
import { splineGain, splineLambda } from '../../numeric/smoothingSpline.ts';

const STEPS = 256;

/**
 * Correlation of white noise after the zero-lag filter at 0 … lags − 1 frames: the cosine transform of its power, the fourth power of one
 * pass's gain over that of two; with `isSpline` after the quintic spline of that cutoff. Null for a cutoff that filters nothing.
 */
export function filteredCorrelation(
  cutoff_Hz: number | null,
  rate_Hz: number,
  lags: number,
  isSpline = false,
): Float64Array | null {
  if (cutoff_Hz === null || !(cutoff_Hz > 0 && cutoff_Hz < rate_Hz / 2)) return null;
  const key = `${cutoff_Hz} ${rate_Hz} ${lags} ${isSpline}`;
  let correlation = KEPT.get(key);
  if (correlation === undefined) {
    correlation = correlationOf(cutoff_Hz, rate_Hz, lags, isSpline);
    if (KEPT.size >= MOST_KEPT) KEPT.clear();
    KEPT.set(key, correlation);
  }
  return correlation;
}

/** It depends on nothing but these: kept from trial to trial, a few of them. */
const KEPT = new Map<string, Float64Array>();
const MOST_KEPT = 64;

function correlationOf(cutoff_Hz: number, rate_Hz: number, lags: number, isSpline: boolean): Float64Array {
  const powerAt = powerGain(cutoff_Hz, rate_Hz, isSpline);
  const out = new Float64Array(lags);
  let total = 0;
  for (let i = 0; i < STEPS; i++) {
    const share = (i + 0.5) / STEPS;
    const power = powerAt((share * rate_Hz) / 2);
    total += power;
    // cos((k + 1) a) = 2 cos a cos(k a) − cos((k − 1) a)
    const c = Math.cos(Math.PI * share);
    let before = c;
    let now = 1;
    for (let k = 0; k < lags; k++) {
      out[k] = out[k]! + power * now;
      const next = 2 * c * now - before;
      before = now;
      now = next;
    }
  }
  for (let k = 0; k < lags; k++) out[k] = out[k]! / total;
  return out;
}

function powerGain(cutoff_Hz: number, rate_Hz: number, isSpline: boolean): (f_Hz: number) => number {
  if (isSpline) {
    const lambda = splineLambda(cutoff_Hz, rate_Hz);
    return (f_Hz) => {
      const gain = splineGain(lambda, f_Hz, rate_Hz);
      return gain * gain;
    };
  }
  const design = zeroLag(cutoff_Hz, rate_Hz);
  return (f_Hz) => {
    const gain = filterGain(design, f_Hz, rate_Hz);
    return gain * gain * gain * gain;
  };
}
