/** The shape of a segment's landmarks on a trial. */

import type { ClusterModel } from '../../model/calibration.ts';
import type { LandmarkId } from '../../model/landmarks.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import { createPoseFit, fitPoseInto } from '../../numeric/poseFit.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { hasLandmark } from './landmarkGroups.ts';
import { median, sampleFrames } from './medians.ts';
import type { SegmentCluster } from './segmentClusters.ts';
import { gather, tracksOf } from './tracks.ts';

/** Three markers carry a fourth. */
const FEWEST_LANDMARKS = 4;
/** Shape from one frame, then medians over frames laid on it, twice: the second changes less than a tenth of the noise. */
const ROUNDS = 2;

/**
 * Shape of a segment's landmarks that the trial shows, each in any frame: medians over frames laid on one another. Null: fewer than four
 * landmarks, never three together, or nearly a line. With `least`, landmarks that are seen in fewer of the frames looked at are left out.
 */
export function clusterShape(
  trial: MarkerTrial,
  { segment, landmarks: all }: SegmentCluster,
  ws: Workspace,
  least = 1,
): ClusterModel | null {
  const landmarks = all.filter((id) => hasLandmark(trial, id));
  const count = landmarks.length;
  if (count < FEWEST_LANDMARKS) return null;
  const tracks = tracksOf(trial, landmarks);
  const { frames } = trial.clock;
  const sampled = sampleFrames(frames);
  const measured = ws.float64(3 * count);
  const fit = createPoseFit();
  const shape = new Float64Array(3 * count).fill(Number.NaN);
  let most = 0;
  for (const f of sampled) {
    gather(tracks, frames, f, measured);
    const seen = present(measured, count);
    if (seen <= most) continue;
    most = seen;
    shape.set(measured);
  }
  centre(shape, count);
  let residual_m = Number.NaN;
  for (let round = 0; round < ROUNDS; round++) {
    const local: number[][] = Array.from({ length: 3 * count }, () => []);
    let sum = 0;
    let n = 0;
    for (const f of sampled) {
      gather(tracks, frames, f, measured);
      if (fitPoseInto(fit, shape, measured, count) !== 'ok') continue;
      sum += fit.used * fit.rmsPerMarker * fit.rmsPerMarker;
      n += fit.used;
      const { R, L } = fit;
      for (let k = 0; k < count; k++) {
        if (Number.isNaN(measured[3 * k]!)) continue;
        const x = measured[3 * k]! - L[0]!;
        const y = measured[3 * k + 1]! - L[1]!;
        const z = measured[3 * k + 2]! - L[2]!;
        for (let c = 0; c < 3; c++) local[3 * k + c]!.push(R[c]! * x + R[3 + c]! * y + R[6 + c]! * z);
      }
    }
    if (n === 0) return null;
    residual_m = Math.sqrt(sum / n);
    for (let i = 0; i < shape.length; i++) shape[i] = local[i]!.length < least ? Number.NaN : median(local[i]!);
    centre(shape, count);
  }
  const known: LandmarkId[] = landmarks.filter((_id, k) => !Number.isNaN(shape[3 * k]!));
  if (known.length < FEWEST_LANDMARKS) return null;
  const places_m = Array.from(shape).filter((value) => !Number.isNaN(value));
  return { segment, landmarks: known, places_m, residual_m };
}

function present(points: Float64Array, count: number): number {
  let n = 0;
  for (let k = 0; k < count; k++) if (!Number.isNaN(points[3 * k]!)) n += 1;
  return n;
}

/** Origin to the mean of the points that are known. */
function centre(points: Float64Array, count: number): void {
  const n = present(points, count);
  for (let c = 0; c < 3; c++) {
    let sum = 0;
    for (let k = 0; k < count; k++) if (!Number.isNaN(points[3 * k + c]!)) sum += points[3 * k + c]!;
    for (let k = 0; k < count; k++) points[3 * k + c] = points[3 * k + c]! - sum / n;
  }
}
