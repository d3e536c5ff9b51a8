/** One trial with all that its day lends it, as plain data: the same work in this thread, in a worker or on another machine. */
import type { OrderedRotation, OrderRequest } from '../model/analysisPlan.ts';
import type { DayPlan, PlayerPlan, TrialPlan } from '../model/dayPlan.ts';
import { isInEveryRecord } from '../model/orderSensitivity.ts';
import type { TrialOutcome } from '../model/swingRecord.ts';
import type { SwingSeries } from '../model/swingSeries.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { basisFor, type DayBasis } from './dayBasis.ts';
import type { TrialIo } from './io.ts';
import { type AnalyseTrial, noteLost, runTrial } from './oneTrial.ts';
import type { FileSum } from './recordings.ts';
import type { PartialShelf } from './swingBrief.ts';

/** What the analysis of trials reads of a day plan: nothing of what only the comparisons rest on. */
export type TrialsPlan = Omit<DayPlan, 'compare' | 'groups' | 'gates' | 'report' | 'day' | 'date'>;

export interface TaskSettings {
  readonly orders: readonly OrderRequest[];
  readonly strict: boolean;
  /** Segments and joints of which all orders are asked for. */
  readonly orderCheck?: readonly OrderedRotation[];
  /** True: records keep the curves of the filter choice. */
  readonly residuals?: boolean;
  /** True: swings are kept at every frame, too. */
  readonly series?: boolean;
}

export interface TrialTask extends TaskSettings {
  readonly trial: TrialPlan;
  /** Narrowed to what the trial can see. */
  readonly plan: TrialsPlan;
  readonly basis: DayBasis;
}

export interface TaskDone {
  readonly outcome: TrialOutcome;
  /** The task's basis as the trial left it; null of swings, which change none. */
  readonly basis: DayBasis | null;
}

/** Results of earlier runs. `files` are the trial's files with their sums, which are part of the key. */
export interface TrialMemory {
  recall(task: TrialTask, files: readonly FileSum[]): TaskDone | null;
  /** `series` of a used swing where the task asks for it: a task that does is recalled only with them. */
  keep(task: TrialTask, files: readonly FileSum[], done: TaskDone, series: SwingSeries | null): void;
  /** Reads back what was kept or recalled in this run. Absent: it cannot. */
  readonly shelf?: PartialShelf;
}

export interface TaskTools {
  readonly io: TrialIo;
  readonly ws: Workspace;
  readonly analyse: AnalyseTrial;
  readonly memory?: TrialMemory;
}

/** The task of a trial: swings see their own club, other trials all clubs and those trials of their player that decide what is calibrated. */
export function taskOf(trial: TrialPlan, plan: DayPlan, settings: TaskSettings, basis: DayBasis): TrialTask {
  const { compare: _compare, groups: _groups, gates: _gates, report: _report, day: _day, date: _date, ...rest } = plan;
  const isSwing = trial.role === 'swing';
  const player = plan.players.find(({ id }) => id === trial.player);
  const decides = (one: TrialPlan): boolean =>
    one.player === trial.player && (one.role !== 'swing' || one.still !== null);
  return {
    trial,
    plan: {
      ...rest,
      players: player === undefined ? [] : [withoutCoachWords(player)],
      clubs: isSwing ? plan.clubs.filter(({ id }) => id === trial.club) : plan.clubs,
      trials: isSwing ? [trial] : plan.trials.filter(decides),
    },
    orders: settings.orders,
    strict: settings.strict,
    ...(settings.residuals === true ? { residuals: true } : {}),
    ...(settings.series === true && isSwing ? { series: true } : {}),
    ...toStore(settings.orderCheck ?? []),
    basis: basisFor(trial, player, basis),
  };
}

/** Only what not every record holds anyway: then nothing has to be analysed again. */
function toStore(asked: readonly OrderedRotation[]): Pick<TaskSettings, 'orderCheck'> {
  const stored = asked.filter((rotation) => !isInEveryRecord(rotation));
  return stored.length === 0 ? {} : { orderCheck: [...new Set(stored)].sort() };
}

/** What a coach writes changes no result. */
function withoutCoachWords({ notes: _notes, practice: _practice, ...player }: PlayerPlan): PlayerPlan {
  return { ...player, note: '' };
}

/** Runs a task or recalls what an earlier run made of it. Never throws for what the files hold. */
export function runTask(
  task: TrialTask,
  { io, ws, analyse, memory }: TaskTools,
): TaskDone & { readonly recalled: boolean } {
  let known: readonly FileSum[] | null = null;
  let recalled: TaskDone | null = null;
  const recall = (files: readonly FileSum[]): TrialOutcome | null => {
    known = files;
    recalled = memory?.recall(task, files) ?? null;
    return recalled?.outcome ?? null;
  };
  let series: SwingSeries | null = null;
  const onSeries = (made: SwingSeries): void => {
    series = made;
  };
  const basis = basisFor(task.trial, task.plan.players[0], task.basis);
  const outcome = runTrial(task.trial, { ...task, ...basis, io, ws, analyse, recall, onSeries });
  if (recalled !== null) return { ...(recalled as TaskDone), recalled: true };
  const done = { outcome, basis: task.trial.role === 'swing' ? null : basis };
  if (known !== null && outcome.passing !== true) memory?.keep(task, known, done, series);
  return { ...done, recalled: false };
}

/** What is left of a task that no thread could finish: the trial failed, and what would have rested on it is told so. */
export function failedTask(task: TrialTask, reason: string): TaskDone {
  const { trial, plan } = task;
  const basis = basisFor(trial, plan.players[0], task.basis);
  noteLost(trial, reason, { ...basis, plan });
  return { outcome: failedOutcome(task, reason), basis: trial.role === 'swing' ? null : basis };
}

/** The outcome of a trial that has no result for a reason outside its files. */
export function failedOutcome({ trial, plan }: Pick<TrialTask, 'trial' | 'plan'>, reason: string): TrialOutcome {
  return {
    trial: trial.id,
    file: trial.file,
    files: trial.files.map((path) => ({ path, sha256: '' })),
    sha256: '',
    player: trial.player,
    club: trial.club,
    kind: plan.clubs.find(({ id }) => id === trial.club)?.kind ?? null,
    set: trial.set,
    role: trial.role,
    status: 'failed',
    reason,
    record: null,
    passing: true,
    head: null,
    frames: null,
    diagnostics: [],
  };
}
