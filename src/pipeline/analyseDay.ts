/** A day from its plan to its results: what the swings rest on first, each trial caught by itself, then each player's comparisons. */
import { compareCodeUnits } from '../base/text.ts';
import { compareGroups } from '../compare/compareGroups.ts';
import type { PlayerComparison } from '../model/comparison.ts';
import type { DayPlan, PlayerPlan, TrialPlan } from '../model/dayPlan.ts';
import type { DayOutcome, SwingRecord, TrialOutcome } from '../model/swingRecord.ts';
import { analyseTrial } from './analyseTrial.ts';
import { createDayBasis, mergeBasis } from './dayBasis.ts';
import { isLegSwing } from './functionalTrial.ts';
import type { DayIo } from './io.ts';
import { judgedDay, pointOut } from './judgeDay.ts';
import type { AnalyseTrial } from './oneTrial.ts';
import { type BriefOutcome, briefOutcome, type RecordShelf, recordFrom } from './swingBrief.ts';
import { type Finished, runnerHere, type TrialRunner } from './trialRunner.ts';
import { failedOutcome, type TaskSettings, taskOf } from './trialTask.ts';

/** How the trials of a day are analysed. */
export interface DayOptions extends TaskSettings {
  /** The analysis of one trial; a test may give its own. */
  readonly analyse?: AnalyseTrial;
  /** Where trials run; absent: one after the other in this thread. */
  readonly runner?: TrialRunner;
}

/** A day whose trials are done and judged; the records of its swings are read when they are needed. */
export interface JudgedDay {
  readonly plan: DayPlan;
  /** By trial id. */
  readonly outcomes: readonly DayOutcome[];
  readonly shelf: RecordShelf;
  readonly program: { readonly name: string; readonly version: string };
  readonly libraries: Readonly<Record<string, string>>;
}

/** A day with everything of it in memory. */
export interface DayResult extends JudgedDay {
  /** By trial id. */
  readonly outcomes: readonly TrialOutcome[];
  /** Of the used swings, by trial id. */
  readonly records: readonly SwingRecord[];
  /** In the order of the players in the day file; of one player the markers, then each calibration of the sensors; then the named comparisons. */
  readonly comparisons: readonly PlayerComparison[];
}

/** Said after each trial: how far the day is. */
export interface DayProgress {
  readonly done: number;
  readonly total: number;
  readonly outcome: DayOutcome;
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
  const runner = runnerFor(io, options);
  const found = await analyseTrials(plan, io, { ...options, runner }, () => true, onProgress);
  return await wholeDay(judgedResult(plan, io, found, runner.shelf), io, options);
}

/** The runner that is asked for, else one of this thread. */
export function runnerFor(io: DayIo, { runner, analyse = analyseTrial }: DayOptions): TrialRunner {
  return runner ?? runnerHere(io, { analyse });
}

/**
 * The outcomes of the swings asked for and of all trials that swings may rest on, by trial id. A trial that was not begun because the user
 * ended the run is failed, with that reason.
 */
export async function analyseTrials(
  plan: DayPlan,
  io: DayIo,
  options: DayOptions & { readonly runner: TrialRunner },
  isAsked: (swing: TrialPlan) => boolean,
  onProgress: (progress: DayProgress) => void = () => {},
): Promise<readonly BriefOutcome[]> {
  const { runner } = options;
  const basis = createDayBasis();
  const outcomes = new Map<string, BriefOutcome>();
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
    if (!outcomes.has(trial.id)) outcomes.set(trial.id, briefOutcome(failedOutcome({ trial, plan }, NOT_BEGUN)));
  }
  return [...outcomes.values()].sort((a, b) => compareCodeUnits(a.trial, b.trial));
}

/** The gates of a day whose trials are done; `found` by trial id. */
export function judgedResult(
  plan: DayPlan,
  { program, libraries }: Pick<DayIo, 'program' | 'libraries'>,
  found: readonly BriefOutcome[],
  shelf: RecordShelf,
): JudgedDay {
  return { plan, outcomes: judgedDay(found, plan, shelf), shelf, program, libraries };
}

/** What comes of one player: records by trial id, outcomes with what stands apart among them, comparisons. */
export interface PlayerResult {
  readonly outcomes: readonly TrialOutcome[];
  readonly records: readonly SwingRecord[];
  readonly comparisons: readonly PlayerComparison[];
}

/** Reads the records of one player and compares them; nothing of any other player is read. `own`: the player's outcomes by trial id. */
export function comparedPlayer(
  { plan, shelf }: Pick<JudgedDay, 'plan' | 'shelf'>,
  player: PlayerPlan,
  own: readonly DayOutcome[],
  { orders, orderCheck = [] }: Pick<TaskSettings, 'orders' | 'orderCheck'>,
): PlayerResult {
  const whole = own.map((outcome): TrialOutcome => ({ ...outcome, record: recordFrom(shelf, outcome) }));
  const records = whole.flatMap(({ record }) => (record === null ? [] : [record]));
  const asked = { player, clubs: plan.clubs, options: plan.compare, orders, orderCheck };
  return {
    outcomes: pointOut(whole, records, plan.compare),
    records,
    comparisons: compareGroups(records, asked, plan.groups ?? []),
  };
}

/** What each player has of these, such as outcomes, in their order. */
export function byPlayer<T extends { readonly player: string }>(all: readonly T[]): ReadonlyMap<string, readonly T[]> {
  const out = new Map<string, T[]>();
  for (const one of all) {
    const own = out.get(one.player);
    if (own === undefined) out.set(one.player, [one]);
    else own.push(one);
  }
  return out;
}

/** The day with everything of it in memory. */
async function wholeDay(
  day: JudgedDay,
  { pause }: Pick<DayIo, 'pause'>,
  options: Pick<TaskSettings, 'orders' | 'orderCheck'>,
): Promise<DayResult> {
  const own = byPlayer(day.outcomes);
  const results: PlayerResult[] = [];
  for (const player of day.plan.players) {
    await pause();
    results.push(comparedPlayer(day, player, own.get(player.id) ?? [], options));
  }
  const done = new Map(results.flatMap(({ outcomes }) => outcomes).map((outcome) => [outcome.trial, outcome]));
  const outcomes = day.outcomes.map(
    (one): TrialOutcome => done.get(one.trial) ?? { ...one, record: recordFrom(day.shelf, one) },
  );
  return {
    ...day,
    outcomes,
    records: outcomes.flatMap(({ record }) => (record === null ? [] : [record])),
    comparisons: results.flatMap(({ comparisons }) => comparisons),
  };
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
