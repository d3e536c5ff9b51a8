/** What a player's static trial of markers fixes: the order of the stages, the diagnostics gathered. */

import type { Outcome } from '../base/diagnostics.ts';
import type { PlayerCalibration } from '../model/calibration.ts';
import type { PlayerPlan } from '../model/dayPlan.ts';
import { STILL_POSE, type StillRecord } from '../model/stillRecord.ts';
import type { MarkerTrial, PlayerTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { calibrate } from '../stages/calibrate.ts';
import { calibrateClusters } from '../stages/calibrateClusters.ts';
import { jointAngles } from '../stages/jointAngles.ts';
import { segmentPoses } from '../stages/segmentPoses.ts';
import { stillAngles } from '../stages/stillAngles.ts';
import { toPlayerFrame } from '../stages/toPlayerFrame.ts';

export interface StaticTrial {
  readonly calibration: PlayerCalibration;
  /** The trial in the player frame. */
  readonly moved: PlayerTrial;
}

/** Joint centres, zeros and lengths in the player frame; the shapes of the segments' landmarks in the lab frame, in which hidden ones are rebuilt. */
export function calibrateStatic(trial: MarkerTrial, player: PlayerPlan, ws: Workspace): Outcome<StaticTrial> {
  const clusters = calibrateClusters(trial, ws);
  const moved = toPlayerFrame(trial, ws);
  const made = calibrate(moved.value, player, ws);
  return {
    value: { calibration: { ...made.value, clusters }, moved: moved.value },
    diagnostics: [...moved.diagnostics, ...made.diagnostics],
  };
}

/** What is stored of the static trial: the angles of the still pose, read as those of the swings are. What its landmarks lack the calibration has said. */
export function stillRecord({ calibration, moved }: StaticTrial, sha256: string, ws: Workspace): StillRecord {
  const motion = segmentPoses(moved, { calibration, club: null, quality: [] }, ws).value;
  const angles = stillAngles(jointAngles(motion, [], ws).value).value;
  return { kind: STILL_POSE, head: motion.head, sha256, datum: motion.datum, frames: moved.clock.frames, angles };
}
