/** What is fixed once per player: joint centres in their segments, the head's zero, body lengths. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import { type Avail, absent, present } from '../model/availability.ts';
import type { PlayerCalibration } from '../model/calibration.ts';
import type { PlayerPlan } from '../model/dayPlan.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import { LIMB_SEGMENTS, TRUNK_SEGMENTS } from '../model/motion.ts';
import type { PlayerTrial } from '../model/trial.ts';
import { anglesFromRotation, rotationFromAngles } from '../numeric/eulerAngles.ts';
import { meanRotation, mulT3 } from '../numeric/rotation.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { stageDiagnostic } from './diagnosticCodes.ts';
import { pointSets } from './shared/bodyPoints.ts';
import { hasLandmark } from './shared/landmarkGroups.ts';
import { bestSet } from './shared/landmarkSets.ts';
import { LIMB_RULES } from './shared/limbRules.ts';
import { BODY_LENGTHS, lengthName, median, medianDistance, sampleFrames } from './shared/medians.ts';
import { SEGMENT_RULES } from './shared/segmentRules.ts';
import { staticHips } from './shared/staticHips.ts';
import { staticShoulders } from './shared/staticShoulders.ts';
import { rotationTrack, tracksOf } from './shared/tracks.ts';

/**
 * Calibration of a player from a static trial in the player frame, or from a swing where there is none (`source` is then null and the
 * head is not zeroed). Lengths and joint centres are medians over at most 240 frames. Hips by the regression that the day file names, else
 * Harrington 2007 with PSIS, Hara 2016 without, Bell 1990 where neither PSIS nor leg length is known. Shoulders: Dumas and Wojtusch 2018
 * from the acromion, by sex, or Rab 2002 where the day file says so; neck and lumbar joint: Dumas and Wojtusch 2018. Head: zero means upright and facing where the pelvis (else the thorax)
 * faces, so a player who stands turned in the laboratory is zeroed alike. Height: the day file's, else the vertex above the floor (y = 0)
 * of a static trial. Clusters belong to the trial before it is turned into the player frame: `calibrateClusters` makes them.
 */
export function calibrate(trial: PlayerTrial, player: PlayerPlan, ws: Workspace): Outcome<PlayerCalibration> {
  const diagnostics: Diagnostic[] = [];
  const isStatic = trial.head.role === 'static';
  if (!isStatic) {
    diagnostics.push(stageDiagnostic('calibrated-on-itself', 'joint centres were fixed from this trial itself'));
  }
  const hips = staticHips(trial, player);
  diagnostics.push(...hips.diagnostics);
  const { shoulders, neck } = staticShoulders(trial, player, ws);
  if (shoulders.ok && player.sex === null && player.shoulderCentre !== 'rab') {
    diagnostics.push(
      stageDiagnostic('shoulder-sex-unknown', 'shoulder centres are the mean of the regressions for female and male'),
    );
  }
  const lengths_m: Record<string, number> = {};
  for (const [a, b] of BODY_LENGTHS) {
    const length = medianDistance(trial, a, b);
    if (length !== null) lengths_m[lengthName(a, b)] = length;
  }
  return {
    value: {
      player: player.id,
      source: isStatic ? trial.head.trial : null,
      hips: hips.value.hips,
      shoulders,
      neck,
      lumbar: hips.value.lumbar,
      head: isStatic ? headZero(trial, ws) : absent('no-static-trial', 'a static trial of the player'),
      sets: { ...segmentSets(trial), ...pointSets(trial) },
      lengths_m,
      height_m: player.height_m ?? (isStatic ? vertexHeight(trial) : null),
      clusters: [],
    },
    diagnostics,
  };
}

/** Names of the sets that the trial shows best, by segment. */
function segmentSets(trial: PlayerTrial): Record<string, string> {
  const sets: Record<string, string> = {};
  for (const segment of TRUNK_SEGMENTS) {
    const found = bestSet(trial, SEGMENT_RULES[segment]);
    if (found.ok) sets[segment] = found.value.name;
  }
  for (const segment of LIMB_SEGMENTS) {
    const found = bestSet(trial, LIMB_RULES[segment]);
    if (found.ok) sets[segment] = found.value.name;
  }
  return sets;
}

/** R_technical_head: the mean technical head frame on the static trial, against upright and facing as the pelvis or the thorax does. */
function headZero(trial: PlayerTrial, ws: Workspace): Avail<readonly number[]> {
  const rule = bestSet(trial, SEGMENT_RULES.head);
  if (!rule.ok) return rule;
  const mean = (landmarks: readonly LandmarkId[], kernel: (typeof rule.value)['kernel']): Float64Array => {
    const track = rotationTrack(tracksOf(trial, landmarks), kernel, trial.clock, '', ws);
    return meanRotation(track.data, trial.clock.frames);
  };
  const technical = mean(rule.value.landmarks, rule.value.kernel);
  if (Number.isNaN(technical[0])) return absent('landmark-missing', 'all head landmarks in the same frame');
  const heading = new Float64Array([1, 0, 0, 0, 1, 0, 0, 0, 1]);
  const trunk = bestSet(trial, SEGMENT_RULES.pelvis);
  const facing = trunk.ok ? trunk : bestSet(trial, SEGMENT_RULES.thorax);
  if (facing.ok) {
    const angles = new Float64Array(3);
    anglesFromRotation(mean(facing.value.landmarks, facing.value.kernel), 0, 'YXZ', angles);
    if (!Number.isNaN(angles[0])) rotationFromAngles(angles[0]!, 0, 0, 'YXZ', heading);
  }
  const zero = new Float64Array(9);
  mulT3(technical, 0, heading, 0, zero, 0);
  return present(Array.from(zero));
}

/** The vertex above the floor, metres, where it is a height a person can have. */
function vertexHeight(trial: PlayerTrial): number | null {
  if (!hasLandmark(trial, 'VERTEX')) return null;
  const { frames } = trial.clock;
  const data = tracksOf(trial, ['VERTEX'])[0]!.data;
  const height = median(sampleFrames(frames).map((f) => data[frames + f]!));
  return height > 0.8 && height < 2.5 ? height : null;
}
