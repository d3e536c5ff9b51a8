/** Fills short gaps of markers with a cubic and measures each marker's noise. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import type { GapOptions } from '../model/dayPlan.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import { FILLED_CUBIC, MISSING, type Track } from '../model/track.ts';
import type { MarkerQuality, MarkerTrial } from '../model/trial.ts';
import { gapFillCubic } from '../numeric/interpolate.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { stageDiagnostic } from './diagnosticCodes.ts';
import { fileName, groupOf } from './shared/landmarkGroups.ts';
import { whiteNoise } from './shared/markerNoise.ts';

/** A trial with its short gaps filled, and what each marker was like before. */
export interface FilledTrial {
  readonly trial: MarkerTrial;
  /** In the order of the trial's points. */
  readonly quality: readonly MarkerQuality[];
}

/** A club marker is not carried across a gap while any club marker moves faster than this: near impact a cubic would invent the blow. */
export const FASTEST_CLUB_FILL_mPerS = 15;

/**
 * Fills inner gaps of at most `longest_s` with the not-a-knot cubic spline through the measured samples around them and marks them
 * FILLED_CUBIC; gaps at the ends are never filled. Club markers: only gaps of at most half that length, and never where a club marker
 * moves faster than 15 m/s, so nothing is filled across impact. The ball is never filled.
 * What is left is told by `leftGaps`, which counts after whatever else fills. Writes the marker's white noise to `Track.noise` (metres per axis). Tracks without a filled gap share their data with the input.
 */
export function fillGaps(trial: MarkerTrial, options: GapOptions, ws: Workspace): Outcome<FilledTrial> {
  const { frames, rate_Hz } = trial.clock;
  const points = new Map<LandmarkId, Track<3>>();
  const quality: MarkerQuality[] = [];
  const diagnostics: Diagnostic[] = [];
  const scratch = ws.float64(Math.ceil(frames / 16) + 1);
  for (const [id, track] of trial.points) {
    const group = groupOf(id);
    const gaps = gapsOf(track.state, frames);
    const wanted: number[] = [];
    if (group !== 'ball') {
      const longest_s = group === 'club' ? options.longest_s / 2 : options.longest_s;
      for (let g = 0; g < gaps.length; g += 2) {
        const from = gaps[g]!;
        const to = gaps[g + 1]!;
        if (from === 0 || to === frames || (to - from) / rate_Hz > longest_s + 1e-9) continue;
        if (group === 'club' && clubSpeed(trial, from, to) > FASTEST_CLUB_FILL_mPerS) continue;
        wanted.push(from, to);
      }
    }
    const noise = whiteNoise(track.data, frames, scratch);
    let data = track.data;
    let state = track.state;
    let filled = 0;
    if (wanted.length > 0) {
      data = ws.float64(3 * frames);
      data.set(track.data);
      gapFillCubic(data, frames, 3, track.state, wanted, ws);
      state = ws.uint8(frames);
      state.set(track.state);
      for (let g = 0; g < wanted.length; g += 2) {
        for (let f = wanted[g]!; f < wanted[g + 1]!; f++) {
          if (Number.isNaN(data[f])) continue;
          state[f] = FILLED_CUBIC;
          filled += 1;
        }
      }
    }
    points.set(id, { ...track, data, state, noise });
    let missing = 0;
    let longest = 0;
    for (let g = 0; g < gaps.length; g += 2) {
      missing += gaps[g + 1]! - gaps[g]!;
      longest = Math.max(longest, gaps[g + 1]! - gaps[g]!);
    }
    const marker = fileName(id, trial.head.facts.hand.value);
    if (filled > 0) diagnostics.push(stageDiagnostic('gap-filled', `${marker}: ${filled} of ${frames} frames filled`));
    quality.push({
      marker,
      frames,
      missing,
      filled,
      longestGap_s: longest / rate_Hz,
      noise_m: noise,
      flags: [],
    });
  }
  return { value: { trial: { ...trial, points }, quality }, diagnostics };
}

/** Missing stretches as from0, to0, from1, to1 … (half open). */
function gapsOf(state: Uint8Array, frames: number): number[] {
  const gaps: number[] = [];
  for (let f = 0; f < frames; f++) {
    if (state[f] !== MISSING) continue;
    const from = f;
    while (f < frames && state[f] === MISSING) f += 1;
    gaps.push(from, f);
  }
  return gaps;
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
