/** The science of one trial, a stage a line. */

import type { AnalysisPlan } from '../model/analysisPlan.ts';
import { CATALOGUE } from '../model/catalogue.ts';
import { type FilterOptions, NO_FILTER } from '../model/dayPlan.ts';
import type { Quantity } from '../model/quantity.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import type { SwingSeries } from '../model/swingSeries.ts';
import type { Trial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { checkSwing } from '../stages/checkSwing.ts';
import { clubAtImpact } from '../stages/clubAtImpact.ts';
import { DEFAULT_CLUB_OPTIONS } from '../stages/clubDelivery.ts';
import { DEFAULT_POSITION_OPTIONS, findPositions, type PositionOptions } from '../stages/findPositions.ts';
import { frameSeries } from '../stages/frameSeries.ts';
import { jointAngles } from '../stages/jointAngles.ts';
import { DEFAULT_ORDER_OPTIONS, orderOfMotion } from '../stages/orderOfMotion.ts';
import { swingStretch } from '../stages/shared/sampling.ts';
import { zeroHeadings } from '../stages/zeroHeadings.ts';
import { motionFromMarkers } from './motionFromMarkers.ts';
import { motionFromSensors } from './motionFromSensors.ts';
import { swingRecord } from './swingRecord.ts';

/** A swing's record and, where the plan asks for it, the swing at every frame, which is kept apart. */
export interface AnalysedSwing extends SwingRecord {
  readonly series?: SwingSeries;
}

/**
 * From a trial, markers in the lab frame or sensors, to the record of its swing. The record owns its memory: the caller may reset the workspace afterwards.
 * `catalogue`: the quantities that are read, all unless only some are needed. Its diagnostics are those of the stages; the trial's own, from the intake, stay with the trial.
 */
export function analyseTrial(
  trial: Trial,
  plan: AnalysisPlan,
  ws: Workspace,
  catalogue: readonly Quantity[] = CATALOGUE,
): AnalysedSwing {
  const made = trial.source === 'markers' ? motionFromMarkers(trial, plan, ws) : motionFromSensors(trial, plan, ws);
  const found = findPositions(made.value, positionOptions(plan.filter), ws);
  const motion = zeroHeadings(made.value, found.value, ws);
  const stretch = plan.series === true ? null : swingStretch(found.value.moments, motion.value.clock);
  const angles = jointAngles(motion.value, plan.orders, ws, stretch);
  const club = clubAtImpact(motion.value, found.value, plan.club, DEFAULT_CLUB_OPTIONS, ws);
  const markers = trial.source === 'markers' ? trial : null;
  const check = { limits: plan.faults.limits, said: found.diagnostics };
  const checked = checkSwing(motion.value, found.value, markers, check, ws);
  const orderOptions = { ...DEFAULT_ORDER_OPTIONS, filter: motion.value.cutoffs ?? NO_FILTER };
  const order = orderOfMotion(motion.value, found.value, orderOptions, ws);
  const read = { motion: motion.value, angles: angles.value, found: found.value, club: club.value, order: order.value };
  const diagnostics = [made, motion, angles, found, checked, club].flatMap((outcome) => outcome.diagnostics);
  const record = swingRecord({ ...read, checked: checked.value }, catalogue, plan, diagnostics, ws);
  return plan.series === true ? { ...record, series: frameSeries({ ...read, markers }, catalogue, ws).value } : record;
}

/** With every filter off the data count as noise-free, and stillness too is judged without one (definitions 6). */
function positionOptions(filter: FilterOptions): PositionOptions {
  const off = Object.values(filter).every((cutoff_Hz) => cutoff_Hz === null);
  return off ? { ...DEFAULT_POSITION_OPTIONS, stillnessFilter_Hz: null } : DEFAULT_POSITION_OPTIONS;
}
