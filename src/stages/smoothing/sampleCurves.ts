/** The curves that the rules of the filter choice read, sampled so that they can be drawn. */

import type { CutoffCurves, Sampled } from '../../model/cutoffCurves.ts';
import { type Cutoffs, FILTER_GROUPS, type FilterGroup } from '../../model/dayPlan.ts';
import type { LandmarkId } from '../../model/landmarks.ts';
import type { MarkerTrial } from '../../model/trial.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { isOfGroup } from './chooseCutoffs.ts';
import { canChoose, chooseCutoff, cutoffsFor, residualOf, splineErrorOf, tailOf, whitenessOf } from './cutoffCurves.ts';
import { fastPart, type Stretch, stretchOf } from './movingStretch.ts';

/** The curve of the residual is drawn from here, where it is steep, to the end of its tail. */
const FIRST_HZ = 2;
const STEP_HZ = 1;

/**
 * Curves of each segment group that has half a second of measured samples in the fast part; none where the rate leaves nothing to
 * choose from. `trial` as it is smoothed, `used` what it is smoothed with.
 */
export function sampleCurves(trial: MarkerTrial, used: Cutoffs, ws: Workspace): readonly CutoffCurves[] {
  const { rate_Hz } = trial.clock;
  if (!canChoose(rate_Hz)) return [];
  const part = fastPart(trial);
  return FILTER_GROUPS.flatMap((group) => {
    const ids: LandmarkId[] = [...trial.points]
      .filter(([id, { state }]) => isOfGroup(group, id, state))
      .map(([id]) => id);
    if (ids.length === 0) return [];
    const stretch = stretchOf(trial.points, ids, part, ws);
    return stretch.markers === 0 ? [] : [curvesOf(group, stretch, used, rate_Hz, ws)];
  });
}

function curvesOf(group: FilterGroup, stretch: Stretch, used: Cutoffs, rate_Hz: number, ws: Workspace): CutoffCurves {
  const rms = residualOf(stretch, rate_Hz, FIRST_HZ, ws);
  const tail = tailOf(rms, rate_Hz);
  const count = Math.floor((tail.to_Hz - FIRST_HZ) / STEP_HZ) + 1;
  const wide = Array.from({ length: count }, (_, i) => FIRST_HZ + i * STEP_HZ);
  const choosable = cutoffsFor(rate_Hz);
  const choice = (method: keyof CutoffCurves['choices_Hz']): number =>
    chooseCutoff(method, stretch, rate_Hz, ws).cutoff_Hz;
  return {
    group,
    markers: stretch.markers,
    used_Hz: used[group],
    rule: used.chosen?.[group] ?? null,
    residual: sampled(wide, rms),
    tail,
    autocorrelation: sampled(choosable, whitenessOf(stretch, rate_Hz, ws)),
    crossValidation: sampled(choosable, splineErrorOf(stretch, rate_Hz, ws)),
    choices_Hz: {
      residual: choice('residual'),
      autocorrelation: choice('autocorrelation'),
      'cross-validation': choice('cross-validation'),
    },
  };
}

function sampled(cutoffs_Hz: readonly number[], curve: (cutoff_Hz: number) => number): Sampled {
  return { cutoffs_Hz, values: cutoffs_Hz.map(curve) };
}
