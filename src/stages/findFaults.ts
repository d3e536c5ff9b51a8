/** Faults of single markers: found, named and, where it is clear, put right. */

import type { Outcome } from '../base/diagnostics.ts';
import { compareCodeUnits } from '../base/text.ts';
import type { FaultOptions } from '../model/dayPlan.ts';
import type { Fault, FaultAction } from '../model/faults.ts';
import type { MarkerTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { faultDiagnostics } from './faults/faultDiagnostics.ts';
import type { Finding } from './faults/finding.ts';
import { Mending } from './faults/mending.ts';
import { stuckMarkers } from './faults/stuckMarkers.ts';
import { fileName } from './shared/landmarkGroups.ts';

export interface FaultlessTrial {
  /** The input itself where nothing was changed. */
  readonly trial: MarkerTrial;
  /** By first frame. */
  readonly faults: readonly Fault[];
}

/**
 * Finds markers that stick. With `repair`, what is not the marker's own becomes MISSING, so that it neither makes noise nor an angle and the
 * filling of gaps decides about it. Without, every sample stays. Runs before measureMarkers; the input's data are never changed.
 */
export function findFaults(trial: MarkerTrial, { repair }: FaultOptions, ws: Workspace): Outcome<FaultlessTrial> {
  const mending = new Mending(trial, ws);
  const faults: Fault[] = [];
  for (const finding of stuckMarkers(trial, ws)) {
    const action: FaultAction = repair && finding.clear ? 'removed' : 'kept';
    if (action === 'removed') for (const span of finding.spans) mending.remove(finding.markers[0]!, span);
    faults.push(faultOf(finding, action, trial));
  }
  faults.sort((a, b) => (a.frames[0]?.[0] ?? 0) - (b.frames[0]?.[0] ?? 0));
  return { value: { trial: mending.trial, faults }, diagnostics: faultDiagnostics(faults) };
}

function faultOf({ code, markers, spans, detail }: Finding, action: FaultAction, { head }: MarkerTrial): Fault {
  const names = markers.map((id) => fileName(id, head.facts.hand.value)).sort(compareCodeUnits);
  return { code, markers: names, frames: spans, action, detail };
}
