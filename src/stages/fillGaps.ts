/** Fills short gaps of markers with a spline. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import type { GapOptions } from '../model/dayPlan.ts';
import { groupOf } from '../model/landmarkGroups.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import { FILLED_CUBIC, MISSING, type Track } from '../model/track.ts';
import type { MarkerTrial } from '../model/trial.ts';
import { gapFillSmooth } from '../numeric/gapSpline.ts';
import { gapFillCubic } from '../numeric/interpolate.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { stageDiagnostic } from './diagnosticCodes.ts';
import { downswingOf, type Stretch } from './shared/downswing.ts';
import { gapsOf } from './shared/gaps.ts';
import { fileName } from './shared/landmarkGroups.ts';

/** A club marker is not carried across a gap while any club marker moves faster than this: near impact a cubic would invent the blow. */
export const FASTEST_CLUB_FILL_mPerS = 15;

/** Below this noise a cubic through the samples themselves is closer: 10 µm throw it off by 0.1 mm at most. */
const LEAST_NOISE_m = 1e-5;
/** Error of the cubic through noisy samples, in the noise and a frame of the gap: measured on synthetic swings, gaps of 5 to 20 frames. */
const CUBIC_ERROR = 0.4;

/**
 * Fills inner gaps of at most `longest_s` by a spline and marks them FILLED_CUBIC: the discrete quintic spline that is as smooth as the
 * marker's noise allows (`gapFillSmooth`); for samples without noise, and where a side has too few, the not-a-knot cubic through the samples.
 * The standard deviation of each filled sample stands in `filledSd_m`;
 * gaps at the ends are never filled. Half that length is the most for gaps that reach into the downswing (`downswingOf`) and for club
 * markers, which are never filled where a club marker moves faster than 15 m/s, so nothing is filled across impact. The ball is never
 * filled. What is left is told by `leftGaps`, which counts after whatever else fills. Tracks without a filled gap are the input's own.
 */
export function fillGaps(trial: MarkerTrial, options: GapOptions, ws: Workspace): Outcome<MarkerTrial> {
  const { frames, rate_Hz } = trial.clock;
  const points = new Map<LandmarkId, Track<3>>();
  const diagnostics: Diagnostic[] = [];
  let downswing: Stretch | null | undefined;
  const isInDownswing = (from: number, to: number): boolean => {
    if (downswing === undefined) downswing = downswingOf(trial);
    return downswing !== null && from < downswing.to && to > downswing.from;
  };
  for (const [id, track] of trial.points) {
    const group = groupOf(id);
    const wanted: number[] = [];
    if (group !== 'ball') {
      const gaps = gapsOf(track.state, frames);
      for (let g = 0; g < gaps.length; g += 2) {
        const from = gaps[g]!;
        const to = gaps[g + 1]!;
        const length_s = (to - from) / rate_Hz - 1e-9;
        if (from === 0 || to === frames || length_s > options.longest_s) continue;
        if (length_s > options.longest_s / 2 && (group === 'club' || isInDownswing(from, to))) continue;
        if (group === 'club' && clubSpeed(trial, from, to) > FASTEST_CLUB_FILL_mPerS) continue;
        wanted.push(from, to);
      }
    }
    if (wanted.length === 0) {
      points.set(id, track);
      continue;
    }
    const data = ws.float64(3 * frames);
    data.set(track.data);
    gapFillCubic(data, frames, 3, track.state, wanted, ws);
    const filledSd_m = ws.float64(frames);
    if (track.filledSd_m === undefined) filledSd_m.fill(0);
    else filledSd_m.set(track.filledSd_m);
    smoothOver(track, wanted, data, filledSd_m, ws);
    const state = ws.uint8(frames);
    state.set(track.state);
    let filled = 0;
    for (let g = 0; g < wanted.length; g += 2) {
      for (let f = wanted[g]!; f < wanted[g + 1]!; f++) {
        if (Number.isNaN(data[f])) continue;
        state[f] = FILLED_CUBIC;
        filled += 1;
      }
    }
    points.set(id, { ...track, data, state, filledSd_m });
    if (filled === 0) continue;
    const marker = fileName(id, trial.head.facts.hand.value);
    diagnostics.push(stageDiagnostic('gap-filled', `${marker}: ${filled} of ${frames} frames by a spline`));
  }
  return { value: { ...trial, points }, diagnostics };
}

/** Where samples are noisy, curves through gaps that noise does not throw off their way; how far off each filled sample may be, in any case. */
function smoothOver(
  { data: measured, state, noise, clock: { frames } }: Track<3>,
  gaps: readonly number[],
  data: Float64Array,
  filledSd_m: Float64Array,
  ws: Workspace,
): void {
  if (Number.isNaN(noise)) return;
  const sigma = Math.max(noise, LEAST_NOISE_m);
  const isNoisy = noise >= LEAST_NOISE_m;
  const into = isNoisy ? data : ws.float64(3 * frames);
  if (!isNoisy) into.set(measured);
  for (let g = 0; g < gaps.length; g += 2) {
    const from = gaps[g]!;
    const to = gaps[g + 1]!;
    if (gapFillSmooth(into, frames, 3, state, from, to, sigma, filledSd_m, ws)) continue;
    for (let f = from; f < to; f++) filledSd_m[f] = CUBIC_ERROR * (to - from) * sigma;
  }
}

/** Largest speed of any club marker beside and across the stretch [from, to), m/s; 0 where none is seen there. */
function clubSpeed(trial: MarkerTrial, from: number, to: number): number {
  const { frames, rate_Hz } = trial.clock;
  let fastest = 0;
  for (const [id, track] of trial.points) {
    if (groupOf(id) !== 'club') continue;
    let last = -1;
    for (let f = Math.max(0, from - 3); f < Math.min(frames, to + 3); f++) {
      if (track.state[f] === MISSING) continue;
      if (last >= 0) fastest = Math.max(fastest, (step(track.data, frames, last, f) * rate_Hz) / (f - last));
      last = f;
    }
  }
  return fastest;
}

function step(data: Float64Array, frames: number, from: number, to: number): number {
  const x = data[to]! - data[from]!;
  const y = data[frames + to]! - data[frames + from]!;
  const z = data[2 * frames + to]! - data[2 * frames + from]!;
  return Math.sqrt(x * x + y * y + z * z);
}
