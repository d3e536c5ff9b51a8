/** Faults that show only when the swings of a day are seen together. */

import { headPointFaults } from '../compare/headPoints.ts';
import { DEFAULT_BODY_FAULT_LIMITS } from '../model/bodyFaultLimits.ts';
import type { TrialPlan } from '../model/dayPlan.ts';
import { faultDiagnostics } from '../stages/faults/faultDiagnostics.ts';
import type { BriefOutcome } from './swingBrief.ts';

/**
 * The outcomes with `head-point-changes` in the swings concerned and its diagnostic beside it. After all trials of the day, so that their order
 * does not matter; the order of the outcomes is kept.
 */
export function withHeadPoints(
  outcomes: readonly BriefOutcome[],
  trials: readonly Pick<TrialPlan, 'id' | 'faults'>[],
): readonly BriefOutcome[] {
  const records = outcomes.flatMap(({ record }) => (record === null ? [] : [record]));
  const limits = new Map(trials.map(({ id, faults }) => [id, faults.limits.headPoint_m]));
  const found = headPointFaults(records, (trial) => limits.get(trial) ?? DEFAULT_BODY_FAULT_LIMITS.headPoint_m);
  if (found.size === 0) return outcomes;
  return outcomes.map((outcome) => {
    const fault = found.get(outcome.trial);
    if (fault === undefined || outcome.record === null) return outcome;
    const said = faultDiagnostics([fault]);
    const record = { ...outcome.record, faults: [...(outcome.record.faults ?? []), fault] };
    return { ...outcome, record, diagnostics: [...outcome.diagnostics, ...said] };
  });
}
