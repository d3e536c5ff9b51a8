/** Markers to motion: the order of the stages, the diagnostics gathered. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import type { AnalysisPlan } from '../model/analysisPlan.ts';
import type { Motion } from '../model/motion.ts';
import type { MarkerQuality, MarkerTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { calibrate } from '../stages/calibrate.ts';
import { fillGaps } from '../stages/fillGaps.ts';
import { segmentPoses } from '../stages/segmentPoses.ts';
import { smooth } from '../stages/smooth.ts';
import { toPlayerFrame } from '../stages/toPlayerFrame.ts';

/**
 * fillGaps → smooth → toPlayerFrame → segmentPoses. Without a calibration in the plan one is made from this trial, which a diagnostic says.
 * Whether the trial shows the player's body is asked before, by `checkBody`.
 */
export function motionFromMarkers(trial: MarkerTrial, plan: AnalysisPlan, ws: Workspace): Outcome<Motion> {
  const filled = fillGaps(trial, plan.gaps, ws);
  const smoothed = smooth(filled.value.trial, plan.filter, ws);
  const inPlayer = toPlayerFrame(smoothed.value.trial, ws);
  const own = plan.calibration === null ? calibrate(inPlayer.value, plan.player, ws) : null;
  const calibration = own?.value ?? plan.calibration!;
  const diagnostics: Diagnostic[] = [...filled.diagnostics, ...smoothed.diagnostics, ...(own?.diagnostics ?? [])];
  const quality = filled.value.quality.map((entry) => withFlag(entry, smoothed.value.partlyUnfiltered));
  const motion = segmentPoses(inPlayer.value, { calibration, club: plan.club, quality }, ws);
  return { value: motion.value, diagnostics: [...diagnostics, ...motion.diagnostics] };
}

function withFlag(quality: MarkerQuality, unfiltered: readonly string[]): MarkerQuality {
  return unfiltered.includes(quality.marker)
    ? { ...quality, flags: [...quality.flags, 'short-run-unfiltered'] }
    : quality;
}
