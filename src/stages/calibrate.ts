/** What is fixed once per player: joint centres in their segments, the head's zero, body lengths. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import { type Avail, absent, present } from '../model/availability.ts';
import type { PlayerCalibration, Vec3 } from '../model/calibration.ts';
import type { PlayerPlan } from '../model/dayPlan.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import { SEGMENTS } from '../model/motion.ts';
import type { PlayerTrial } from '../model/trial.ts';
import { anglesFromRotation, rotationFromAngles } from '../numeric/eulerAngles.ts';
import { applyT3, meanRotation, mulT3 } from '../numeric/rotation.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { stageDiagnostic } from './diagnosticCodes.ts';
import { pointSets } from './shared/bodyPoints.ts';
import { bestHipCentre } from './shared/hipCentres.ts';
import { hasLandmark, landmarkWords } from './shared/landmarkGroups.ts';
import { bestSet } from './shared/landmarkSets.ts';
import { BODY_LENGTHS, lengthName, median, medianDistance, sampleFrames } from './shared/medians.ts';
import { SEGMENT_RULES } from './shared/segmentRules.ts';
import { shoulderCentre, shoulderRegressionName } from './shared/shoulderCentres.ts';
import { gather, rotationTrack, tracksOf } from './shared/tracks.ts';

/**
 * Calibration of a player from a static trial in the player frame, or from a swing where there is none (`source` is then null and the
 * head is not zeroed). Lengths and joint centres are medians over at most 240 frames. Hips: Harrington 2007 with PSIS, Hara 2016 without,
 * Bell 1990 where neither PSIS nor leg length is known; leg length is the straight distance ASIS to medial malleolus, mean of both sides.
 * Shoulders: Dumas and Wojtusch 2018 from the acromion, by sex. Head: zero means upright and facing where the pelvis (else the thorax)
 * faces, so a player who stands turned in the laboratory is zeroed alike. Height: the day file's, else the vertex above the floor (y = 0)
 * of a static trial.
 */
export function calibrate(trial: PlayerTrial, player: PlayerPlan, ws: Workspace): Outcome<PlayerCalibration> {
  const diagnostics: Diagnostic[] = [];
  const isStatic = trial.head.role === 'static';
  if (!isStatic) {
    diagnostics.push(stageDiagnostic('calibrated-on-itself', 'joint centres were fixed from this trial itself'));
  }
  const shoulders = shouldersOf(trial, player.sex, ws);
  if (shoulders.ok && player.sex === null) {
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
      hips: hipsOf(trial),
      shoulders,
      head: isStatic ? headZero(trial, ws) : absent('no-static-trial', 'a static trial of the player'),
      sets: { ...segmentSets(trial), ...pointSets(trial) },
      lengths_m,
      height_m: player.height_m ?? (isStatic ? vertexHeight(trial) : null),
    },
    diagnostics,
  };
}

/** Names of the sets that the trial shows best, by segment. */
function segmentSets(trial: PlayerTrial): Record<string, string> {
  const sets: Record<string, string> = {};
  for (const segment of SEGMENTS) {
    const found = bestSet(trial, SEGMENT_RULES[segment]);
    if (found.ok) sets[segment] = found.value.name;
  }
  return sets;
}

function hipsOf(trial: PlayerTrial): PlayerCalibration['hips'] {
  const pelvis = bestSet(trial, SEGMENT_RULES.pelvis);
  if (!pelvis.ok) return pelvis;
  const width_m = medianDistance(trial, 'lead_ASIS', 'trail_ASIS');
  const depth_m = pelvis.value.landmarks.includes('lead_PSIS') ? pelvicDepth(trial) : null;
  if (width_m === null) return absent('landmark-missing', 'both ASIS in the same frame');
  const sides = (['lead', 'trail'] as const)
    .map((side) => medianDistance(trial, `${side}_ASIS`, `${side}_MM`))
    .filter((length) => length !== null);
  const legLength_m = sides.length === 0 ? null : sides.reduce((sum, length) => sum + length, 0) / sides.length;
  const { centre_mm, regression } = bestHipCentre(
    width_m * 1000,
    depth_m === null ? null : depth_m * 1000,
    legLength_m === null ? null : legLength_m * 1000,
  );
  const [x, y, z] = [centre_mm[0] / 1000, centre_mm[1] / 1000, centre_mm[2] / 1000];
  return present({
    width_m,
    depth_m: depth_m ?? Number.NaN,
    legLength_m,
    lead: [x, y, -z] as const,
    trail: [x, y, z] as const,
    regression,
  });
}

/** Mid-ASIS to mid-PSIS, metres. */
function pelvicDepth(trial: PlayerTrial): number | null {
  const tracks = tracksOf(trial, ['lead_ASIS', 'trail_ASIS', 'lead_PSIS', 'trail_PSIS']);
  const { frames } = trial.clock;
  const p = new Float64Array(12);
  const depth = median(
    sampleFrames(frames).map((f) => {
      gather(tracks, frames, f, p);
      const x = p[0]! + p[3]! - p[6]! - p[9]!;
      const y = p[1]! + p[4]! - p[7]! - p[10]!;
      const z = p[2]! + p[5]! - p[8]! - p[11]!;
      return Math.sqrt(x * x + y * y + z * z) / 2;
    }),
  );
  return Number.isNaN(depth) ? null : depth;
}

function shouldersOf(trial: PlayerTrial, sex: PlayerPlan['sex'], ws: Workspace): PlayerCalibration['shoulders'] {
  const thorax = bestSet(trial, SEGMENT_RULES.thorax);
  if (!thorax.ok) return thorax;
  const acromia: LandmarkId[] = ['lead_AC', 'trail_AC'];
  const missing = acromia.filter((id) => !hasLandmark(trial, id));
  if (missing.length > 0) {
    return absent('landmark-missing', missing.map((id) => landmarkWords(id, trial.head.facts.hand.value)).join(', '));
  }
  const tracks = tracksOf(trial, thorax.value.landmarks);
  const { frames } = trial.clock;
  const p = ws.float64(12);
  const R = ws.float64(9);
  const centre = new Float64Array(3);
  const places: Vec3[] = acromia.map((id) => {
    const acromion = tracksOf(trial, [id]);
    const a = new Float64Array(3);
    const local: [number[], number[], number[]] = [[], [], []];
    for (const f of sampleFrames(frames)) {
      gather(tracks, frames, f, p);
      gather(acromion, frames, f, a);
      thorax.value.kernel(p, R, 0);
      shoulderCentre(a, p.subarray(0, 3), p.subarray(6, 9), p.subarray(9, 12), sex, centre);
      for (let c = 0; c < 3; c++) centre[c] = centre[c]! - p[c]!;
      applyT3(R, 0, centre, centre);
      for (let c = 0; c < 3; c++) local[c]!.push(centre[c]!);
    }
    return [median(local[0]), median(local[1]), median(local[2])];
  });
  const [lead, trail] = places as [Vec3, Vec3];
  if (Number.isNaN(lead[0]) || Number.isNaN(trail[0])) {
    return absent('landmark-missing', 'the thorax landmarks and both AC in the same frame');
  }
  return present({ lead, trail, regression: shoulderRegressionName(sex) });
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
