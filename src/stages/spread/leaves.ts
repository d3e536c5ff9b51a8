/** Measured points at the moments of a swing: how noisy, how far shifted by the filter, how fast. */

import { MISSING, type Track } from '../../model/track.ts';
import { type FilterResponse, meanNoise, shiftsOfThree } from '../../numeric/filterResponse.ts';
import type { Workspace } from '../../numeric/workspace.ts';

/** A moment as frames: its nearest one, the two between which things move, and how many are averaged (1: an instant). */
export interface SpreadMoment {
  readonly frame: number;
  readonly before: number;
  readonly after: number;
  readonly averaged: number;
}

/** Of the measured points at one moment, each worked out when it is first asked for; vectors three numbers a point, metres and seconds. */
export interface LeafValues {
  /** 1 where a point's values stand below. */
  readonly isKnown: Uint8Array;
  /** Variance per axis of the noise, and of the noise in the estimate of the shift. */
  readonly noise2: Float64Array;
  readonly shiftNoise2: Float64Array;
  /** Covariance of those two. */
  readonly shiftCovariance: Float64Array;
  /** The filter's shift as estimated, m, at the moment and around it (`SHIFT_INSTANTS`): one vector an instant, the moment's first, point after point. */
  readonly shift: Float64Array;
  readonly velocity: Float64Array;
}

/** A measured point; `whole` where no sample of it is missing. */
export interface Leaf {
  readonly track: Track<3>;
  readonly whole: Run | null;
}

export function leafOf(track: Track<3>): Leaf {
  return { track, whole: track.state.indexOf(MISSING) < 0 ? [0, track.state.length] : null };
}

/**
 * Where shifts are looked at to tell how large they are around a moment, in quarters of a period of the cutoff: noise in the estimate is a
 * wave of about that period, so that half a period on either side hold several readings of it and still belong to the same motion.
 */
export const SHIFT_INSTANTS = [0, -2, -1, 1, 2] as const;
/** Of the reach of a response, which is five quarters of a period. */
const QUARTER = 1 / 5;

/** What of a measured point is read: where it is, or how fast. */
export type Order = 'place' | 'rate';

/** Numbers of shift that a point has. */
export const SHIFT_SIZE = 3 * SHIFT_INSTANTS.length;

/** Room for the values of `n` points at a moment, none of them known yet. */
export function leafValues(n: number, ws: Workspace): LeafValues {
  return {
    isKnown: ws.uint8(n).fill(0),
    noise2: ws.float64(n),
    shiftNoise2: ws.float64(n),
    shiftCovariance: ws.float64(n),
    shift: ws.float64(SHIFT_SIZE * n),
    velocity: ws.float64(3 * n),
  };
}

/** Writes the values of point number `i` at a moment; of its rate of change: variances and shifts of that, a second, and no velocity. */
export function fillLeaf(
  values: LeafValues,
  i: number,
  { track, whole }: Leaf,
  moment: SpreadMoment,
  rate_Hz: number,
  order: Order,
): void {
  const { response, data, clock, noise } = track;
  const { frame, before, after, averaged } = moment;
  const isRate = order === 'rate';
  values.isKnown[i] = 1;
  const run = response === undefined ? null : (whole ?? runAround(track.state, frame));
  const sd = isRate ? rateNoiseAt(track, moment, run) * rate_Hz : noiseAt(track, moment, run);
  values.noise2[i] = sd * sd;
  for (let c = 0; c < 3; c++) {
    const o = c * clock.frames;
    const moved = isRate ? 0 : data[o + after]! - data[o + before]!;
    values.velocity[3 * i + c] = (moved * rate_Hz) / Math.max(1, after - before);
  }
  if (response === undefined || averaged > 1 || run === null) {
    values.shiftNoise2[i] = 0;
    values.shiftCovariance[i] = 0;
    values.shift.fill(0, SHIFT_SIZE * i, SHIFT_SIZE * (i + 1));
    return;
  }
  const unit = isRate ? noise * rate_Hz : noise;
  const estimate = unit * (isRate ? response.shiftRateNoise : response.shiftNoise);
  values.shiftNoise2[i] = estimate * estimate;
  values.shiftCovariance[i] = unit * unit * (isRate ? response.shiftRateCovariance : response.shiftCovariance);
  writeShifts(track, response, run, frame, isRate, values.shift, SHIFT_SIZE * i);
}

/** Writes the shifts of a point at each instant, a second where they are those of its rate. */
function writeShifts(
  { data, clock: { frames, rate_Hz } }: Track<3>,
  response: FilterResponse,
  [from, to]: Run,
  frame: number,
  isRate: boolean,
  out: Float64Array,
  at: number,
): void {
  const quarter = QUARTER * (response.impulse.length - 1);
  for (let k = 0; k < SHIFT_INSTANTS.length; k++) {
    const sample = Math.max(from, Math.min(to - 1, frame + Math.round(SHIFT_INSTANTS[k]! * quarter)));
    shiftsOfThree(response, isRate, data, frames, from, to, sample, out, at + 3 * k);
  }
  if (isRate) for (let k = at; k < at + SHIFT_SIZE; k++) out[k] = out[k]! * rate_Hz;
}

/** Standard deviation of the central difference of unfiltered white noise over that of the noise, a sample. */
const WHITE_RATE = Math.SQRT1_2;

export type Run = readonly [from: number, to: number];

/** Standard deviation per axis: wider beside filled samples and near the ends of a run, less where several frames are averaged. */
function noiseAt({ noise, widening, response }: Track<3>, moment: SpreadMoment, run: Run | null): number {
  const { frame, averaged } = moment;
  if (widening !== undefined) {
    const most = largest(widening, moment);
    // What is filled errs alike in neighbouring frames: no mean lessens it.
    if (most > 1) return noise * most;
  }
  const mean = averaged > 1 ? meanNoise(response ?? null, averaged) : 1;
  if (response === undefined || run === null) return noise * mean;
  const toEnd = Math.min(frame - run[0], run[1] - 1 - frame, response.end.length - 1);
  return noise * mean * response.end[toEnd]!;
}

/** The same of the rate of change, a sample. The mean of rates is the difference of the ends over the time between. */
function rateNoiseAt(track: Track<3>, moment: SpreadMoment, run: Run | null): number {
  const { averaged } = moment;
  const noise = noiseAt(track, { ...moment, averaged: 1 }, run);
  if (averaged > 1) return (noise * Math.SQRT2) / averaged;
  return noise * (track.response?.rateNoise ?? WHITE_RATE);
}

/** Of the frames that a value at a moment rests on. */
function largest(widening: Float64Array, { before, after, averaged }: SpreadMoment): number {
  const margin = averaged > 1 ? 0 : 1;
  const last = Math.min(widening.length - 1, after + margin);
  let most = 1;
  for (let f = Math.max(0, before - margin); f <= last; f++) most = Math.max(most, widening[f]!);
  return most;
}

/** The run of available samples around a frame, half open; null where the frame itself is missing. */
function runAround(state: Uint8Array, frame: number): Run | null {
  if (state[frame] === MISSING) return null;
  const next = state.indexOf(MISSING, frame);
  return [state.lastIndexOf(MISSING, frame) + 1, next < 0 ? state.length : next];
}
