/** Measured points at the moments of a swing: how noisy, how far shifted by the filter, how fast. */

import { MISSING, type Track } from '../../model/track.ts';
import { type FilterResponse, meanNoise, shiftAt, shiftRateAt } from '../../numeric/filterResponse.ts';
import type { Workspace } from '../../numeric/workspace.ts';

/** A moment as frames: its nearest one, the two between which things move, and how many are averaged (1: an instant). */
export interface SpreadMoment {
  readonly frame: number;
  readonly before: number;
  readonly after: number;
  readonly averaged: number;
}

/** Of each measured point at one moment; vectors three numbers a point, metres and seconds. */
export interface LeafValues {
  /** Variance per axis of the noise, and of the noise in the estimate of the shift. */
  readonly noise2: Float64Array;
  readonly shiftNoise2: Float64Array;
  /** Covariance of those two. */
  readonly shiftCovariance: Float64Array;
  /** The filter's shift as estimated, m, at the moment and around it (`SHIFT_INSTANTS`): one block of all points an instant, the moment's first. */
  readonly shift: Float64Array;
  readonly velocity: Float64Array;
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

/** Values of points at a moment; of their rates of change: variances and shifts of those, a second, and no velocity. */
export function leafValues(
  tracks: readonly Track<3>[],
  moment: SpreadMoment,
  rate_Hz: number,
  order: Order,
  ws: Workspace,
): LeafValues {
  const n = tracks.length;
  const values: LeafValues = {
    noise2: ws.float64(n),
    shiftNoise2: ws.float64(n).fill(0),
    shiftCovariance: ws.float64(n).fill(0),
    shift: ws.float64(3 * n * SHIFT_INSTANTS.length).fill(0),
    velocity: ws.float64(3 * n).fill(0),
  };
  const { frame, before, after, averaged } = moment;
  for (let i = 0; i < n; i++) {
    const track = tracks[i]!;
    const { response, data, clock } = track;
    const { frames } = clock;
    const run = response === undefined ? null : runAround(track.state, frame);
    const sd = order === 'place' ? noiseAt(track, moment, run) : rateNoiseAt(track, moment, run) * rate_Hz;
    values.noise2[i] = sd * sd;
    for (let c = 0; c < 3 && order === 'place'; c++) {
      const moved = data[c * frames + after]! - data[c * frames + before]!;
      values.velocity[3 * i + c] = (moved * rate_Hz) / Math.max(1, after - before);
    }
    if (response === undefined || averaged > 1 || run === null) continue;
    const unit = order === 'place' ? track.noise : track.noise * rate_Hz;
    const estimate = unit * (order === 'place' ? response.shiftNoise : response.shiftRateNoise);
    values.shiftNoise2[i] = estimate * estimate;
    values.shiftCovariance[i] =
      unit * unit * (order === 'place' ? response.shiftCovariance : response.shiftRateCovariance);
    shiftsOf(track, response, run, frame, order, i, values.shift);
  }
  return values;
}

/** Writes the shifts of point number `i` at each instant. */
function shiftsOf(
  { data, clock: { frames, rate_Hz } }: Track<3>,
  response: FilterResponse,
  [from, to]: Run,
  frame: number,
  order: Order,
  i: number,
  out: Float64Array,
): void {
  const block = out.length / SHIFT_INSTANTS.length;
  const quarter = QUARTER * (response.impulse.length - 1);
  for (let c = 0; c < 3; c++) {
    const column = { data, offset: c * frames, from, to };
    for (let k = 0; k < SHIFT_INSTANTS.length; k++) {
      const at = Math.max(from, Math.min(to - 1, frame + Math.round(SHIFT_INSTANTS[k]! * quarter)));
      out[k * block + 3 * i + c] =
        order === 'place' ? shiftAt(response, column, at) : shiftRateAt(response, column, at) * rate_Hz;
    }
  }
}

/** Standard deviation of the central difference of unfiltered white noise over that of the noise, a sample. */
const WHITE_RATE = Math.SQRT1_2;

type Run = readonly [from: number, to: number];

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
