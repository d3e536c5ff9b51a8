/** Measured points at the moments of a swing: how noisy, how far shifted by the filter, how fast. */

import { MISSING, type Track } from '../../model/track.ts';
import { meanNoise, shiftAt, shiftRateAt } from '../../numeric/filterResponse.ts';
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
  /** The filter's shift as estimated, m. */
  readonly shift: Float64Array;
  readonly velocity: Float64Array;
}

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
    shift: ws.float64(3 * n).fill(0),
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
    const estimate = track.noise * (order === 'place' ? response.shiftNoise : response.shiftRateNoise * rate_Hz);
    values.shiftNoise2[i] = estimate * estimate;
    for (let c = 0; c < 3; c++) {
      const column = { data, offset: c * frames, from: run[0], to: run[1] };
      values.shift[3 * i + c] =
        order === 'place' ? shiftAt(response, column, frame) : shiftRateAt(response, column, frame) * rate_Hz;
    }
  }
  return values;
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
