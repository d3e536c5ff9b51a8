/** Results of a day as the files of the output folder, one after the other. */
import { formatFixed } from '../base/format.ts';
import { countsAsSensors } from '../day/poseTrials.ts';
import { CATALOGUE } from '../model/catalogue.ts';
import type { PlayerComparison } from '../model/comparison.ts';
import type { FilterOptions } from '../model/dayPlan.ts';
import type { DayView, PlayerView } from '../report/views.ts';
import { TABLES } from '../tables/allTables.ts';
import { storedRecordText } from '../tables/storedRecord.ts';
import type { DayResult } from './analyseDay.ts';
import { type RunInput, type RunOptions, runRecordText } from './runRecord.ts';

export interface OutputFile {
  /** Below the output folder, `/` between folders. */
  readonly path: string;
  readonly text: Iterable<string>;
}

/** Every file but run.json, then run.json: a folder with a run record is complete. */
export async function* renderDay(
  result: DayResult,
  inputs: readonly RunInput[],
  options: RunOptions,
): AsyncGenerator<OutputFile> {
  const document = await (await import('../report/document.ts')).createReportDocument();
  const { renderPlayerSheet } = await import('../report/playerSheet.ts');
  const { renderPlayerDetails } = await import('../report/playerDetails.ts');
  const { renderIndex } = await import('../report/indexPage.ts');
  for (const table of TABLES) {
    if (table.onRequest && !options.curves) continue;
    yield { path: `tables/${table.name}.csv`, text: table.text(result) };
  }
  for (const record of result.records) {
    yield { path: `trials/${record.head.trial}.json`, text: [storedRecordText(record)] };
  }
  const view = dayView(result, options);
  for (const player of view.players) {
    const name = `players/${player.comparison.player}${player.comparison.part.suffix}`;
    yield { path: `${name}.svg`, text: [renderPlayerSheet(document, player)] };
    yield { path: `${name}-details.svg`, text: [renderPlayerDetails(document, player)] };
  }
  yield { path: 'index.html', text: [renderIndex(document, view)] };
  yield { path: 'run.json', text: [runRecordText(result, inputs, options)] };
}

/** The day as the report shows it. */
export function dayView(result: DayResult, options: RunOptions): DayView {
  const { plan, outcomes, records } = result;
  const programVersion = `${result.program.name} ${result.program.version}`;
  const partOf = partsOfTrials(result);
  const players = result.comparisons.map((comparison): PlayerView => {
    const isOwn = (trial: string): boolean => partOf.get(trial) === comparison;
    const own = plan.trials.filter((trial) => isOwn(trial.id) && trial.role === 'swing');
    return {
      day: plan.day,
      date: plan.date,
      comparison,
      records: records.filter((record) => isOwn(record.head.trial)),
      outcomes: outcomes.filter((outcome) => isOwn(outcome.trial)),
      filterText:
        comparison.part.source === 'sensors'
          ? 'orientations of sensors are not smoothed'
          : filterText(own.map((trial) => trial.filter)),
      ordersText: ordersText(options),
      programVersion,
    };
  });
  return { day: plan.day, date: plan.date, players, outcomes, programVersion };
}

/**
 * The part of its player that each trial stands in: that of its source and, of sensors, of its still pose; a trial whose still pose has
 * no used swing stands in the player's first part of its source, or in the first there is.
 */
function partsOfTrials({ plan, outcomes, records, comparisons }: DayResult): ReadonlyMap<string, PlayerComparison> {
  const datums = new Map(records.map((record) => [record.head.trial, record]));
  const out = new Map<string, PlayerComparison>();
  const plans = new Map(plan.trials.map((trial) => [trial.id, trial]));
  for (const outcome of outcomes) {
    const trial = plans.get(outcome.trial);
    const own = comparisons.filter((comparison) => comparison.player === outcome.player);
    const record = datums.get(outcome.trial);
    const head = record?.head ?? outcome.head ?? null;
    const guess = trial !== undefined && countsAsSensors(trial) ? 'sensors' : 'markers';
    const source = head === null ? guess : (head.source ?? 'markers');
    const ofSource = own.filter(({ part }) => part.source === source);
    const part =
      source === 'markers'
        ? undefined
        : (ofSource.find((one) => record !== undefined && one.part.datum?.id === record.datum.id) ??
          ofSource.find((one) => trial !== undefined && one.part.calibration?.still === trial.still));
    const chosen = part ?? ofSource[0] ?? own[0];
    if (chosen !== undefined) out.set(outcome.trial, chosen);
  }
  return out;
}

const PARTS = [
  ['trunk', 'trunk_Hz'],
  ['head', 'head_Hz'],
  ['legs', 'legs_Hz'],
  ['upper arm', 'upperArm_Hz'],
  ['forearm', 'forearm_Hz'],
] as const;

/** The smoothing in words; trials that differ are said to differ. */
export function filterText(filters: readonly FilterOptions[]): string {
  const texts = [...new Set(filters.map(oneFilterText))];
  if (texts.length > 1) return `smoothing differs between trials: ${texts.join(' | ')}`;
  return texts[0] ?? '';
}

function oneFilterText(filter: FilterOptions): string {
  const groups = new Map<number | null, string[]>();
  for (const [name, key] of PARTS) {
    const cutoff = filter[key];
    groups.set(cutoff, [...(groups.get(cutoff) ?? []), name]);
  }
  const said = [...groups].map(
    ([cutoff, names]) => `${names.join(', ')} ${cutoff === null ? 'none' : `${plain(cutoff)} Hz`}`,
  );
  return `zero-lag low-pass: ${said.join('; ')}; club none`;
}

function plain(value: number): string {
  return Number.isInteger(value) ? formatFixed(value, 0) : formatFixed(value, 2);
}

/** The orders of the main quantities, by segment, and those asked for beside them. */
function ordersText(options: RunOptions): string {
  const bySegments = new Map<string, Set<string>>();
  for (const { order, id } of CATALOGUE) {
    if (order === null) continue;
    const segment = id.includes('.') ? id.slice(0, id.indexOf('.')) : id.replaceAll('_', ' ');
    bySegments.set(order, (bySegments.get(order) ?? new Set()).add(segment));
  }
  const main = [...bySegments].map(([order, segments]) => `${[...segments].join(', ')} ${[...order].join('-')}`);
  const more = options.orders.map(({ segment, order }) => `${segment} ${[...order].join('-')}`);
  return `${main.join('; ')}${more.length === 0 ? '' : `; also ${more.join(', ')}`}`;
}
