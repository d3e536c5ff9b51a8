/** A day from its plan to its results: what the swings rest on first, each trial caught by itself, then each player's comparisons. */
import { compareCodeUnits } from '../base/text.ts';
import { compareGroups } from '../compare/compareGroups.ts';
import type { PlayerComparison } from '../model/comparison.ts';
import type { DayPlan, TrialPlan } from '../model/dayPlan.ts';
import type { SwingRecord, TrialOutcome } from '../model/swingRecord.ts';
import { analyseTrial } from './analyseTrial.ts';
import { createDayBasis, mergeBasis } from './dayBasis.ts';
import { isLegSwing } from './functionalTrial.ts';
import type { DayIo } from './io.ts';
import { judgedDay } from './judgeDay.ts';
import type { AnalyseTrial } from './oneTrial.ts';
import { type Finished, runnerHere, type TrialRunner } from './trialRunner.ts';
import { failedOutcome, type TaskSettings, taskOf } from './trialTask.ts';

/** How the trials of a day are analysed. */
export interface DayOptions extends TaskSettings {
  /** The analysis of one trial; a test may give its own. */
  readonly analyse?: AnalyseTrial;
  /** Where trials run; absent: one after the other in this thread. */
  readonly runner?: TrialRunner;
}

/** What became of a day: its plan, its trials, the records of its swings, its comparisons. */
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

/** Said after each trial: how far the day is. */
export interface DayProgress {
  readonly done: number;
  readonly total: number;
  readonly outcome: TrialOutcome;
  /** True where an earlier run had done it. */
  readonly recalled: boolean;
}

/** Why a trial has no result where the user ended the run before it. */
const NOT_BEGUN = 'not analysed: the run was interrupted before this trial; process the day again to finish it';

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
  const outcomes = await analyseTrials(plan, io, options, () => true, onProgress);
  return await compareOutcomes(plan, io, outcomes, options);
}

/**
 * The outcomes of the swings asked for and of all trials that swings may rest on, by trial id. A trial that was not begun because the user
 * ended the run is failed, with that reason.
 */
export async function analyseTrials(
  plan: DayPlan,
  io: DayIo,
  options: DayOptions,
  isAsked: (swing: TrialPlan) => boolean,
  onProgress: (progress: DayProgress) => void = () => {},
): Promise<readonly TrialOutcome[]> {
  const runner = options.runner ?? runnerHere(io, { analyse: options.analyse ?? analyseTrial });
  const basis = createDayBasis();
  const outcomes = new Map<string, TrialOutcome>();
  const { first, swings } = inOrderOfNeed(plan);
  const wanted = swings.filter(isAsked);
  const total = first.length + wanted.length;
  const taskFor = (trial: TrialPlan) => taskOf(trial, plan, options, basis);
  const onDone = ({ outcome, recalled }: Finished): void => {
    outcomes.set(outcome.trial, outcome);
    onProgress({ done: outcomes.size, total, outcome, recalled });
  };
  for (const trial of first) {
    if (io.stopped?.() === true) break;
    const done = await runner.one(taskFor(trial));
    if (done.basis !== null) mergeBasis(trial, done.basis, basis);
    onDone(done);
  }
  await runner.all(wanted, taskFor, onDone);
  for (const trial of [...first, ...wanted]) {
    if (!outcomes.has(trial.id)) outcomes.set(trial.id, failedOutcome({ trial, plan }, NOT_BEGUN));
  }
  return [...outcomes.values()].sort((a, b) => compareCodeUnits(a.trial, b.trial));
}

/** The gates and the comparisons of a day whose trials are done; `found` by trial id. */
export async function compareOutcomes(
  plan: DayPlan,
  io: Pick<DayIo, 'pause' | 'program' | 'libraries'>,
  found: readonly TrialOutcome[],
  { orders = [], orderCheck = [] }: Partial<Pick<TaskSettings, 'orders' | 'orderCheck'>> = {},
): Promise<DayResult> {
  const outcomes = judgedDay(found, plan);
  const records = outcomes.flatMap((outcome) => (outcome.record === null ? [] : [outcome.record]));
  const comparisons: PlayerComparison[] = [];
  for (const player of plan.players) {
    await io.pause();
    const asked = { player, clubs: plan.clubs, options: plan.compare, orders, orderCheck };
    comparisons.push(...compareGroups(records, asked, plan.groups ?? []));
  }
  return { plan, outcomes, records, comparisons, program: io.program, libraries: io.libraries };
}

/**
 * Faces of clubs, movements and hanging clubs before the poses that they calibrate, the marker static trials before the still poses of sensors, which
 * take their bends over, and all of them before the swings; leg swings of markers after the static trials, whose hips they move.
 */
function inOrderOfNeed(plan: DayPlan): { readonly first: readonly TrialPlan[]; readonly swings: readonly TrialPlan[] } {
  const statics = new Set(plan.players.map((player) => player.static));
  const rank = (trial: TrialPlan): number => {
    if (isLegSwing(trial)) return 2;
    if (trial.role === 'functional' || trial.role === 'calibration') return 0;
    if (statics.has(trial.id)) return 1;
    return trial.role === 'static' ? 2 : 3;
  };
  const ranked = (wanted: number): readonly TrialPlan[] => plan.trials.filter((trial) => rank(trial) === wanted);
  return { first: [0, 1, 2].flatMap(ranked), swings: ranked(3) };
}
