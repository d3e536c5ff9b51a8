/** Comparisons and outcomes as the report shows them: which trials belong to which sheet, settings in words. */
import { countsAsSensors } from '../day/poseTrials.ts';
import type { OrderRequest } from '../model/analysisPlan.ts';
import { CATALOGUE } from '../model/catalogue.ts';
import { type CoachWords, coachWordsOf } from '../model/coachWords.ts';
import type { PlayerComparison } from '../model/comparison.ts';
import type { Cutoffs, DayPlan, FilterOptions, TrialPlan } from '../model/dayPlan.ts';
import { DEFAULT_REPORT, type ReportSettings } from '../model/reportSettings.ts';
import type { DayOutcome, SwingRecord, TrialOutcome } from '../model/swingRecord.ts';
import { inReportUnits } from '../report/reportUnits.ts';
import type { DayView, PlayerView } from '../report/views.ts';
import type { JudgedDay, PlayerResult } from './analyseDay.ts';
import { filterText } from './filterText.ts';
import { outcomeInReportUnits } from './outcomeUnits.ts';
import { firstOfPart, partsOfTrials, type TrialAbout } from './trialParts.ts';

/** What a view is made of, whether a day was just analysed or is read back. */
export interface ViewSource {
  readonly day: string;
  readonly date: string | null;
  /** By trial id. */
  readonly outcomes: readonly TrialOutcome[];
  readonly records: readonly SwingRecord[];
  readonly comparisons: readonly PlayerComparison[];
  readonly about: (outcome: DayOutcome) => TrialAbout;
  /** What the day file says of a player in the coach's words. */
  readonly coach: (player: string) => CoachWords;
  /** Smoothing of a player's markers, in words. */
  readonly smoothing: (player: string) => string;
  readonly orders: readonly OrderRequest[];
  /** How the report is written; absent: as by default. */
  readonly report?: ReportSettings | undefined;
  readonly program: { readonly name: string; readonly version: string };
}

/** One player's part of a day as the report shows it. */
export function playerViews(
  { plan, program }: Pick<JudgedDay, 'plan' | 'program'>,
  { outcomes, records, comparisons }: PlayerResult,
  orders: readonly OrderRequest[],
): DayView {
  const about = aboutTrials(plan);
  return viewOf({
    day: plan.day,
    date: plan.date,
    outcomes,
    records,
    comparisons,
    about,
    coach: (player) => coachWordsOf(plan.players.find(({ id }) => id === player) ?? {}),
    smoothing: (player) => smoothingOf({ plan, outcomes }, player),
    orders,
    report: plan.report,
    program,
  });
}

/** The smoothing of a player's swings of markers, in words. */
export function smoothingOf({ plan, outcomes }: Pick<JudgedDay, 'plan' | 'outcomes'>, player: string): string {
  const about = aboutTrials(plan);
  const byId = new Map(outcomes.map((outcome) => [outcome.trial, outcome]));
  const own = plan.trials.filter((trial) => {
    const outcome = byId.get(trial.id);
    return trial.player === player && trial.role === 'swing' && outcome !== undefined && isOfMarkers(about(outcome));
  });
  return filterText(
    own.flatMap(({ id, filter }) => {
      const used = byId.get(id)?.record?.smoothing;
      return used !== undefined ? [used] : isSet(filter) ? [filter] : [];
    }),
  );
}

/** True where no rule was to choose a cutoff. A trial whose rule was not reached smoothed nothing. */
function isSet(filter: FilterOptions): filter is Cutoffs {
  return Object.values(filter).every((setting) => typeof setting !== 'string');
}

const isOfMarkers = ({ source }: TrialAbout): boolean => source === 'markers';

/** Source and still pose of each trial: what the recording showed, else what the day file lets one guess. */
export function aboutTrials(plan: DayPlan): (outcome: DayOutcome) => TrialAbout {
  const plans = new Map(plan.trials.map((trial): [string, TrialPlan] => [trial.id, trial]));
  return ({ trial, record, head }) => {
    const planned = plans.get(trial);
    const known = record?.head ?? head ?? null;
    const guess = planned !== undefined && countsAsSensors(planned) ? 'sensors' : 'markers';
    return { source: known === null ? guess : (known.source ?? 'markers'), still: planned?.still ?? null };
  };
}

export function viewOf(source: ViewSource): DayView {
  const { day, date, records, comparisons } = source;
  const outcomes = source.outcomes.map((outcome) => outcomeInReportUnits(outcome, source.report));
  const programVersion = `${source.program.name} ${source.program.version}`;
  const partOf = partsOfTrials(outcomes, comparisons, source.about);
  const players = comparisons.map((comparison): PlayerView => {
    const part = firstOfPart(comparison, comparisons);
    const isOwn = (trial: string): boolean => partOf.get(trial) === part;
    return {
      day,
      date,
      ...writtenIn(comparison, source.report),
      records: records.filter((record) => isOwn(record.head.trial)),
      outcomes: outcomes.filter((outcome) => isOwn(outcome.trial)),
      ...source.coach(comparison.player),
      filterText:
        comparison.part.source === 'sensors'
          ? 'orientations of sensors are not smoothed'
          : source.smoothing(comparison.player),
      ordersText: ordersText(source.orders),
      programVersion,
    };
  });
  return { day, date, players, outcomes, programVersion, settings: source.report ?? DEFAULT_REPORT };
}

/** The comparison in the units of the report; as it is where they are those of the tables. */
function writtenIn(
  comparison: PlayerComparison,
  settings: ReportSettings = DEFAULT_REPORT,
): Pick<PlayerView, 'comparison' | 'inTableUnits' | 'settings'> {
  const { speed, length } = DEFAULT_REPORT;
  if (settings.speed === speed && settings.length === length) return { comparison, settings };
  return { comparison: inReportUnits(comparison, settings), inTableUnits: comparison, settings };
}

/** The orders of the main quantities, by segment, and those asked for beside them. */
function ordersText(orders: readonly OrderRequest[]): string {
  const bySegments = new Map<string, Set<string>>();
  for (const { order, id } of CATALOGUE) {
    if (order === null) continue;
    const segment = id.includes('.') ? id.slice(0, id.indexOf('.')) : id.replaceAll('_', ' ');
    bySegments.set(order, (bySegments.get(order) ?? new Set()).add(segment));
  }
  const main = [...bySegments].map(([order, segments]) => `${[...segments].join(', ')} ${[...order].join('-')}`);
  const more = orders.map(({ segment, order }) => `${segment} ${[...order].join('-')}`);
  return `${main.join('; ')}${more.length === 0 ? '' : `; also ${more.join(', ')}`}`;
}
