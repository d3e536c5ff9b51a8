/** Whether the markers of each segment keep their shape: through the trial, and against the static trial. */

import type { Outcome } from '../base/diagnostics.ts';
import type { BodyFaultLimits } from '../model/bodyFaultLimits.ts';
import type { PlayerCalibration } from '../model/calibration.ts';
import type { Fault } from '../model/faults.ts';
import type { MarkerTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { droppedFrames } from './faults/droppedFrames.ts';
import { faultDiagnostics } from './faults/faultDiagnostics.ts';
import { movedMarkers } from './faults/movedMarkers.ts';
import { segmentBreaks } from './faults/segmentBreaks.ts';

export interface SegmentCheck {
  readonly limits: BodyFaultLimits;
  /** Null without a static trial. */
  readonly calibration: Pick<PlayerCalibration, 'clusters' | 'lengths_m'> | null;
  /** Faults of single markers that were found before. */
  readonly known: readonly Fault[];
}

/**
 * `segment-breaks`, `marker-moved` and `frames-dropped` of a trial whose tracks know their noise (measureMarkers), before anything is filled.
 * The trial is not changed. Nothing is said of a segment against a static trial that lacks its markers.
 */
export function checkSegments(trial: MarkerTrial, check: SegmentCheck, ws: Workspace): Outcome<readonly Fault[]> {
  const value = [
    ...segmentBreaks(trial, check.limits, check.known),
    ...(check.calibration === null ? [] : movedMarkers(trial, check.calibration, check.limits, ws)),
    ...droppedFrames(trial),
  ];
  return { value, diagnostics: faultDiagnostics(value) };
}
