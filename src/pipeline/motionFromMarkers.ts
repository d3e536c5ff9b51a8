/** Markers to motion: the order of the stages, the diagnostics gathered. */

import type { Diagnostic, Outcome } from '../base/diagnostics.ts';
import type { AnalysisPlan } from '../model/analysisPlan.ts';
import type { Avail } from '../model/availability.ts';
import type { PlayerCalibration } from '../model/calibration.ts';
import type { PlayerPlan } from '../model/dayPlan.ts';
import type { Motion } from '../model/motion.ts';
import type { MarkerQuality, MarkerTrial, PlayerTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { bodyCentre } from '../stages/bodyCentre.ts';
import { calibrate } from '../stages/calibrate.ts';
import { checkSegments } from '../stages/checkSegments.ts';
import { stageDiagnostic } from '../stages/diagnosticCodes.ts';
import { fillComponents } from '../stages/fillComponents.ts';
import { fillGaps } from '../stages/fillGaps.ts';
import { findFaults } from '../stages/findFaults.ts';
import { leftGaps } from '../stages/leftGaps.ts';
import { measureMarkers } from '../stages/measureMarkers.ts';
import { rebuildLandmarks } from '../stages/rebuildLandmarks.ts';
import { segmentPoses } from '../stages/segmentPoses.ts';
import { smooth } from '../stages/smooth.ts';
import { sampleCurves } from '../stages/smoothing/sampleCurves.ts';
import { toPlayerFrame } from '../stages/toPlayerFrame.ts';
import { widenFilled } from '../stages/widenFilled.ts';

/**
 * findFaults → measureMarkers → checkSegments → rebuildLandmarks → fillGaps → fillComponents → smooth → widenFilled → toPlayerFrame → segmentPoses → bodyCentre. What the plan's calibration lacks is taken from this
 * trial, which a diagnostic says.
 * Whether the trial shows the player's body is asked before, by `checkBody`.
 */
export function motionFromMarkers(trial: MarkerTrial, plan: AnalysisPlan, ws: Workspace): Outcome<Motion> {
  const clusters = plan.calibration?.clusters ?? [];
  const mended = findFaults(trial, clusters, plan.faults, ws);
  const measured = measureMarkers(mended.value.trial, ws);
  const check = {
    limits: plan.faults.limits,
    calibration: plan.calibration,
    known: mended.value.faults,
  };
  const segments = checkSegments(measured.trial, check, ws);
  const rebuilt = rebuildLandmarks(measured.trial, clusters, plan.gaps, ws);
  const splined = fillGaps(rebuilt.value.trial, plan.gaps, ws);
  const filled = fillComponents(splined.value, plan.gaps, ws);
  const smoothed = smooth(filled.value, plan.filter, ws);
  const widened = widenFilled(smoothed.value.trial, filled.value, ws);
  const inPlayer = toPlayerFrame(widened, ws);
  const calibrated = calibrationOf(inPlayer.value, plan, ws);
  const calibration = calibrated.value;
  const gaps = leftGaps(filled.value, measured.quality);
  const diagnostics: Diagnostic[] = [
    ...mended.diagnostics,
    ...segments.diagnostics,
    ...rebuilt.diagnostics,
    ...splined.diagnostics,
    ...filled.diagnostics,
    ...gaps.diagnostics,
    ...smoothed.diagnostics,
    ...calibrated.diagnostics,
  ];
  const quality = gaps.value.map((entry) => withFlag(entry, smoothed.value.partlyUnfiltered));
  const motion = segmentPoses(inPlayer.value, { calibration, club: plan.club, quality }, ws);
  const faults = [...(trial.faults ?? []), ...mended.value.faults, ...segments.value];
  const found = faults.length === 0 ? {} : { faults };
  const { cutoffs } = smoothed.value;
  const curves = plan.residuals === true ? { cutoffCurves: sampleCurves(filled.value, cutoffs, ws) } : {};
  const whole = addBodyCentre({ ...motion.value, cutoffs, ...found, ...curves }, inPlayer.value, plan.player, ws);
  return { value: whole.value, diagnostics: [...diagnostics, ...motion.diagnostics, ...whole.diagnostics] };
}

/** The motion with `body_centre` (absent with its reason where the body is not whole enough), the rule behind it and the player's mass. */
function addBodyCentre(motion: Motion, trial: PlayerTrial, player: PlayerPlan, ws: Workspace): Outcome<Motion> {
  const { value: centre, diagnostics } = bodyCentre(trial, motion.points, player.sex, ws);
  const points = new Map(motion.points);
  points.set('body_centre', centre.ok ? { ok: true, value: centre.value.track } : centre);
  const rule = centre.ok ? { massRule: centre.value.rule } : {};
  return { value: { ...motion, points, mass_kg: player.mass_kg, ...rule }, diagnostics };
}

/** The plan's calibration; what it lacks, or all of it, from the trial itself. */
function calibrationOf(trial: PlayerTrial, plan: AnalysisPlan, ws: Workspace): Outcome<PlayerCalibration> {
  const given = plan.calibration;
  if (given === null) return calibrate(trial, plan.player, ws);
  if (given.hips.ok && given.shoulders.ok) return { value: given, diagnostics: [] };
  const own = calibrate(trial, plan.player, ws).value;
  const diagnostics: Diagnostic[] = [];
  const orOwn = <T>(joint: string, fixed: Avail<T>, ofTrial: Avail<T>): Avail<T> => {
    if (fixed.ok || !ofTrial.ok) return fixed;
    const message = `the ${joint} centres were fixed from this trial: the static trial lacks ${fixed.why.needed}`;
    diagnostics.push(stageDiagnostic('calibrated-on-itself', message));
    return ofTrial;
  };
  const hips = orOwn('hip', given.hips, own.hips);
  const shoulders = orOwn('shoulder', given.shoulders, own.shoulders);
  return { value: { ...given, hips, shoulders }, diagnostics };
}

function withFlag(quality: MarkerQuality, unfiltered: readonly string[]): MarkerQuality {
  return unfiltered.includes(quality.marker)
    ? { ...quality, flags: [...quality.flags, 'short-run-unfiltered'] }
    : quality;
}
