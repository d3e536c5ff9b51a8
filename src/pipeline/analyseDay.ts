/** A day from its plan to its results: what the swings rest on first, each trial caught by itself, then each player's comparisons. */
import { compareCodeUnits } from '../base/text.ts';
import { compareGroups } from '../compare/compareGroups.ts';
import type { OrderRequest } from '../model/analysisPlan.ts';
import type { PlayerComparison } from '../model/comparison.ts';
import type { DayPlan, TrialPlan } from '../model/dayPlan.ts';
import type { SwingRecord, TrialOutcome } from '../model/swingRecord.ts';
import { createWorkspace } from '../numeric/workspace.ts';
import { analyseTrial } from './analyseTrial.ts';
import { isLegSwing } from './functionalTrial.ts';
import type { DayIo } from './io.ts';
import { type AnalyseTrial, runTrial, type TrialContext } from './oneTrial.ts';
import { createSensorStore } from './sensorStore.ts';

export interface DayOptions {
  readonly orders: readonly OrderRequest[];
  readonly strict: boolean;
  /** The analysis of one trial; a test may give its own. */
  readonly analyse?: AnalyseTrial;
}

export interface DayResult {
  readonly plan: DayPlan;
  /** By trial id. */
  readonly outcomes: readonly TrialOutcome[];
  /** Of the used swings, by trial id. */
  readonly records: readonly SwingRecord[];
  /** In the order of the players in the day file; of one player the markers, then each calibration of the sensors; then the named comparisons. */
  readonly comparisons: readonly PlayerComparison[];
  readonly program: { readonly name: string; readonly version: string };
  readonly libraries: Readonly<Record<string, string>>;
}

export interface DayProgress {
  readonly done: number;
  readonly total: number;
  readonly outcome: TrialOutcome;
}

/**
 * Analyses every trial of a day. Never throws for what a file holds; an error of `pause` (an interruption) passes through.
 * Results do not depend on the order in which trials were run.
 */
export async function analyseDay(
  plan: DayPlan,
  io: DayIo,
  options: DayOptions,
  onProgress: (progress: DayProgress) => void = () => {},
): Promise<DayResult> {
  const context: TrialContext = {
    plan,
    io,
    ws: createWorkspace(),
    analyse: options.analyse ?? analyseTrial,
    orders: options.orders,
    strict: options.strict,
    calibrations: new Map(),
    functional: new Map(),
    faces: new Map(),
    withoutStatic: new Set(),
    sensors: createSensorStore(),
  };
  const outcomes: TrialOutcome[] = [];
  for (const trial of inOrderOfNeed(plan)) {
    await io.pause();
    const outcome = runTrial(trial, context);
    outcomes.push(outcome);
    onProgress({ done: outcomes.length, total: plan.trials.length, outcome });
  }
  outcomes.sort((a, b) => compareCodeUnits(a.trial, b.trial));
  const records = outcomes.flatMap((outcome) => (outcome.record === null ? [] : [outcome.record]));
  const comparisons: PlayerComparison[] = [];
  for (const player of plan.players) {
    await io.pause();
    const asked = { player, clubs: plan.clubs, options: plan.compare };
    comparisons.push(...compareGroups(records, asked, plan.groups ?? []));
  }
  return { plan, outcomes, records, comparisons, program: io.program, libraries: io.libraries };
}

/**
 * Faces of clubs, movements and hanging clubs before the poses that they calibrate, the marker static trials before the still poses of sensors, which
 * take their bends over, and all of them before the swings; leg swings of markers after the static trials, whose hips they move.
 */
function inOrderOfNeed(plan: DayPlan): readonly TrialPlan[] {
  const statics = new Set(plan.players.map((player) => player.static));
  const rank = (trial: TrialPlan): number => {
    if (isLegSwing(trial)) return 2;
    if (trial.role === 'functional' || trial.role === 'calibration') return 0;
    if (statics.has(trial.id)) return 1;
    return trial.role === 'static' ? 2 : 3;
  };
  return [0, 1, 2, 3].flatMap((wanted) => plan.trials.filter((trial) => rank(trial) === wanted));
}
