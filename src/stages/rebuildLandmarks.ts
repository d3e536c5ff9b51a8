/** Landmarks that are hidden or absent in a trial, carried there by the rest of their segment. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import { formatFixed } from '../base/format.ts';
import type { ClusterModel } from '../model/calibration.ts';
import type { GapOptions } from '../model/dayPlan.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import { MISSING } from '../model/track.ts';
import type { MarkerTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { stageDiagnostic } from './diagnosticCodes.ts';
import { ClusterCarrier, type ClusterFit } from './shared/clusterCarrier.ts';
import { clusterShape } from './shared/clusterShape.ts';
import { fileName, hasLandmark } from './shared/landmarkGroups.ts';
import { SEGMENT_CLUSTERS } from './shared/segmentClusters.ts';

/** A shape of the trial's own takes in only landmarks seen in this many of the frames looked at: medians of fewer keep half of the noise. */
const FEWEST_FRAMES = 8;

/** A landmark that was rebuilt. */
export interface Rebuilt {
  readonly landmark: LandmarkId;
  readonly frames: number;
  /** Largest noise per axis over that of the markers it rests on. */
  readonly gain: number;
}

export interface RebuiltTrial<T extends MarkerTrial> {
  readonly trial: T;
  /** Of the clusters of which a landmark is missing somewhere. */
  readonly fits: readonly ClusterFit[];
  readonly rebuilt: readonly Rebuilt[];
}

/**
 * Rigid body, the first that fills: landmarks that are missing while at least three others of their segment, not nearly on a line, are
 * there, from the least-squares pose of the segment's shape, reflection guarded (`fitPoseInto`). The shape is the static trial's
 * (`models`); for what that leaves of a landmark seen elsewhere in the trial, the shape of the trial's own frames (`clusterShape`).
 * A landmark that the trial shows elsewhere keeps the shift on the skin that it has on both sides of the gap, carried across in a straight
 * line in the segment's frame, so that no step is left; of such a landmark only gaps of at most `rigid_s` are filled (null: any). Frames are
 * refused where the cluster fits worse than 20 mm or the carried point would have more than three times the noise of a marker. Rebuilt
 * samples have state REBUILT and rest on measured ones alone. Runs after measureMarkers (whose noise it carries on) and before fillGaps;
 * tracks without a rebuilt sample are the input's own. The club is no cluster here: its shaft bends.
 */
export function rebuildLandmarks<T extends MarkerTrial>(
  trial: T,
  models: readonly ClusterModel[],
  { rigid_s }: Pick<GapOptions, 'rigid_s'>,
  ws: Workspace,
): Outcome<RebuiltTrial<T>> {
  const points = new Map(trial.points);
  const fits: ClusterFit[] = [];
  const rebuilt: Rebuilt[] = [];
  const diagnostics: Diagnostic[] = [];
  const longest_s = rigid_s ?? Number.POSITIVE_INFINITY;
  const carry = (model: ClusterModel, isStatic: boolean): void => {
    const cluster = new ClusterCarrier(trial, model, ws);
    const fit = cluster.fits();
    if (isStatic) fits.push(fit);
    for (let k = 0; k < model.landmarks.length; k++) {
      const landmark = model.landmarks[k]!;
      const made = cluster.rebuild(k, longest_s, points.get(landmark));
      if (made === null) continue;
      const name = fileName(landmark, trial.head.facts.hand.value);
      const tell = (code: 'landmark-rebuilt' | 'cluster-refused', message: string): void => {
        diagnostics.push(stageDiagnostic(code, `${name}: ${message}`));
      };
      if (made.frames > 0) {
        points.set(landmark, made.track);
        rebuilt.push({ landmark, frames: made.frames, gain: made.gain });
        const shape = isStatic ? 'its shape' : 'its shape in this trial';
        tell(
          'landmark-rebuilt',
          `${made.frames} of ${trial.clock.frames} frames from the rest of the ${model.segment}, which fits ${shape} within ${residualWords(fit)}`,
        );
      }
      const isTold = !isStatic && models.some(({ landmarks }) => landmarks.includes(landmark));
      if (made.nearLine > 0 && !isTold) {
        tell('cluster-refused', `in ${made.nearLine} frames the rest of the ${model.segment} is nearly a line`);
      }
      if (made.loose > 0 && !isTold) {
        tell(
          'cluster-refused',
          `in ${made.loose} frames the rest of the ${model.segment} is off its shape by more than 20 mm`,
        );
      }
    }
  };
  for (const model of models) if (!isComplete(trial.points, model.landmarks)) carry(model, true);
  if (longest_s > 0) {
    for (const cluster of SEGMENT_CLUSTERS) {
      const seen = cluster.landmarks.filter((id) => hasLandmark(trial, id));
      if (seen.length < 4 || isComplete(points, seen)) continue;
      const model = clusterShape(trial, cluster, ws, FEWEST_FRAMES);
      if (model !== null) carry(model, false);
    }
  }
  return { value: { trial: { ...trial, points }, fits, rebuilt }, diagnostics };
}

/** True where none of the landmarks is missing in any frame. */
function isComplete(points: MarkerTrial['points'], landmarks: readonly LandmarkId[]): boolean {
  return landmarks.every((id) => points.get(id)?.state.includes(MISSING) === false);
}

/** How well the cluster fits its shape: RMS and largest over the frames of a fit. */
function residualWords({ residual_m }: ClusterFit): string {
  let sum = 0;
  let n = 0;
  let most = 0;
  for (const residual of residual_m) {
    if (Number.isNaN(residual)) continue;
    sum += residual * residual;
    n += 1;
    most = Math.max(most, residual);
  }
  const mm = (metres: number): string => formatFixed(1000 * metres, 1);
  return `${mm(Math.sqrt(sum / n))} mm (RMS), ${mm(most)} mm at most`;
}
