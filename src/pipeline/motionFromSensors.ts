/** Sensors to motion: the order of the stages, the diagnostics gathered. */

import type { Outcome } from '../base/diagnostics.ts';
import type { AnalysisPlan } from '../model/analysisPlan.ts';
import type { Avail } from '../model/availability.ts';
import type { Vec3 } from '../model/calibration.ts';
import type { Motion } from '../model/motion.ts';
import type { SensorCalibration, SensorPlace } from '../model/sensors.ts';
import type { SensorTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { alignClocks } from '../stages/alignClocks.ts';
import { orientSensors } from '../stages/orientSensors.ts';
import { sensorPoses } from '../stages/sensorPoses.ts';

/**
 * alignClocks → orientSensors → sensorPoses. Where the address is too short to show a sensor's bias, that of its still pose (a club's: of the
 * hanging trial) is taken. Throws RangeError for a plan without what a trial of sensors needs.
 */
export function motionFromSensors(trial: SensorTrial, plan: AnalysisPlan, ws: Workspace): Outcome<Motion> {
  if (plan.sensors === null) throw new RangeError(`the plan of ${trial.head.trial} has no sensors`);
  const { calibration } = plan.sensors;
  const bias = biasesOf(calibration, plan.club?.id ?? null);
  const aligned = alignClocks(trial, plan.sensors.plan, ws);
  const oriented = orientSensors(aligned.value, { plan: plan.sensors.plan, bias }, ws);
  const height_m = plan.player.height_m ?? plan.calibration?.height_m ?? null;
  const options = { plan: plan.sensors.plan, calibration, club: plan.club, height_m };
  const motion = sensorPoses(aligned.value, oriented.value, options, ws);
  return { value: motion.value, diagnostics: [...aligned.diagnostics, ...oriented.diagnostics, ...motion.diagnostics] };
}

/** Bias of each sensor in its still pose, where there is one. */
function biasesOf(calibration: Avail<SensorCalibration>, club: string | null): ReadonlyMap<SensorPlace, Vec3> {
  const biases = new Map<SensorPlace, Vec3>();
  if (!calibration.ok) return biases;
  const { mountings, clubs } = calibration.value;
  const ofClub = club === null ? undefined : clubs.get(club);
  for (const [place, mounting] of [...mountings, ...(ofClub === undefined ? [] : [['club', ofClub] as const])]) {
    if (mounting.ok && !Number.isNaN(mounting.value.bias_radPerS[0])) biases.set(place, mounting.value.bias_radPerS);
  }
  return biases;
}
