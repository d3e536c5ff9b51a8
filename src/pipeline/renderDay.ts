/** Results of a day as the files of the output folder, one after the other. */
import { formatFixed } from '../base/format.ts';
import { CATALOGUE } from '../model/catalogue.ts';
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
    const id = player.comparison.player;
    yield { path: `players/${id}.svg`, text: [renderPlayerSheet(document, player)] };
    yield { path: `players/${id}-details.svg`, text: [renderPlayerDetails(document, player)] };
  }
  yield { path: 'index.html', text: [renderIndex(document, view)] };
  yield { path: 'run.json', text: [runRecordText(result, inputs, options)] };
}

/** The day as the report shows it. */
export function dayView(result: DayResult, options: RunOptions): DayView {
  const { plan, outcomes, records } = result;
  const programVersion = `${result.program.name} ${result.program.version}`;
  const players = result.comparisons.map((comparison): PlayerView => {
    const own = plan.trials.filter((trial) => trial.player === comparison.player && trial.role === 'swing');
    return {
      day: plan.day,
      date: plan.date,
      comparison,
      records: records.filter((record) => record.head.player === comparison.player),
      outcomes: outcomes.filter((outcome) => outcome.player === comparison.player),
      filterText: filterText(own.map((trial) => trial.filter)),
      ordersText: ordersText(options),
      programVersion,
    };
  });
  return { day: plan.day, date: plan.date, players, outcomes, programVersion };
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
