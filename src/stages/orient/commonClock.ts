/** Orientations and angular velocities at the frames of one clock. */

import type { Clock } from '../../model/clock.ts';
import { FILLED_CUBIC, MEASURED, MISSING, type Track } from '../../model/track.ts';
import { expRotation, logRotation, mul3, mulT3 } from '../../numeric/rotation.ts';
import { rateWithin, strapDownWithin } from '../../numeric/strapdown.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { LONGEST_STEP_s } from './gaps.ts';
import type { OwnOrientation } from './oneSensor.ts';

/** Frames that fall this near to a sample are that sample. */
const SAME_s = 1e-7;
/** A step of more samples than this is filled, not measured. */
const USUAL_STEPS = 1.5;

export interface Resampled {
  readonly R: Track<9>;
  readonly w_radPerS: Float64Array;
}

const relative = new Float64Array(9);
const turn = new Float64Array(3);
const rate = new Float64Array(3);

/**
 * Strapped-down orientations go on along their own path between two samples (the cubic of the rates, as they were integrated); others by the
 * shortest turn (spherical linear interpolation). Angular velocity by the cubic through both samples with their slopes.
 */
export function onCommonClock(
  own: OwnOrientation,
  clock: Clock,
  start_s: number,
  rate_Hz: number,
  provenance: string,
  ws: Workspace,
): Resampled {
  const { samples, R, gaps } = own;
  const { count, times_s, w } = samples;
  const { frames } = clock;
  const data = ws.float64(9 * frames);
  const w_radPerS = ws.float64(3 * frames);
  const state = ws.uint8(frames);
  data.fill(Number.NaN);
  w_radPerS.fill(Number.NaN);
  state.fill(MISSING);
  let k = gaps.from + 1;
  for (let f = 0; f < frames; f++) {
    const t = start_s + f / clock.rate_Hz;
    if (gaps.to - gaps.from < 2 || t < times_s[gaps.from]! - SAME_s || t > times_s[gaps.to - 1]! + SAME_s) continue;
    while (k < gaps.to - 1 && times_s[k]! < t) k += 1;
    const step = times_s[k]! - times_s[k - 1]!;
    let s = (t - times_s[k - 1]!) / step;
    if (t - times_s[k - 1]! < SAME_s) s = 0;
    if (times_s[k]! - t < SAME_s) s = 1;
    if (own.method === 'file' && step > LONGEST_STEP_s && s > 0 && s < 1) continue;
    state[f] = s > 0 && s < 1 && step > USUAL_STEPS / rate_Hz ? FILLED_CUBIC : MEASURED;
    if (s === 0 || s === 1) {
      const at = s === 0 ? k - 1 : k;
      for (let i = 0; i < 9; i++) data[9 * f + i] = R[9 * at + i]!;
      for (let c = 0; c < 3; c++) w_radPerS[c * frames + f] = w[c * count + at]!;
      continue;
    }
    if (own.alongRates) strapDownWithin(times_s, w, count, R, k, s, data, 9 * f);
    else between(R, k, s, data, 9 * f);
    rateWithin(times_s, w, count, k, s, rate);
    for (let c = 0; c < 3; c++) w_radPerS[c * frames + f] = rate[c]!;
  }
  return {
    R: { dimension: 9, clock, data, state, noise: own.sd_rad, provenance },
    w_radPerS,
  };
}

/** Shortest turn from sample k − 1 to k, the share `s` of it. */
function between(R: Float64Array, k: number, s: number, out: Float64Array, o: number): void {
  mulT3(R, 9 * (k - 1), R, 9 * k, relative, 0);
  logRotation(relative, 0, turn);
  for (let c = 0; c < 3; c++) turn[c] = s * turn[c]!;
  expRotation(turn, relative, 0);
  mul3(R, 9 * (k - 1), relative, 0, out, o);
}
