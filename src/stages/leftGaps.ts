/** What is still missing of each marker when everything that fills has been done, and what was rebuilt. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import { MISSING, REBUILT, type Track } from '../model/track.ts';
import type { MarkerQuality, MarkerTrial } from '../model/trial.ts';
import { stageDiagnostic } from './diagnosticCodes.ts';
import { fileName } from './shared/landmarkGroups.ts';

/**
 * The quality of `fillGaps` with the flags `gap-left` and `rebuilt` as the trial now shows them, and a row for every landmark that the
 * recording lacks and that was rebuilt. A ball that is never seen again has flown: no gap. A marker that was never seen is flagged without a
 * diagnostic.
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
    const flags = [...row.flags];
    if (left > 0) flags.push('gap-left');
    if (track.state.subarray(0, frames).includes(REBUILT)) flags.push('rebuilt');
    if (left > 0 && row.missing < frames) {
      diagnostics.push(stageDiagnostic('gap-left', `${marker}: ${left} of ${frames} frames missing`));
    }
    rows.push({ ...row, flags });
  }
  return { value: rows, diagnostics };
}

function missingOf(id: LandmarkId, { state, clock: { frames } }: Track<3>): number {
  let end = frames;
  if (id === 'BALL') while (end > 0 && state[end - 1] === MISSING) end -= 1;
  let count = 0;
  for (let f = 0; f < end; f++) if (state[f] === MISSING) count += 1;
  return count;
}
