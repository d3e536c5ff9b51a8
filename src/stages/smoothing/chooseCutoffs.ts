/** Cutoffs that a trial's own samples choose, one a segment group. */

import type { Diagnostic, Outcome } from '../../base/diagnostics.ts';
import {
  type CutoffMethod,
  type Cutoffs,
  DEFAULT_FILTER,
  FILTER_GROUPS,
  type FilterGroup,
  type FilterOptions,
} from '../../model/dayPlan.ts';
import type { LandmarkId } from '../../model/landmarks.ts';
import { MISSING } from '../../model/track.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { stageDiagnostic } from '../diagnosticCodes.ts';
import { filterGroupOf } from '../shared/landmarkGroups.ts';
import { canChoose, chooseCutoff } from './cutoffCurves.ts';
import { fastPart, LEAST_STRETCH_S, stretchOf } from './movingStretch.ts';

const WORDS: Readonly<Record<FilterGroup, string>> = {
  trunk_Hz: 'trunk',
  head_Hz: 'head',
  legs_Hz: 'legs',
  upperArm_Hz: 'upper arm',
  forearm_Hz: 'forearm',
};

/**
 * The options with each rule replaced by the cutoff that it finds for its group in this trial. All markers and axes of a group make one
 * curve, each over its own noise, so that a noisy marker does not decide (Woltring 1986 weighs several series alike). A group without
 * half a second of measured samples in the fast part keeps the default cutoff, which a diagnostic says; a group without markers has none.
 */
export function chooseCutoffs(trial: MarkerTrial, options: FilterOptions, ws: Workspace): Outcome<Cutoffs> {
  const cutoffs: Record<FilterGroup, number | null> = { ...DEFAULT_FILTER };
  const chosen: Partial<Record<FilterGroup, CutoffMethod>> = {};
  const diagnostics: Diagnostic[] = [];
  let part: readonly [number, number] | null = null;
  for (const group of FILTER_GROUPS) {
    const wanted = options[group];
    if (wanted === null || typeof wanted === 'number') {
      cutoffs[group] = wanted;
      continue;
    }
    const ids = [...trial.points].filter(([id, { state }]) => isOfGroup(group, id, state)).map(([id]) => id);
    if (ids.length === 0) {
      cutoffs[group] = null;
      continue;
    }
    part ??= fastPart(trial);
    const { rate_Hz } = trial.clock;
    const stretch = stretchOf(trial.points, ids, part, ws);
    if (stretch.markers === 0 || !canChoose(rate_Hz)) {
      const why = canChoose(rate_Hz)
        ? `no marker was measured for ${LEAST_STRETCH_S} s without a gap around the swing`
        : `${rate_Hz} frames per second leave nothing to choose from`;
      const message = `${WORDS[group]}: ${why}; the default of ${DEFAULT_FILTER[group]} Hz was used`;
      diagnostics.push(stageDiagnostic('cutoff-not-chosen', message));
      continue;
    }
    const { cutoff_Hz, limit } = chooseCutoff(wanted, stretch, rate_Hz, ws);
    cutoffs[group] = cutoff_Hz;
    chosen[group] = wanted;
    if (limit !== null) {
      const message = `${WORDS[group]}: ${wanted} asks for a ${limit === 'lowest' ? 'lower' : 'higher'} cutoff than ${cutoff_Hz} Hz, the ${limit} that is used`;
      diagnostics.push(stageDiagnostic('cutoff-at-limit', message));
    }
  }
  return { value: Object.keys(chosen).length === 0 ? cutoffs : { ...cutoffs, chosen }, diagnostics };
}

/** True of a landmark of the group that has any sample. */
export function isOfGroup(group: FilterGroup, id: LandmarkId, state: Uint8Array): boolean {
  return filterGroupOf(id) === group && state.some((sample) => sample !== MISSING);
}
