/** Functional trials of markers: hip centres from movement, joined to the player's calibration before the swings. */
import type { Diagnostic } from '../base/diagnostics.ts';
import type { PlayerCalibration } from '../model/calibration.ts';
import type { PlayerPlan, TrialPlan } from '../model/dayPlan.ts';
import type { MarkerTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { checkBody } from '../stages/checkBody.ts';
import { fillGaps } from '../stages/fillGaps.ts';
import { type FunctionalHips, functionalHips, withFunctionalHips } from '../stages/functionalHips.ts';
import { leftGaps } from '../stages/leftGaps.ts';
import { measureMarkers } from '../stages/measureMarkers.ts';
import { smooth } from '../stages/smooth.ts';
import { pipelineDiagnostic } from './diagnosticCodes.ts';
import { Refused, refuseWarnings } from './refusals.ts';

export interface FunctionalContext {
  readonly ws: Workspace;
  readonly strict: boolean;
  readonly calibrations: Map<string, PlayerCalibration>;
  /** Hip centres found so far, by player: each leg may have a trial of its own. */
  readonly functional: Map<string, FunctionalHips>;
}

/** Leg swings of markers for the hip centres: functional trials without a movement, which only sensors have. */
export function isLegSwing(trial: Pick<TrialPlan, 'role' | 'movement'>): boolean {
  return trial.role === 'functional' && trial.movement === null;
}

/** Why leg swings are not looked at, or null. */
export function unusedLegSwing(player: PlayerPlan, { calibrations }: FunctionalContext): string | null {
  if (player.hipCentre !== undefined) return `the day file names hip_centre: ${player.hipCentre} for ${player.id}`;
  return calibrations.has(player.id) ? null : 'hip centres from movement need a static trial of the player';
}

/**
 * measureMarkers → fillGaps → smooth → functionalHips. The player's calibration changes as soon as both sides have a centre. Appends to `diagnostics`.
 * @throws Refused for another body, for a trial that gives no centre, with --strict for any warning
 */
export function useLegSwing(
  trial: MarkerTrial,
  planned: TrialPlan,
  player: PlayerPlan,
  context: FunctionalContext,
  diagnostics: Diagnostic[],
): void {
  const calibration = context.calibrations.get(player.id);
  if (calibration === undefined) throw new RangeError(`${player.id} has no calibration`);
  const { other } = checkBody(trial, calibration);
  if (other !== null) throw new Refused({ ...other, needed: `this is not ${other.needed}` });
  const measured = measureMarkers(trial, context.ws);
  const filled = fillGaps(measured.trial, planned.gaps, context.ws);
  const smoothed = smooth(filled.value, planned.filter, context.ws);
  const options = { pelvisSet: calibration.sets['pelvis'] ?? null };
  const { value: found, diagnostics: own } = functionalHips(smoothed.value.trial, options, context.ws);
  const gaps = leftGaps(filled.value, measured.quality);
  diagnostics.push(...filled.diagnostics, ...gaps.diagnostics, ...smoothed.diagnostics, ...own);
  const { lead, trail } = found;
  if (!lead.ok && !trail.ok) {
    throw new Refused({ ...lead.why, needed: [...new Set([lead.why.needed, trail.why.needed])].join('; ') });
  }
  const before = context.functional.get(player.id);
  const merged: FunctionalHips = {
    lead: lead.ok || before === undefined ? lead : before.lead,
    trail: trail.ok || before === undefined ? trail : before.trail,
  };
  diagnostics.push(...notesOf(found, merged, trial.head.facts.hand.value));
  if (context.strict) refuseWarnings(diagnostics);
  context.functional.set(player.id, merged);
  context.calibrations.set(player.id, withFunctionalHips(calibration, merged));
}

/** Each centre with its residual; and that one alone is not used. */
function notesOf(found: FunctionalHips, merged: FunctionalHips, hand: 'left' | 'right'): readonly Diagnostic[] {
  const notes: Diagnostic[] = [];
  for (const side of ['lead', 'trail'] as const) {
    const hip = found[side];
    if (!hip.ok) continue;
    const name = (side === 'lead') === (hand === 'right') ? 'left' : 'right';
    const { residual_m, range_rad, fromRegression_m, frames } = hip.value;
    const mm = (length_m: number): string => `${Math.round(10_000 * length_m) / 10} mm`;
    const [a, b] = range_rad.map((angle) => Math.round((angle * 180) / Math.PI));
    const message = `${name} hip: residual ${mm(residual_m)} over ${frames} frames, thigh moved ${a}° by ${b}°, ${mm(fromRegression_m)} from the regression`;
    notes.push(pipelineDiagnostic('functional-hip', message));
  }
  if (!(merged.lead.ok && merged.trail.ok)) {
    const message = 'the regression holds until both hips have a centre from movement';
    notes.push(pipelineDiagnostic('functional-hip-alone', message));
  }
  return notes;
}
