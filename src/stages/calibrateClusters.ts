/** The shape of every segment's landmarks on a static trial. */

import type { ClusterModel } from '../model/calibration.ts';
import type { MarkerTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { clusterShape } from './shared/clusterShape.ts';
import { SEGMENT_CLUSTERS } from './shared/segmentClusters.ts';

/**
 * Models of the segments that show at least four landmarks on the trial, in any frame; a segment whose landmarks are never three
 * together, or nearly a line, has none. Landmarks need not all be seen in one frame.
 */
export function calibrateClusters(trial: MarkerTrial, ws: Workspace): readonly ClusterModel[] {
  const models: ClusterModel[] = [];
  for (const cluster of SEGMENT_CLUSTERS) {
    const model = clusterShape(trial, cluster, ws);
    if (model !== null) models.push(model);
  }
  return models;
}
