/** Low-pass filter of the body's markers; the club and the ball stay as measured. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import type { Cutoffs, FilterOptions } from '../model/dayPlan.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import { MISSING, type Track } from '../model/track.ts';
import type { MarkerTrial } from '../model/trial.ts';
import {
  type FilterDesign,
  filterColumns,
  filterGain,
  filtfiltInto,
  LEAST_PAD,
  zeroLag,
} from '../numeric/butterworth.ts';
import { type FilterResponse, filterResponse } from '../numeric/filterResponse.ts';
import { factorSpline, type SplineFactor, smoothSpline, splineGain, splineLambda } from '../numeric/smoothingSpline.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { stageDiagnostic } from './diagnosticCodes.ts';
import { fileName, filterGroupOf } from './shared/landmarkGroups.ts';
import { chooseCutoffs } from './smoothing/chooseCutoffs.ts';

/** A filtered trial, what it was filtered with, and the markers of which a run was too short to be filtered. */
export interface SmoothedTrial {
  readonly trial: MarkerTrial;
  readonly cutoffs: Cutoffs;
  /** File names (`L_ASIS`). */
  readonly partlyUnfiltered: readonly string[];
}

/** Shorter runs stay unfiltered: the filter's ends need nine samples of reflection. */
export const SHORTEST_RUN = LEAST_PAD + 1;

interface Design {
  readonly filter: FilterDesign | SplineDesign;
  /** Standard deviation of filtered over unfiltered white noise. */
  readonly noiseGain: number;
  readonly response: FilterResponse;
}

/** After this many periods of the cutoff nothing is left of an impulse: e^(−2π · 1.25 / (0.802 √2)) < 0.1 %. */
const REACH_periods = 1.25;

interface SplineDesign {
  readonly lambda: number;
  readonly byLength: Map<number, SplineFactor>;
}

/**
 * Zero-lag second-order Butterworth (forward and backward, gain 1/√2 at the cutoff) of each landmark with its segment group's cutoff,
 * or the quintic spline of that cutoff where cross-validation chose it. A rule in place of a cutoff is asked first (`chooseCutoffs`).
 * Only runs of available samples are filtered, each by itself; runs under ten samples stay as they are and are named. `Track.noise`
 * becomes the noise of the filtered marker. Tracks that are not filtered share their data with the input.
 */
export function smooth(trial: MarkerTrial, options: FilterOptions, ws: Workspace): Outcome<SmoothedTrial> {
  const { frames, rate_Hz } = trial.clock;
  const points = new Map<LandmarkId, Track<3>>();
  const { value: cutoffs, diagnostics: ofChoice } = chooseCutoffs(trial, options, ws);
  const diagnostics: Diagnostic[] = [...ofChoice];
  const partlyUnfiltered: string[] = [];
  const designs = new Map<number, Design | null>();
  const splines = new Map<number, Design | null>();
  for (const [id, track] of trial.points) {
    const group = filterGroupOf(id);
    const cutoff_Hz = group === null ? null : cutoffs[group];
    if (group === null || cutoff_Hz === null) {
      points.set(id, track);
      continue;
    }
    const isSpline = cutoffs.chosen?.[group] === 'cross-validation';
    const known = isSpline ? splines : designs;
    let design = known.get(cutoff_Hz);
    if (design === undefined) {
      design = isSpline ? splineOf(cutoff_Hz, rate_Hz) : designOf(cutoff_Hz, rate_Hz);
      known.set(cutoff_Hz, design);
      if (design === null) {
        diagnostics.push(
          stageDiagnostic(
            'cutoff-too-high',
            `a cutoff of ${cutoff_Hz} Hz needs more than ${2 * cutoff_Hz} frames per second`,
          ),
        );
      }
    }
    if (design === null) {
      points.set(id, track);
      continue;
    }
    const runs: number[] = [];
    const short = runsOf(track.state, frames, runs);
    const data = ws.float64(3 * frames);
    data.set(track.data);
    if ('lambda' in design.filter) splineColumns(data, frames, runs, design.filter, ws);
    else filterColumns(data, frames, 3, runs, design.filter, ws);
    points.set(id, { ...track, data, noise: track.noise * design.noiseGain, response: design.response });
    if (short > 0) {
      const marker = fileName(id, trial.head.facts.hand.value);
      partlyUnfiltered.push(marker);
      diagnostics.push(
        stageDiagnostic('short-run-unfiltered', `${marker}: ${short} frames between gaps stayed unfiltered`),
      );
    }
  }
  return { value: { trial: { ...trial, points }, cutoffs, partlyUnfiltered }, diagnostics };
}

