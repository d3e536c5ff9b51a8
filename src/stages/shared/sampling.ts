/** Where in time a swing is read: at each position found, half a frame beside it for slopes, and on the curves' time base. */

import type { Clock } from '../../model/clock.ts';
import { type Moment, type Moments, POSITIONS, type PositionId } from '../../model/positions.ts';
import type { CurveBase } from '../../model/swingRecord.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { type SampleTime, type SampleTimes, sampleTimes } from './motionView.ts';

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

export interface SamplePlan extends SampleTimes {
  readonly positions: ReadonlyMap<PositionId, PositionSample>;
  /** Index of the curve's first step; step s is at `curve + s`. */
  readonly curve: number;
}

export function samplePlan(moments: Moments, base: CurveBase, clock: Clock, ws: Workspace): SamplePlan {
  return planWith(
    moments,
    clock,
    Array.from(base.times_s, (time_s) => time_s * clock.rate_Hz),
    ws,
  );
}

/** As `samplePlan`, with every frame in place of the curves' time base: frame f is at `curve + f`. */
export function framePlan(moments: Moments, clock: Clock, ws: Workspace): SamplePlan {
  return planWith(
    moments,
    clock,
    Array.from({ length: clock.frames }, (_, frame) => frame),
    ws,
  );
}

function planWith(moments: Moments, clock: Clock, instants: readonly number[], ws: Workspace): SamplePlan {
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
  return { ...sampleTimes(times, clock.frames, ws), positions, curve };
}

/** Frames beyond the first and the last position whose samples a reading between frames may rest on, and a mean over the longest window. */
const MARGIN = 8;

/**
 * The frames [from, to) on which all that is read at positions and on curves rests; without P1 from the first frame on, where turns then begin to be continuous.
 * Null where no position is found.
 */
export function swingStretch(moments: Moments, { rate_Hz, frames }: Clock): readonly [number, number] | null {
  let from = Number.POSITIVE_INFINITY;
  let to = Number.NEGATIVE_INFINITY;
  let longest = 0;
  for (const moment of moments.values()) {
    if (!moment.found) continue;
    const [first, last] = moment.window_s ?? [moment.time_s, moment.time_s];
    from = Math.min(from, moment.time_s, first);
    to = Math.max(to, moment.time_s, last);
    longest = Math.max(longest, last - first);
  }
  if (!(to >= from)) return null;
  const margin = MARGIN + longest * rate_Hz;
  const start = moments.get('P1')?.found === true ? Math.floor(from * rate_Hz - margin) : 0;
  const end = Math.ceil(to * rate_Hz + margin);
  return [Math.min(frames, Math.max(0, start)), Math.max(0, Math.min(frames, end))];
}
