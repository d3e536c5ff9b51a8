/** Rotations of the limb segments, each from the best set of landmarks that a trial shows. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { PlayerCalibration } from '../../model/calibration.ts';
import { LIMB_SEGMENTS, type LimbSegmentId, type PointId } from '../../model/motion.ts';
import type { Track } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { bestSet } from './landmarkSets.ts';
import { upperArmFrameByForearm } from './limbFrames.ts';
import { LIMB_RULES, type LimbRule } from './limbRules.ts';
import { rotationTrack, tracksOf } from './tracks.ts';

export interface LimbPoses {
  /** Of every limb segment: R_player_segment, or what it needs. */
  readonly poses: ReadonlyMap<LimbSegmentId, Avail<Track<9>>>;
  readonly substitutions: readonly string[];
  /** Segments without a frame with what the preferred set lacks, in words: `lead hand (left MC2, left MC5)`. */
  readonly missing: readonly string[];
}

/** Poses of the twelve limb segments; of several sets of landmarks the calibration's, else the one seen most (`bestSet`). */
export function limbPoses(
  trial: MarkerTrial,
  calibration: PlayerCalibration,
  points: ReadonlyMap<PointId, Avail<Track<3>>>,
  ws: Workspace,
): LimbPoses {
  const poses = new Map<LimbSegmentId, Avail<Track<9>>>();
  const substitutions: string[] = [];
  const missing: string[] = [];
  for (const segment of LIMB_SEGMENTS) {
    const rules = LIMB_RULES[segment];
    const rule = bestSet(trial, rules, calibration.sets[segment] ?? null);
    const pose = rule.ok ? poseOf(trial, rule.value, points, ws) : rule;
    poses.set(segment, pose);
    if (pose.ok) {
      if (rule.ok && rule.value.substitution !== '') substitutions.push(rule.value.substitution);
      continue;
    }
    const preferred = rule.ok ? pose : bestSet(trial, rules.slice(0, 1));
    missing.push(`${segment.replaceAll('_', ' ')} (${preferred.ok ? '' : preferred.why.needed})`);
  }
  return { poses, substitutions, missing };
}

function poseOf(
  trial: MarkerTrial,
  { joint, landmarks, kernel, name }: LimbRule,
  points: ReadonlyMap<PointId, Avail<Track<3>>>,
  ws: Workspace,
): Avail<Track<9>> {
  const tracks = tracksOf(trial, landmarks);
  if (joint !== null) {
    const centre = points.get(joint)!;
    if (!centre.ok) return absent(centre.why.code, centre.why.needed);
    tracks.unshift(centre.value);
  }
  return present(rotationTrack(tracks, kernel, trial.clock, name, ws, kernel !== upperArmFrameByForearm));
}