/** A design depends on nothing but cutoff and rate: kept from trial to trial, a few of them. */
const KEPT = new Map<string, Design>();
const MOST_KEPT = 64;

function designOf(cutoff_Hz: number, rate_Hz: number): Design | null {
  if (!(cutoff_Hz > 0 && cutoff_Hz < rate_Hz / 2)) return null;
  const key = `${cutoff_Hz} ${rate_Hz}`;
  let design = KEPT.get(key);
  if (design === undefined) {
    design = madeDesign(cutoff_Hz, rate_Hz);
    if (KEPT.size >= MOST_KEPT) KEPT.clear();
    KEPT.set(key, design);
  }
  return design;
}

function madeDesign(cutoff_Hz: number, rate_Hz: number): Design {
  const filter = zeroLag(cutoff_Hz, rate_Hz);
  const steps = 64;
  let power = 0;
  for (let i = 0; i < steps; i++) {
    const gain = filterGain(filter, ((i + 0.5) * rate_Hz) / (2 * steps), rate_Hz);
    power += gain * gain * gain * gain;
  }
  const response = filterResponse(Math.ceil((REACH_periods * rate_Hz) / cutoff_Hz), (series) =>
    filtfiltInto(series, series, 0, series.length, filter),
  );
  return { filter, noiseGain: Math.sqrt(power / steps), response };
}

/** `cutoff_Hz` as cross-validation chooses it: below a fifth of the rate. */
function splineOf(cutoff_Hz: number, rate_Hz: number): Design {
  const lambda = splineLambda(cutoff_Hz, rate_Hz);
  const steps = 64;
  let power = 0;
  for (let i = 0; i < steps; i++) {
    const gain = splineGain(lambda, ((i + 0.5) * rate_Hz) / (2 * steps), rate_Hz);
    power += gain * gain;
  }
  const response = filterResponse(Math.ceil((REACH_periods * rate_Hz) / cutoff_Hz), (series) => {
    const factor = factorSpline(series.length, lambda);
    smoothSpline(series, 0, factor, new Float64Array(series.length), new Float64Array(series.length));
  });
  return { filter: { lambda, byLength: new Map() }, noiseGain: Math.sqrt(power / steps), response };
}

function splineColumns(
  data: Float64Array,
  frames: number,
  runs: readonly number[],
  { lambda, byLength }: SplineDesign,
  ws: Workspace,
): void {
  const residual = ws.float64(frames);
  const scratch = ws.float64(frames);
  for (let g = 0; g < runs.length; g += 2) {
    const n = runs[g + 1]! - runs[g]!;
    let factor = byLength.get(n);
    if (factor === undefined) {
      factor = factorSpline(n, lambda);
      byLength.set(n, factor);
    }
    for (let c = 0; c < 3; c++) smoothSpline(data, c * frames + runs[g]!, factor, residual, scratch);
  }
}

/** Appends the runs of available samples that are long enough as from, to pairs; returns how many frames lie in runs that are not. */
function runsOf(state: Uint8Array, frames: number, runs: number[]): number {
  if (frames >= SHORTEST_RUN && !state.includes(MISSING)) {
    runs.push(0, frames);
    return 0;
  }
  let short = 0;
  for (let f = 0; f < frames; f++) {
    if (state[f] === MISSING) continue;
    const from = f;
    while (f < frames && state[f] !== MISSING) f += 1;
    if (f - from >= SHORTEST_RUN) runs.push(from, f);
    else short += f - from;
  }
  return short;
}
