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
import { stageDiagnostic } from '../stages/diagnosticCodes.ts';
import { fillGaps } from '../stages/fillGaps.ts';
import { type RebuiltTrial, rebuildLandmarks } from '../stages/rebuildLandmarks.ts';
import { segmentPoses } from '../stages/segmentPoses.ts';
import { fileName } from '../stages/shared/landmarkGroups.ts';
import { smooth } from '../stages/smooth.ts';
import { toPlayerFrame } from '../stages/toPlayerFrame.ts';

/**
 * fillGaps → rebuildLandmarks → smooth → toPlayerFrame → segmentPoses → bodyCentre. What the plan's calibration lacks is taken from this trial, which a diagnostic says.
 * Whether the trial shows the player's body is asked before, by `checkBody`.
 */
export function motionFromMarkers(trial: MarkerTrial, plan: AnalysisPlan, ws: Workspace): Outcome<Motion> {
  const filled = fillGaps(trial, plan.gaps, ws);
  const rebuilt = rebuildLandmarks(filled.value.trial, plan.calibration?.clusters ?? [], ws);
  const smoothed = smooth(rebuilt.value.trial, plan.filter, ws);
  const inPlayer = toPlayerFrame(smoothed.value.trial, ws);
  const calibrated = calibrationOf(inPlayer.value, plan, ws);
  const calibration = calibrated.value;
  const gaps = withRebuilt(filled.value.quality, filled.diagnostics, rebuilt.value);
  const diagnostics: Diagnostic[] = [
    ...gaps.diagnostics,
    ...rebuilt.diagnostics,
    ...smoothed.diagnostics,
    ...calibrated.diagnostics,
  ];
  const quality = gaps.quality.map((entry) => withFlag(entry, smoothed.value.partlyUnfiltered));
  const motion = segmentPoses(inPlayer.value, { calibration, club: plan.club, quality }, ws);
  const whole = addBodyCentre(motion.value, inPlayer.value, plan.player, ws);
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

/**
 * Quality and diagnostics of the gaps after rebuilding: a marker of which nothing stays missing is 'rebuilt' and no longer 'gap-left', one that
 * the recording lacks altogether gets a row.
 */
function withRebuilt(
  quality: readonly MarkerQuality[],
  diagnostics: readonly Diagnostic[],
  { trial, rebuilt }: RebuiltTrial<MarkerTrial>,
): { quality: readonly MarkerQuality[]; diagnostics: readonly Diagnostic[] } {
  if (rebuilt.length === 0) return { quality, diagnostics };
  const { frames, rate_Hz } = trial.clock;
  const hand = trial.head.facts.hand.value;
  const made = new Map(rebuilt.map((one) => [fileName(one.landmark, hand), one]));
  const closed = new Set([...made].filter(([, { isWhole }]) => isWhole).map(([marker]) => marker));
  const rows = quality.map((entry): MarkerQuality => {
    if (!made.has(entry.marker)) return entry;
    const left = entry.flags.filter((flag) => flag !== 'gap-left' || !closed.has(entry.marker));
    return { ...entry, flags: [...left, 'rebuilt'] };
  });
  const known = new Set(quality.map(({ marker }) => marker));
  for (const [marker, { landmark, frames: count }] of made) {
    if (known.has(marker)) continue;
    rows.push({
      marker,
      frames,
      missing: frames,
      filled: 0,
      longestGap_s: frames / rate_Hz,
      noise_m: trial.points.get(landmark)!.noise,
      flags: [...(count < frames ? ['gap-left'] : []), 'rebuilt'],
    });
  }
  const isClosed = ({ code, message }: Diagnostic): boolean =>
    code === 'gap-left' && closed.has(message.slice(0, message.indexOf(':')));
  return { quality: rows, diagnostics: diagnostics.filter((one) => !isClosed(one)) };
}

function withFlag(quality: MarkerQuality, unfiltered: readonly string[]): MarkerQuality {
  return unfiltered.includes(quality.marker)
    ? { ...quality, flags: [...quality.flags, 'short-run-unfiltered'] }
    : quality;
}
