/** The ± of readings: the noise of the markers, the shift of fast motion by the filter, the time of the position. */

import type { Motion } from '../../model/motion.ts';
import type { PositionId } from '../../model/positions.ts';
import type { Reading } from '../../model/quantity.ts';
import { halfWidthWithShift, type ShiftEvidence } from '../../numeric/shiftedInterval.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import type { MotionView } from '../shared/motionView.ts';
import type { PositionSample } from '../shared/sampling.ts';
import { addTime, createArmTiming } from './armTiming.ts';
import { createGradients } from './gradients.ts';
import type { Order, SpreadMoment } from './leaves.ts';
import { type Carried, createCarried, type MomentState, Network } from './network.ts';

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
 * What the estimate of the shift leaves out, (1 − F)² of it (`shiftAt`), made good: right where F = 0.52 (0.98 ω₀), more than enough below. On
 * swings of the generator the true shift was 1.0 to 1.2 times the estimate in the middle, 1.1 to 1.5 times in one case of twenty.
 */
const WHOLE_SHIFT = 1.3;

/**
 * Where the body's centre changes its speed faster than the filter lets through and the motion around does not tell by how much (at the blow, and
 * as the arms are let go): what was worked out held the truth in 87 to 91 of 100 cases. No ± of its speed there.
 */
const UNTOLD: ReadonlySet<PositionId> = new Set(['P5.5', 'P7']);

const RATES: ReadonlySet<Reading['kind']> = new Set(['angular-speed', 'point-speed']);

/**
 * First order. Every measured point has independent white noise in three axes, of the size measured in the recording, lessened by the
 * filter (more beside gaps and ends, less over a window's mean), widened where it was filled; it goes through frames, joint centres and
 * lines into the reading, shared points once. The time of a position found by an arm errs with the arm's own points (`createArmTiming`);
 * of any other it adds its standard deviation times the slope of the reading. The filter's shift of fast motion is no noise: it is estimated
 * for each point (`shiftAt`) and carried the same way with its sign; how large shifts are here is told by those around the moment, less what
 * noise alone would feign; and the interval is as wide as value and estimate together ask for (`halfWidthWithShift`).
 */
export function createReadingSpread({ motion, view, p1 }: SpreadInput, ws: Workspace): ReadingSpread {
  const network = new Network(ws);
  for (const tracks of [motion.poses, motion.directions, motion.points]) {
    for (const track of tracks.values()) if (track.ok) network.node(track.value);
  }
  const gradients = createGradients(motion, network, view);
  const armTiming = createArmTiming(motion, view, network, gradients);
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
  const here = createCarried();
  const there = createCarried();
  return ({ reading, view: seen, sinceP1 }, sample, slope) => {
    if (reading.kind === 'point-speed' && UNTOLD.has(sample.position)) return Number.NaN;
    const order: Order = RATES.has(reading.kind) ? 'rate' : 'place';
    const state = stateAt(sample, order);
    // Noise of a place and of its rate at one moment are independent: only places err with the time.
    const time = order === 'place' ? armTiming(sample, state) : null;
    const gradient = gradients.of(reading, seen, sample.at, sample.time.t_frames);
    if (gradient === null) return Number.NaN;
    there.noise2 = 0;
    if (sinceP1) {
      if (p1 === null || sample === p1) return Number.NaN;
      network.carry(stateAt(p1, 'place'), gradient, there);
    }
    network.carry(state, gradient, here);
    let timing = (Number.isNaN(slope) ? here.slope : slope) * sample.moment.sd_s;
    if (time !== null) {
      addTime(gradient, time, here.slope);
      network.carry(state, gradient, here);
      timing = 0;
    }
    return halfWidthWithShift(evidenceOf(here, here.noise2 + there.noise2 + timing * timing));
  };
}

/** An estimate beyond this many standard deviations of its noise is a shift by itself. */
const STANDS_OUT = 2;

/**
 * The shift of a reading, whole. How large shifts are here is told by the instants around the moment alone, since at the moment itself noise that
 * throws the value far looks like a shift; but where the moment's own stands out of its noise, by that if it is larger: a blow is short.
 */
function evidenceOf({ shift, shiftNoise2, shiftCovariance }: Carried, variance: number): ShiftEvidence {
  const own2 = shift[0]! * shift[0]!;
  let sum2 = 0;
  for (let k = 1; k < shift.length; k++) sum2 += shift[k]! * shift[k]!;
  const around2 = sum2 / (shift.length - 1);
  const seen2 = own2 > STANDS_OUT * STANDS_OUT * shiftNoise2 ? Math.max(own2, around2) : around2;
  const whole2 = WHOLE_SHIFT * WHOLE_SHIFT;
  return {
    variance,
    estimate: WHOLE_SHIFT * shift[0]!,
    estimateVariance: whole2 * shiftNoise2,
    covariance: WHOLE_SHIFT * shiftCovariance,
    size2: whole2 * Math.max(0, seen2 - shiftNoise2),
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
