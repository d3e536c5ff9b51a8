/** What the swings of a day rest on, as plain data: it can be sent between threads, stored and compared. */
import type { PlayerCalibration } from '../model/calibration.ts';
import type { PlayerPlan, TrialPlan } from '../model/dayPlan.ts';
import type { FunctionalHips } from '../stages/functionalHips.ts';
import type { Faces } from './faceTrial.ts';
import { createSensorStore, type SensorStore, stillOf } from './sensorStore.ts';

export interface DayBasis {
  /** By player; filled by the static trials. Leg swings come next and move the hip centres. */
  readonly calibrations: Map<string, PlayerCalibration>;
  /** Hip centres found so far, by player: each leg may have a trial of its own. */
  readonly functional: Map<string, FunctionalHips>;
  /** Filled by the face-calibration trials, which come first. */
  readonly faces: Faces;
  /** Players whose static trial could not be used. */
  readonly withoutStatic: Set<string>;
  /** Filled by the movements, hanging clubs and still poses of the sensors, which come before the swings. */
  readonly sensors: SensorStore;
}

export function createDayBasis(): DayBasis {
  return {
    calibrations: new Map(),
    functional: new Map(),
    faces: new Map(),
    withoutStatic: new Set(),
    sensors: createSensorStore(),
  };
}

/**
 * The part of a basis that one trial sees and may change: that of its player, its club and its still pose.
 * Entries are shared with the whole, collections are new.
 */
export function basisFor(trial: TrialPlan, player: PlayerPlan | undefined, basis: DayBasis): DayBasis {
  const { sensors } = basis;
  const still = stillOf(trial, player);
  const withoutStatic = new Set<string>();
  if (basis.withoutStatic.has(trial.player)) withoutStatic.add(trial.player);
  return {
    calibrations: only(basis.calibrations, trial.player),
    functional: only(basis.functional, trial.player),
    faces: only(basis.faces, trial.club),
    withoutStatic,
    sensors: {
      kept: trial.role === 'swing' ? [] : sensors.kept.filter(({ plan }) => plan.player === trial.player),
      calibrations: only(sensors.calibrations, trial.role === 'swing' ? still : trial.id),
      lost: sensors.lost.filter(({ plan }) => plan.player === trial.player || plan.id === still),
      standing: only(sensors.standing, trial.player),
    },
  };
}

/** Puts the part of one trial that is no swing back, as the trial left it. */
export function mergeBasis(trial: TrialPlan, part: DayBasis, basis: DayBasis): void {
  const isOthers = ({ plan }: { readonly plan: TrialPlan }): boolean => plan.player !== trial.player;
  replace(basis.calibrations, trial.player, part.calibrations);
  replace(basis.functional, trial.player, part.functional);
  if (trial.club !== null) replace(basis.faces, trial.club, part.faces);
  basis.withoutStatic.delete(trial.player);
  for (const player of part.withoutStatic) basis.withoutStatic.add(player);
  const { sensors } = basis;
  const lost = part.sensors.lost.filter((one) => !isOthers(one));
  sensors.kept.splice(0, sensors.kept.length, ...sensors.kept.filter(isOthers), ...part.sensors.kept);
  sensors.lost.splice(0, sensors.lost.length, ...sensors.lost.filter(isOthers), ...lost);
  replace(sensors.calibrations, trial.id, part.sensors.calibrations);
  replace(sensors.standing, trial.player, part.sensors.standing);
}

function only<T>(all: ReadonlyMap<string, T>, key: string | null): Map<string, T> {
  const value = key === null ? undefined : all.get(key);
  return value === undefined ? new Map() : new Map([[key!, value]]);
}

function replace<T>(all: Map<string, T>, key: string, part: ReadonlyMap<string, T>): void {
  all.delete(key);
  const value = part.get(key);
  if (value !== undefined) all.set(key, value);
}
