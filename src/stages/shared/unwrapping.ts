/** Turns made continuous from P1. */

import { angleNear, unwrapInPlace } from '../../numeric/eulerAngles.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import type { ReadValues } from './readSeries.ts';
import type { PositionSample, SamplePlan } from './sampling.ts';

/**
 * The values at samples, each on the branch of the frame-by-frame series at the nearest frame that is present. The series is continuous
 * outward from P1, whose own value lies in (−π, π]; without P1 from its first present frame. `from`: the frame at which the series begins.
 */
export function continuousFromP1(
  at: ReadValues,
  series: Float64Array,
  from: number,
  plan: SamplePlan,
  p1: PositionSample | null,
  ws: Workspace,
): ReadValues {
  const frames = series.length;
  const whole = ws.float64(frames);
  whole.set(series);
  const start = p1 === null ? 0 : Math.min(frames - 1, Math.max(0, Math.round(p1.time.t_frames) - from));
  unwrapInPlace(whole, start);
  const values = ws.float64(at.values.length);
  for (let i = 0; i < values.length; i++) {
    const reference = nearestPresent(whole, plan.times[i]!.t_frames - from);
    values[i] = Number.isNaN(reference) ? at.values[i]! : angleNear(at.values[i]!, reference);
  }
  return { ...at, values };
}

function nearestPresent(series: Float64Array, t_frames: number): number {
  if (Number.isNaN(t_frames)) return Number.NaN;
  const centre = Math.min(series.length - 1, Math.max(0, Math.round(t_frames)));
  for (let off = 0; off < series.length; off++) {
    const before = series[centre - off];
    if (before !== undefined && !Number.isNaN(before)) return before;
    const after = series[centre + off];
    if (after !== undefined && !Number.isNaN(after)) return after;
  }
  return Number.NaN;
}
