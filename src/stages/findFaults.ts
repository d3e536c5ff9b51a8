/** Faults of single markers: found, named and, where it is clear, put right. */

import type { Outcome } from '../base/diagnostics.ts';
import { compareCodeUnits } from '../base/text.ts';
import type { ClusterModel } from '../model/calibration.ts';
import type { FaultOptions } from '../model/dayPlan.ts';
import type { Fault, FaultAction } from '../model/faults.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import type { MarkerTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { excursions } from './faults/excursions.ts';
import { faultDiagnostics } from './faults/faultDiagnostics.ts';
import type { Finding } from './faults/finding.ts';
import { type Leap, leapCandidates } from './faults/leapCandidates.ts';
import { Mending } from './faults/mending.ts';
import { type Neighbour, neighboursOf } from './faults/neighbours.ts';
import { isSeenByNeighbours } from './faults/seenByNeighbours.ts';
import { stuckMarkers } from './faults/stuckMarkers.ts';
import { swappedLabels } from './faults/swappedLabels.ts';
import { fileName } from './shared/landmarkGroups.ts';

export interface FaultlessTrial {
  /** The input itself where nothing was changed. */
  readonly trial: MarkerTrial;
  /** By first frame. */
  readonly faults: readonly Fault[];
}

/**
 * Finds markers that stick, labels that are swapped, then markers that leap off their place, each in what the finding before left.
 * With `repair`, swapped labels are exchanged back, and samples that are not the marker's own become MISSING, so that they make neither noise
 * nor an angle and the filling of gaps decides about them; what is not clear stays. Without, every sample stays. `models` are the shapes of
 * segments on the static trial. Runs before measureMarkers; the input's data are never changed.
 */
export function findFaults(
  trial: MarkerTrial,
  models: readonly ClusterModel[],
  { repair }: Pick<FaultOptions, 'repair'>,
  ws: Workspace,
): Outcome<FaultlessTrial> {
  const mending = new Mending(trial, ws);
  const faults: Fault[] = [];
  const settle = (finding: Finding): void => {
    const { markers, spans, clear } = finding;
    const isSwap = finding.code === 'labels-swapped';
    if (clear) {
      for (const span of spans) {
        if (isSwap) mending.exchange(markers[0]!, markers[1]!, span);
        else mending.remove(markers[0]!, span);
      }
    }
    faults.push(faultOf(finding, clear && repair ? (isSwap ? 'repaired' : 'removed') : 'kept', trial));
  };
  stuckMarkers(trial, ws).forEach(settle);
  const leaps = leapsOf(mending.trial, [...trial.points.keys()], ws);
  const swaps = swappedLabels(mending.trial, leaps, models);
  swaps.forEach(settle);
  const renamed = new Set(swaps.flatMap(({ markers }) => markers));
  const kept = new Set(swaps.flatMap(({ clear, markers }) => (clear ? [] : markers)));
  const left = leaps.filter(({ id }) => !renamed.has(id));
  const again = leapsOf(
    mending.trial,
    [...renamed].filter((id) => !kept.has(id)),
    ws,
  );
  for (const finding of leapingMarkers(mending.trial, [...left, ...again], models)) settle(finding);
  faults.sort((a, b) => (a.frames[0]?.[0] ?? 0) - (b.frames[0]?.[0] ?? 0));
  return {
    value: { trial: repair ? mending.trial : trial, faults },
    diagnostics: faultDiagnostics(faults),
  };
}

/** Candidates among these markers, the ball left out, which is struck. */
function leapsOf(trial: MarkerTrial, ids: readonly LandmarkId[], ws: Workspace): readonly Leap[] {
  const squares = ws.float64(trial.clock.frames);
  const blocks = ws.float64(Math.ceil(trial.clock.frames / 16));
  return ids.flatMap((id) => (id === 'BALL' ? [] : leapCandidates(id, trial.points.get(id)!, squares, blocks)));
}

function leapingMarkers(
  trial: MarkerTrial,
  candidates: readonly Leap[],
  models: readonly ClusterModel[],
): readonly Finding[] {
  if (candidates.length === 0) return [];
  const byMarker = new Map<LandmarkId, Leap[]>();
  for (const leap of candidates) byMarker.set(leap.id, [...(byMarker.get(leap.id) ?? []), leap]);
  return [...byMarker].flatMap(([id, leaps]): readonly Finding[] => {
    const track = trial.points.get(id)!;
    const alsoLeaps = (leap: Leap) => (other: Neighbour) =>
      (byMarker.get(other.id) ?? []).some(({ before, after }) => before < leap.after && leap.before < after);
    const seen = leaps
      .map((leap) => ({ leap, neighbours: neighboursOf(trial, leap) }))
      .filter(({ leap, neighbours }) => isSeenByNeighbours(leap, track, neighbours, alsoLeaps(leap)));
    return seen.length === 0 ? [] : excursions(trial, seen, models);
  });
}

function faultOf({ code, markers, spans, detail }: Finding, action: FaultAction, { head }: MarkerTrial): Fault {
  const names = markers.map((id) => fileName(id, head.facts.hand.value)).sort(compareCodeUnits);
  return { code, markers: names, frames: spans, action, detail };
}
