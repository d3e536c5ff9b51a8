/** Fills long gaps of markers from how they move together with their neighbours in the rest of the trial. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import type { GapOptions } from '../model/dayPlan.ts';
import { groupOf } from '../model/landmarkGroups.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import { FILLED_COMPONENTS, MISSING, type Track } from '../model/track.ts';
import type { MarkerTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { stageDiagnostic } from './diagnosticCodes.ts';
import { fitComponents, predictInto } from './shared/components.ts';
import { gapsOf } from './shared/gaps.ts';
import { fileName } from './shared/landmarkGroups.ts';

/** Seconds on each side of a gap over which what the components miss is measured, for the curve to meet the samples. */
const EDGE_s = 0.05;
/** The stretches beside a gap took part in the components and are missed by less than what did not: on synthetic swings by half, over 20 to 60 frames. */
const OPTIMISM = 2;

/**
 * Fills inner gaps of at most `components_s` that are left, of the body alone, by principal components of the neighbouring markers
 * (`fitComponents`) and marks them FILLED_COMPONENTS. What the components miss on both sides of the gap is carried across in a straight line.
 * The standard deviation of the samples, in `filledSd_m`, is twice what the same fill misses of stretches as long beside the gap, the larger of the two.
 * Runs after fillGaps. Samples filled here are never used for another marker. Tracks without a filled gap are the input's own.
 */
export function fillComponents(trial: MarkerTrial, options: GapOptions, ws: Workspace): Outcome<MarkerTrial> {
  const diagnostics: Diagnostic[] = [];
  const points = new Map<LandmarkId, Track<3>>(trial.points);
  if (options.components_s === 0) return { value: trial, diagnostics };
  const { frames, rate_Hz } = trial.clock;
  const edge = Math.max(2, Math.round(EDGE_s * rate_Hz));
  for (const [id, track] of trial.points) {
    const group = groupOf(id);
    if (group === 'club' || group === 'ball') continue;
    const gaps = gapsOf(track.state, frames);
    let data: Float64Array | null = null;
    const state = ws.uint8(frames);
    const sd = ws.float64(frames);
    let filled = 0;
    for (let g = 0; g < gaps.length; g += 2) {
      const from = gaps[g]!;
      const to = gaps[g + 1]!;
      if (from === 0 || to === frames || (to - from) / rate_Hz > options.components_s + 1e-9) continue;
      const model = fitComponents(trial, id, from, to, ws);
      if (model === null) continue;
      if (data === null) {
        data = ws.float64(3 * frames);
        data.set(track.data);
        state.set(track.state);
        if (track.filledSd_m === undefined) sd.fill(0);
        else sd.set(track.filledSd_m);
      }
      const guess = ws.float64(3 * frames);
      predictInto(guess, model, trial);
      const length = to - from;
      carryAcross(data, guess, track, from, to, edge);
      const missed =
        OPTIMISM *
        Math.max(missOf(guess, track, from - length, from, edge, ws), missOf(guess, track, to, to + length, edge, ws));
      for (let f = from; f < to; f++) {
        if (Number.isNaN(data[f])) continue;
        state[f] = FILLED_COMPONENTS;
        sd[f] = missed;
        filled += 1;
      }
    }
    if (data === null || filled === 0) continue;
    points.set(id, { ...track, data, state, filledSd_m: sd });
    const marker = fileName(id, trial.head.facts.hand.value);
    diagnostics.push(
      stageDiagnostic('gap-filled', `${marker}: ${filled} of ${frames} frames by components of its neighbours`),
    );
  }
  return { value: { ...trial, points }, diagnostics };
}

/** Writes guess + what it misses at the edges, in a straight line, to [from, to) of `data`. */
function carryAcross(
  data: Float64Array,
  guess: Float64Array,
  track: Track<3>,
  from: number,
  to: number,
  edge: number,
): void {
  const { frames } = track.clock;
  for (let c = 0; c < 3; c++) {
    const left = missedAt(guess, track, c, from - edge, from);
    const right = missedAt(guess, track, c, to, to + edge);
    const before = Number.isNaN(left) ? right : left;
    const after = Number.isNaN(right) ? left : right;
    for (let f = from; f < to; f++) {
      const share = (f - from + 1) / (to - from + 1);
      data[c * frames + f] = guess[c * frames + f]! + before + share * (after - before);
    }
  }
}

/** Mean of measured less guess over the frames in [from, to); NaN where there are none. */
function missedAt(guess: Float64Array, track: Track<3>, c: number, from: number, to: number): number {
  const { frames } = track.clock;
  let sum = 0;
  let n = 0;
  for (let f = Math.max(0, from); f < Math.min(frames, to); f++) {
    const miss = track.data[c * frames + f]! - guess[c * frames + f]!;
    if (track.state[f] === MISSING || Number.isNaN(miss)) continue;
    sum += miss;
    n += 1;
  }
  return n === 0 ? Number.NaN : sum / n;
}

/** RMS per axis of what the fill would miss of [from, to), were it a gap; 0 where too little is seen there. */
function missOf(guess: Float64Array, track: Track<3>, from: number, to: number, edge: number, ws: Workspace): number {
  const { frames } = track.clock;
  if (from < edge || to > frames - edge) return 0;
  const data = ws.float64(3 * frames);
  carryAcross(data, guess, track, from, to, edge);
  let sum = 0;
  let n = 0;
  for (let c = 0; c < 3; c++) {
    for (let f = from; f < to; f++) {
      const miss = track.data[c * frames + f]! - data[c * frames + f]!;
      if (track.state[f] === MISSING || Number.isNaN(miss)) continue;
      sum += miss * miss;
      n += 1;
    }
  }
  return n === 0 ? 0 : Math.sqrt(sum / n);
}
