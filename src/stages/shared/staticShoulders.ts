/** Shoulder and neck joint centres of a player from the thorax landmarks of a static trial. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { FixedPoint, PlayerCalibration, Vec3 } from '../../model/calibration.ts';
import type { PlayerPlan } from '../../model/dayPlan.ts';
import type { LandmarkId } from '../../model/landmarks.ts';
import type { PlayerTrial } from '../../model/trial.ts';
import { applyT3 } from '../../numeric/rotation.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { hasLandmark, landmarkWords } from './landmarkGroups.ts';
import { bestSet } from './landmarkSets.ts';
import { median, sampleFrames } from './medians.ts';
import { SEGMENT_RULES, type SegmentRule } from './segmentRules.ts';
import { neckCentre, shoulderCentre, shoulderCentreRab, shoulderRegressionName } from './shoulderCentres.ts';
import { gather, tracksOf } from './tracks.ts';

export interface StaticShoulders {
  readonly shoulders: PlayerCalibration['shoulders'];
  readonly neck: Avail<FixedPoint>;
}

/** Writes the centre from the carrying points `a` and the thorax landmarks `p` (IJ, PX, C7, T8 or its substitute) and axes R. */
type Centre = (a: Float64Array, p: Float64Array, R: Float64Array, out: Float64Array) => void;

/** Centres in the thorax frame, origin IJ, medians over frames: shoulders by the day file's rule, else Dumas and Wojtusch 2018; neck likewise. */
export function staticShoulders(
  trial: PlayerTrial,
  player: Pick<PlayerPlan, 'sex' | 'shoulderCentre'>,
  ws: Workspace,
): StaticShoulders {
  const thorax = bestSet(trial, SEGMENT_RULES.thorax);
  if (!thorax.ok) return { shoulders: thorax, neck: thorax };
  const { sex } = player;
  const neck = inThorax(
    trial,
    thorax.value,
    [],
    (_a, p, _R, out) => neckCentre(p.subarray(0, 3), p.subarray(6, 9), p.subarray(9, 12), sex, out),
    ws,
  );
  return {
    shoulders: shouldersOf(trial, thorax.value, player, ws),
    neck: Number.isNaN(neck[0])
      ? absent('landmark-missing', 'the thorax landmarks in the same frame')
      : present({ place: neck, regression: shoulderRegressionName(sex) }),
  };
}

function shouldersOf(
  trial: PlayerTrial,
  thorax: SegmentRule,
  { sex, shoulderCentre: method }: Pick<PlayerPlan, 'sex' | 'shoulderCentre'>,
  ws: Workspace,
): PlayerCalibration['shoulders'] {
  const acromia: LandmarkId[] = ['lead_AC', 'trail_AC'];
  const missing = acromia.filter((id) => !hasLandmark(trial, id));
  if (missing.length > 0) {
    return absent('landmark-missing', missing.map((id) => landmarkWords(id, trial.head.facts.hand.value)).join(', '));
  }
  const byRegression: Centre = (a, p, _R, out) =>
    shoulderCentre(a, p.subarray(0, 3), p.subarray(6, 9), p.subarray(9, 12), sex, out);
  const up = new Float64Array(3);
  const below: Centre = (a, _p, R, out) => {
    for (let c = 0; c < 3; c++) up[c] = R[3 * c + 1]!;
    shoulderCentreRab(a, a.subarray(3), up, out);
  };
  const [lead, trail] = (['lead', 'trail'] as const).map((side) => {
    const own: LandmarkId = `${side}_AC`;
    const other: LandmarkId = side === 'lead' ? 'trail_AC' : 'lead_AC';
    return method === 'rab'
      ? inThorax(trial, thorax, [own, other], below, ws)
      : inThorax(trial, thorax, [own], byRegression, ws);
  }) as [Vec3, Vec3];
  if (Number.isNaN(lead[0]) || Number.isNaN(trail[0])) {
    return absent('landmark-missing', 'the thorax landmarks and both AC in the same frame');
  }
  return present({ lead, trail, regression: shoulderRegressionName(sex, method) });
}

/** The median over frames of a centre in the thorax frame, origin IJ; NaN where its landmarks are never together. */
function inThorax(
  trial: PlayerTrial,
  thorax: SegmentRule,
  carriers: readonly LandmarkId[],
  centreOf: Centre,
  ws: Workspace,
): Vec3 {
  const tracks = tracksOf(trial, thorax.landmarks);
  const carrying = tracksOf(trial, carriers);
  const { frames } = trial.clock;
  const p = ws.float64(12);
  const R = ws.float64(9);
  const a = new Float64Array(3 * carriers.length);
  const centre = new Float64Array(3);
  const local: [number[], number[], number[]] = [[], [], []];
  for (const f of sampleFrames(frames)) {
    gather(tracks, frames, f, p);
    gather(carrying, frames, f, a);
    thorax.kernel(p, R, 0);
    centreOf(a, p, R, centre);
    for (let c = 0; c < 3; c++) centre[c] = centre[c]! - p[c]!;
    applyT3(R, 0, centre, centre);
    for (let c = 0; c < 3; c++) local[c]!.push(centre[c]!);
  }
  return [median(local[0]), median(local[1]), median(local[2])];
}
