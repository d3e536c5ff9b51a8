/** Low-pass filter of the body's markers; the club and the ball stay as measured. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import type { FilterOptions } from '../model/dayPlan.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import { MISSING, type Track } from '../model/track.ts';
import type { MarkerTrial } from '../model/trial.ts';
import { type FilterDesign, filterColumns, filterGain, LEAST_PAD, zeroLag } from '../numeric/butterworth.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { stageDiagnostic } from './diagnosticCodes.ts';
import { cutoffOf, fileName, groupOf } from './shared/landmarkGroups.ts';

/** A filtered trial, and the markers of which a run was too short to be filtered. */
export interface SmoothedTrial {
  readonly trial: MarkerTrial;
  /** File names (`L_ASIS`). */
  readonly partlyUnfiltered: readonly string[];
}

/** Shorter runs stay unfiltered: the filter's ends need nine samples of reflection. */
export const SHORTEST_RUN = LEAST_PAD + 1;

interface Design {
  readonly filter: FilterDesign;
  /** Standard deviation of filtered over unfiltered white noise. */
  readonly noiseGain: number;
}

/**
 * Zero-lag second-order Butterworth (forward and backward, gain 1/√2 at the cutoff) of each landmark with its segment group's cutoff.
 * Only runs of available samples are filtered, each by itself; runs under ten samples stay as they are and are named. `Track.noise`
 * becomes the noise of the filtered marker. Tracks that are not filtered share their data with the input.
 */
export function smooth(trial: MarkerTrial, options: FilterOptions, ws: Workspace): Outcome<SmoothedTrial> {
  const { frames, rate_Hz } = trial.clock;
  const points = new Map<LandmarkId, Track<3>>();
  const diagnostics: Diagnostic[] = [];
  const partlyUnfiltered: string[] = [];
  const designs = new Map<number, Design | null>();
  for (const [id, track] of trial.points) {
    const cutoff_Hz = cutoffOf(groupOf(id), options);
    if (cutoff_Hz === null) {
      points.set(id, track);
      continue;
    }
    let design = designs.get(cutoff_Hz);
    if (design === undefined) {
      design = designOf(cutoff_Hz, rate_Hz);
      designs.set(cutoff_Hz, design);
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
    filterColumns(data, frames, 3, runs, design.filter, ws);
    points.set(id, { ...track, data, noise: track.noise * design.noiseGain });
    if (short > 0) {
      const marker = fileName(id, trial.head.facts.hand.value);
      partlyUnfiltered.push(marker);
      diagnostics.push(
        stageDiagnostic('short-run-unfiltered', `${marker}: ${short} frames between gaps stayed unfiltered`),
      );
    }
  }
  return { value: { trial: { ...trial, points }, partlyUnfiltered }, diagnostics };
}

function designOf(cutoff_Hz: number, rate_Hz: number): Design | null {
  if (!(cutoff_Hz > 0 && cutoff_Hz < rate_Hz / 2)) return null;
  const filter = zeroLag(cutoff_Hz, rate_Hz);
  const steps = 64;
  let power = 0;
  for (let i = 0; i < steps; i++) {
    const gain = filterGain(filter, ((i + 0.5) * rate_Hz) / (2 * steps), rate_Hz);
    power += gain * gain * gain * gain;
  }
  return { filter, noiseGain: Math.sqrt(power / steps) };
}

/** Appends the runs of available samples that are long enough as from, to pairs; returns how many frames lie in runs that are not. */
function runsOf(state: Uint8Array, frames: number, runs: number[]): number {
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
