/** Where in time a swing is read: at each position found, half a frame beside it for slopes, and on the curves' time base. */

import type { Clock } from '../../model/clock.ts';
import { type Moment, type Moments, POSITIONS, type PositionId } from '../../model/positions.ts';
import type { CurveBase } from '../../model/swingRecord.ts';
import type { SampleTime } from './motionView.ts';

export type FoundMoment = Extract<Moment, { found: true }>;

/** One position in a list of sample times. */
export interface PositionSample {
  readonly position: PositionId;
  readonly moment: FoundMoment;
  readonly time: SampleTime;
  readonly at: number;
  /** Two samples and the seconds between them, for the slope: half a frame before and after, or the ends of the window. */
  readonly beside: { readonly before: number; readonly after: number; readonly span_s: number };
}

export interface SamplePlan {
  readonly times: readonly SampleTime[];
  readonly positions: ReadonlyMap<PositionId, PositionSample>;
  /** Index of the curve's first step; step s is at `curve + s`. */
  readonly curve: number;
}

export function samplePlan(moments: Moments, base: CurveBase, clock: Clock): SamplePlan {
  return planWith(
    moments,
    clock,
    Array.from(base.times_s, (time_s) => time_s * clock.rate_Hz),
  );
}

/** As `samplePlan`, with every frame in place of the curves' time base: frame f is at `curve + f`. */
export function framePlan(moments: Moments, clock: Clock): SamplePlan {
  return planWith(
    moments,
    clock,
    Array.from({ length: clock.frames }, (_, frame) => frame),
  );
}

function planWith(moments: Moments, clock: Clock, instants: readonly number[]): SamplePlan {
  const times: SampleTime[] = [];
  const positions = new Map<PositionId, PositionSample>();
  const instant = (t_frames: number): number => times.push({ t_frames, window: null }) - 1;
  for (const position of POSITIONS) {
    const moment = moments.get(position);
    if (moment?.found !== true) continue;
    const t_frames = moment.time_s * clock.rate_Hz;
    const window = moment.window_s;
    const time: SampleTime = {
      t_frames,
      window: window === null ? null : [window[0] * clock.rate_Hz, window[1] * clock.rate_Hz],
    };
    const at = times.push(time) - 1;
    const [from, to] = time.window ?? [t_frames - 0.5, t_frames + 0.5];
    const beside = { before: instant(from), after: instant(to), span_s: (to - from) / clock.rate_Hz };
    positions.set(position, { position, moment, time, at, beside });
  }
  const curve = times.length;
  for (const t_frames of instants) instant(t_frames);
  return { times, positions, curve };
}
