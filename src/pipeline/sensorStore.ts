/** What the still poses, movements and hanging clubs of a day give the swings: one calibration for each still pose. */
import type { Diagnostic } from '../base/diagnostics.ts';
import { type Avail, absent, present } from '../model/availability.ts';
import type { ClubPlan, PlayerPlan, TrialPlan } from '../model/dayPlan.ts';
import type { Movement, SensorCalibration, StandingPose } from '../model/sensors.ts';
import type { SensorTrial } from '../model/trial.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { calibrateSensors } from '../stages/calibrateSensors.ts';
import { pipelineDiagnostic } from './diagnosticCodes.ts';

/** A trial that belongs to a calibration; it owns its memory. */
interface Kept {
  readonly plan: TrialPlan;
  readonly trial: SensorTrial;
}

/** Filled in the order movements and hanging clubs, still poses, swings. */
export interface SensorStore {
  readonly kept: Kept[];
  /** By the trial id of the still pose. */
  readonly calibrations: Map<string, SensorCalibration>;
  /** Trials of sensors that could not be used and were no swings, with the reason. */
  readonly lost: { readonly plan: TrialPlan; readonly reason: string }[];
  /** By player: forward and side bend in the marker static trial. */
  readonly standing: Map<string, StandingPose>;
}

export function createSensorStore(): SensorStore {
  return { kept: [], calibrations: new Map(), lost: [], standing: new Map() };
}

/** The still pose of a trial: as the day plan says, else the player's static trial, which may be a C3D file of sensors. */
export function stillOf(trial: TrialPlan, player: PlayerPlan | undefined): string | null {
  return trial.still ?? player?.static ?? null;
}

/** Keeps a movement or a hanging club for the still poses that come later. */
export function keepSensorTrial(plan: TrialPlan, trial: SensorTrial, store: SensorStore): void {
  store.kept.push({ plan, trial: owned(trial) });
}

export function forgetSensorTrial(plan: TrialPlan, reason: string, store: SensorStore): void {
  const at = store.kept.findIndex((one) => one.plan.id === plan.id);
  if (at >= 0) store.kept.splice(at, 1);
  store.calibrations.delete(plan.id);
  store.lost.push({ plan, reason });
}

/** The arrays of a trial are lent until its end; what stays is a copy. */
function owned(trial: SensorTrial): SensorTrial {
  const sensors = [...trial.sensors].map(([place, track]) => {
    const { gyro, acc, mag, orientation } = track;
    const copy = {
      ...track,
      times_s: track.times_s.slice(),
      gyro: gyro === null ? null : gyro.slice(),
      acc: acc === null ? null : acc.slice(),
      mag: mag === null ? null : mag.slice(),
      orientation: orientation.ok ? present(orientation.value.slice()) : orientation,
      clipped: track.clipped.slice(),
    };
    return [place, copy] as const;
  });
  return { ...trial, sensors: new Map(sensors) };
}

/**
 * The calibration of a still pose, kept for the swings. Movements are those of the same pose; a club hangs alike for all poses of a
 * player, so one of another pose serves where this one has none.
 */
export function calibrateStill(
  plan: TrialPlan,
  still: SensorTrial,
  player: PlayerPlan,
  clubs: readonly ClubPlan[],
  store: SensorStore,
  ws: Workspace,
): readonly Diagnostic[] {
  const own = store.kept.filter((one) => one.plan.player === player.id);
  const here = ({ plan: other }: { readonly plan: TrialPlan }) => stillOf(other, player) === plan.id;
  const movements = own.flatMap((one): { movement: Movement; trial: SensorTrial }[] =>
    one.plan.movement !== null && here(one) ? [{ movement: one.plan.movement, trial: one.trial }] : [],
  );
  const hangs = own.filter((one) => one.plan.role === 'calibration' && one.plan.club !== null);
  const hanging = hangs
    .filter((one) => here(one) || !hangs.some((other) => other.plan.club === one.plan.club && here(other)))
    .map((one) => ({ club: one.plan.club!, trial: one.trial }));
  const standing = store.standing.get(player.id) ?? null;
  const made = calibrateSensors({ player, still, movements, hanging, clubs, plan: plan.sensors, standing }, ws);
  store.calibrations.set(plan.id, made.value);
  return [...lostOf(plan.id, player, store), ...made.diagnostics];
}

/** A warning for every movement or hanging club of this still pose that could not be used. */
function lostOf(still: string, player: PlayerPlan, store: SensorStore): readonly Diagnostic[] {
  return store.lost
    .filter(({ plan }) => plan.movement !== null || plan.role === 'calibration')
    .filter(({ plan }) => plan.player === player.id && stillOf(plan, player) === still)
    .map(({ plan, reason }) => {
      const what =
        plan.role === 'functional' ? `the ${plan.movement ?? 'movement'}` : `the hanging ${plan.club ?? 'club'}`;
      return pipelineDiagnostic('movement-not-used', `${what} in ${plan.id} could not be used: ${reason}`);
    });
}

/** The calibration of a swing, or why there is none, and what to say about it. */
export function calibrationOf(
  trial: TrialPlan,
  player: PlayerPlan,
  store: SensorStore,
): { readonly calibration: Avail<SensorCalibration>; readonly diagnostics: readonly Diagnostic[] } {
  const still = stillOf(trial, player);
  const made = still === null ? undefined : store.calibrations.get(still);
  if (made !== undefined) return { calibration: present(made), diagnostics: lostOf(still!, player, store) };
  const lost = store.lost.find(({ plan }) => plan.id === still);
  if (lost === undefined) {
    const needed = 'a still pose of the sensors: a trial of role: static, or one named under still in the day file';
    return { calibration: absent('no-still-pose', needed), diagnostics: [] };
  }
  const needed = `the still pose ${still}, which could not be used (${lost.reason})`;
  const message = `the still pose ${still} could not be used: what rests on it is missing`;
  return {
    calibration: absent('still-pose-not-used', needed),
    diagnostics: [pipelineDiagnostic('still-not-used', message)],
  };
}
