/** What is still missing of each marker when everything that fills has been done, and what was rebuilt. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import { framesOf, type MarkerRun, type Unmeasured } from '../model/markerRuns.ts';
import { FILLED_COMPONENTS, FILLED_CUBIC, MEASURED, MISSING, REBUILT, type Track } from '../model/track.ts';
import type { MarkerQuality, MarkerTrial } from '../model/trial.ts';
import { stageDiagnostic } from './diagnosticCodes.ts';
import { fileName } from './shared/landmarkGroups.ts';

/**
 * The quality of `measureMarkers` with what was filled, in all and by each method, the stretches that are not measured, the flags
 * `gap-left` and `rebuilt`, and a row for every landmark that the recording lacks and that was rebuilt. A ball that is never seen again
 * has flown: no gap. A marker that was never seen is flagged without a diagnostic.
 */
export function leftGaps(trial: MarkerTrial, quality: readonly MarkerQuality[]): Outcome<readonly MarkerQuality[]> {
  const { frames, rate_Hz } = trial.clock;
  const known = new Map(quality.map((row) => [row.marker, row]));
  const diagnostics: Diagnostic[] = [];
  const rows: MarkerQuality[] = [];
  for (const [id, track] of trial.points) {
    const marker = fileName(id, trial.head.facts.hand.value);
    const row = known.get(marker) ?? {
      marker,
      frames,
      missing: frames,
      filled: 0,
      longestGap_s: frames / rate_Hz,
      noise_m: track.noise,
      flags: [],
    };
    const runs = runsOf(id, track);
    const left = framesOf(runs, 'missing');
    const fills = {
      rigid: framesOf(runs, 'rigid'),
      spline: framesOf(runs, 'spline'),
      components: framesOf(runs, 'components'),
    };
    const flags = [...row.flags];
    if (left > 0) flags.push('gap-left');
    if (fills.rigid > 0) flags.push('rebuilt');
    if (left > 0 && row.missing < frames) {
      diagnostics.push(stageDiagnostic('gap-left', `${marker}: ${left} of ${frames} frames missing`));
    }
    const filled = fills.rigid + fills.spline + fills.components;
    rows.push({ ...row, filled, fills, ...(runs.length > 0 ? { runs } : {}), flags });
  }
  return { value: rows, diagnostics };
}

const WHAT: Readonly<Record<number, Unmeasured>> = {
  [REBUILT]: 'rigid',
  [FILLED_CUBIC]: 'spline',
  [FILLED_COMPONENTS]: 'components',
  [MISSING]: 'missing',
};

/** `frames` where there is none. */
function firstUnmeasured(state: Uint8Array, frames: number): number {
  let f = 0;
  while (f < frames && state[f] === MEASURED) f += 1;
  return f;
}

/** Stretches that are not measured, by time. */
function runsOf(id: LandmarkId, { state, clock: { frames } }: Track<3>): readonly MarkerRun[] {
  const runs: MarkerRun[] = [];
  for (let f = firstUnmeasured(state, frames); f < frames; f++) {
    const how = state[f]!;
    if (how === MEASURED) continue;
    const first = f;
    while (f + 1 < frames && state[f + 1] === how) f += 1;
    const isFlown = how === MISSING && id === 'BALL' && f === frames - 1;
    runs.push([first, f, isFlown ? 'flown' : WHAT[how]!]);
  }
  return runs;
}
