/** What is still missing of each marker when everything that fills has been done, and what was rebuilt. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import { FILLED_COMPONENTS, FILLED_CUBIC, MISSING, REBUILT, type Track } from '../model/track.ts';
import type { MarkerFills, MarkerQuality, MarkerTrial } from '../model/trial.ts';
import { stageDiagnostic } from './diagnosticCodes.ts';
import { fileName } from './shared/landmarkGroups.ts';

/**
 * The quality of `measureMarkers` with what was filled, in all and by each method, the flags `gap-left` and `rebuilt`, and a row for every
 * landmark that the recording lacks and that was rebuilt. A ball that is never seen again has flown: no gap. A marker that was never seen
 * is flagged without a diagnostic.
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
    const left = missingOf(id, track);
    const fills = fillsOf(track);
    const flags = [...row.flags];
    if (left > 0) flags.push('gap-left');
    if (fills.rigid > 0) flags.push('rebuilt');
    if (left > 0 && row.missing < frames) {
      diagnostics.push(stageDiagnostic('gap-left', `${marker}: ${left} of ${frames} frames missing`));
    }
    rows.push({ ...row, filled: fills.rigid + fills.spline + fills.components, fills, flags });
  }
  return { value: rows, diagnostics };
}

/** Filled frames by method. */
function fillsOf({ state, clock: { frames } }: Track<3>): MarkerFills {
  let rigid = 0;
  let spline = 0;
  let components = 0;
  for (let f = 0; f < frames; f++) {
    if (state[f] === REBUILT) rigid += 1;
    if (state[f] === FILLED_CUBIC) spline += 1;
    if (state[f] === FILLED_COMPONENTS) components += 1;
  }
  return { rigid, spline, components };
}

function missingOf(id: LandmarkId, { state, clock: { frames } }: Track<3>): number {
  let end = frames;
  if (id === 'BALL') while (end > 0 && state[end - 1] === MISSING) end -= 1;
  let count = 0;
  for (let f = 0; f < end; f++) if (state[f] === MISSING) count += 1;
  return count;
}
