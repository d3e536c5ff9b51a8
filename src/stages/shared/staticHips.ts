/** Hip and lumbar joint centres of a player from the pelvis landmarks of a static trial. */

import type { Diagnostic, Outcome } from '../../base/diagnostics.ts';
import { type Avail, absent, present } from '../../model/availability.ts';
import type { FixedPoint, PlayerCalibration } from '../../model/calibration.ts';
import type { PlayerPlan } from '../../model/dayPlan.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import { stageDiagnostic } from '../diagnosticCodes.ts';
import {
  bestHipCentre,
  dumasLumbar,
  HIP_METHOD_NEEDS,
  type HipSizes,
  hipCentreBy,
  type NamedHipCentre,
} from './hipCentres.ts';
import { bestSet } from './landmarkSets.ts';
import { median, medianDistance, sampleFrames } from './medians.ts';
import { SEGMENT_RULES } from './segmentRules.ts';
import { gather, tracksOf } from './tracks.ts';

export interface StaticHips {
  readonly hips: PlayerCalibration['hips'];
  readonly lumbar: Avail<FixedPoint>;
}

/**
 * Centres in the pelvis frame, origin mid-ASIS, by the regression the day file names, else by the best for what there is. Width, depth
 * (mid-ASIS to mid-PSIS) and leg length (straight distance ASIS to medial malleolus, mean of the sides that show it) are medians over
 * frames. A named regression whose landmarks are missing is replaced by the best, with a warning.
 */
export function staticHips(trial: MarkerTrial, player: Pick<PlayerPlan, 'sex' | 'hipCentre'>): Outcome<StaticHips> {
  const pelvis = bestSet(trial, SEGMENT_RULES.pelvis);
  if (!pelvis.ok) return { value: { hips: pelvis, lumbar: pelvis }, diagnostics: [] };
  const width_m = medianDistance(trial, 'lead_ASIS', 'trail_ASIS');
  const depth_m = pelvis.value.landmarks.includes('lead_PSIS') ? pelvicDepth(trial) : null;
  if (width_m === null) {
    const why = absent<never>('landmark-missing', 'both ASIS in the same frame');
    return { value: { hips: why, lumbar: why }, diagnostics: [] };
  }
  const sides = (['lead', 'trail'] as const)
    .map((side) => medianDistance(trial, `${side}_ASIS`, `${side}_MM`))
    .filter((length) => length !== null);
  const legLength_m = sides.length === 0 ? null : sides.reduce((sum, length) => sum + length, 0) / sides.length;
  const sizes: HipSizes = {
    width_mm: width_m * 1000,
    depth_mm: depth_m === null ? null : depth_m * 1000,
    leg_mm: legLength_m === null ? null : legLength_m * 1000,
    sex: player.sex,
  };
  const diagnostics: Diagnostic[] = [];
  const { centre_mm, regression } = chosen(sizes, player.hipCentre, diagnostics);
  const [x, y, z] = [centre_mm[0] / 1000, centre_mm[1] / 1000, centre_mm[2] / 1000];
  const lumbar_mm = dumasLumbar(sizes.width_mm, player.sex);
  return {
    value: {
      hips: present({
        width_m,
        depth_m: depth_m ?? Number.NaN,
        legLength_m,
        lead: [x, y, -z] as const,
        trail: [x, y, z] as const,
        regression,
      }),
      lumbar: present({
        place: [lumbar_mm[0] / 1000, lumbar_mm[1] / 1000, lumbar_mm[2] / 1000],
        regression: `Dumas and Wojtusch 2018, ${player.sex ?? 'mean of female and male'}`,
      }),
    },
    diagnostics,
  };
}

function chosen(sizes: HipSizes, method: PlayerPlan['hipCentre'], diagnostics: Diagnostic[]): NamedHipCentre {
  const best = bestHipCentre(sizes.width_mm, sizes.depth_mm, sizes.leg_mm);
  if (method === undefined) return best;
  const named = hipCentreBy(method, sizes);
  if (named !== null) return named;
  const message = `hip_centre: ${method} needs ${HIP_METHOD_NEEDS[method]}; ${best.regression} was used`;
  diagnostics.push(stageDiagnostic('hip-centre-replaced', message));
  return best;
}

/** Mid-ASIS to mid-PSIS, metres. */
function pelvicDepth(trial: MarkerTrial): number | null {
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
