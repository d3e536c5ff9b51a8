/** The ± of readings: the noise of the markers, the shift of fast motion by the filter, the time of the position. */

import type { Motion } from '../../model/motion.ts';
import type { PositionId } from '../../model/positions.ts';
import type { Reading } from '../../model/quantity.ts';
import { shiftedHalfWidth } from '../../numeric/shiftedInterval.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import type { MotionView } from '../shared/motionView.ts';
import type { PositionSample } from '../shared/sampling.ts';
import { createGradients } from './gradients.ts';
import type { Order, SpreadMoment } from './leaves.ts';
import { type Carried, type MomentState, Network } from './network.ts';

export interface SpreadInput {
  readonly motion: Motion;
  /** The motion at the samples, before any zero at P1. */
  readonly view: MotionView;
  readonly p1: PositionSample | null;
}

/** A reading at a position, in the view that it is read from. */
export interface SpreadOf {
  readonly reading: Reading;
  readonly view: MotionView;
  /** What is read is a change since P1, whose noise then counts as well. */
  readonly sinceP1: boolean;
}

/**
 * Half-width of the 95 % interval of the measuring noise, in the unit of the reading; NaN where it cannot be worked out. `slope`: by the values
 * themselves, a second; NaN where they are not read beside the position (limbs): then by how fast the markers move.
 */
export type ReadingSpread = (of: SpreadOf, sample: PositionSample, slope: number) => number;

/**
 * What the estimate of the shift leaves out, made good: right where the shift's frequency is such that F = 0.42 (1.08 ω₀: 16 Hz of the trunk's
 * filter), more than enough below. Chosen on swings of the generator by how often the ± holds (docs/accuracy.md).
 */
const WHOLE_SHIFT = 1.5;

/** Before and after the blow the body's centre speeds up and hands and arms are shaken faster than any filter of the body lets through: no ±. */
const AROUND_THE_BLOW: ReadonlySet<PositionId> = new Set(['P5.5', 'P6', 'P7', 'P8']);

const RATES: ReadonlySet<Reading['kind']> = new Set(['angular-speed', 'point-speed']);

/**
 * First order. Every measured point has independent white noise in three axes, of the size measured in the recording, lessened by the
 * filter (more beside gaps and ends, less over a window's mean), widened where it was filled; it goes through frames, joint centres and
 * lines into the reading, shared points once. The time of the position adds its standard deviation times the slope of the reading. The
 * filter's shift of fast motion is no noise: it is estimated for each point (`shiftAt`), carried the same way with its sign, its own noise
 * taken off, and the interval made so wide that an estimate shifted by so much still holds the truth in 95 of 100 cases.
 */
export function createReadingSpread({ motion, view, p1 }: SpreadInput, ws: Workspace): ReadingSpread {
  const network = new Network(ws);
  for (const tracks of [motion.poses, motion.directions, motion.points]) {
    for (const track of tracks.values()) if (track.ok) network.node(track.value);
  }
  const gradients = createGradients(motion, network, view);
  const { rate_Hz, frames } = motion.clock;
  const states = { place: new Map<PositionSample, MomentState>(), rate: new Map<PositionSample, MomentState>() };
  const stateAt = (sample: PositionSample, order: Order): MomentState => {
    let state = states[order].get(sample);
    if (state === undefined) {
      state = network.at(momentOf(sample, frames), rate_Hz, order);
      states[order].set(sample, state);
    }
    return state;
  };
  const here: Carried = { noise2: 0, shift: 0, shiftNoise2: 0, slope: 0 };
  const there: Carried = { noise2: 0, shift: 0, shiftNoise2: 0, slope: 0 };
  return ({ reading, view: seen, sinceP1 }, sample, slope) => {
    if (reading.kind === 'point-speed' && AROUND_THE_BLOW.has(sample.position)) return Number.NaN;
    const gradient = gradients.of(reading, seen, sample.at, sample.time.t_frames);
    if (gradient === null) return Number.NaN;
    network.carry(stateAt(sample, RATES.has(reading.kind) ? 'rate' : 'place'), gradient, here);
    if (sinceP1) {
      if (p1 === null || sample === p1) return Number.NaN;
      network.carry(stateAt(p1, 'place'), gradient, there);
      here.noise2 += there.noise2;
    }
    const timing = (Number.isNaN(slope) ? here.slope : slope) * sample.moment.sd_s;
    const shift = WHOLE_SHIFT * Math.sqrt(Math.max(0, here.shift * here.shift - here.shiftNoise2));
    return shiftedHalfWidth(Math.sqrt(here.noise2 + timing * timing), shift);
  };
}

function momentOf({ time }: PositionSample, frames: number): SpreadMoment {
  const within = (frame: number): number => Math.max(0, Math.min(frames - 1, frame));
  if (time.window === null) {
    const before = Math.min(within(Math.floor(time.t_frames)), frames - 2);
    return { frame: within(Math.round(time.t_frames)), before, after: before + 1, averaged: 1 };
  }
  const before = within(Math.ceil(time.window[0] - 1e-6));
  const after = Math.max(before, within(Math.floor(time.window[1] + 1e-6)));
  return { frame: (before + after) >> 1, before, after, averaged: after - before + 1 };
}
