/** What is written of one player, whatever the others did: comparisons, sheets and pages, and what the page of the day says of them. */
import type { PlayerPlan } from '../model/dayPlan.ts';
import type { Outlying } from '../model/outlying.ts';
import type { DayOutcome } from '../model/swingRecord.ts';
import type { DayFilter } from '../report/dayFilter.ts';
import type { IndexPart } from '../report/indexPage.ts';
import type { PackedRows } from '../tables/packedRows.ts';
import { comparedPlayer, type JudgedDay } from './analyseDay.ts';
import { comparisonRows } from './dayTables.ts';
import { playerViews } from './dayView.ts';
import { type Finding, findingOf } from './headline.ts';
import { renderFigures } from './renderFigures.ts';
import { renderOrders } from './renderOrders.ts';
import { type OutputFile, playerFiles } from './renderReport.ts';
import type { RunOptions } from './runRecord.ts';
import type { RecordShelf } from './swingBrief.ts';

/** What of a run shows in what is written of a player. */
export type PlayerOutputOptions = Pick<RunOptions, 'curves' | 'tables' | 'figures' | 'orders' | 'orderCheck'>;

export interface PlayerOutput {
  readonly player: string;
  readonly rows: readonly PackedRows[];
  readonly files: readonly OutputFile[];
  /** Of each comparison what the page of the day shows. */
  readonly index: readonly IndexPart[];
  readonly findings: readonly Finding[];
  /** The player's swings that stand apart, by trial id. */
  readonly outlying: readonly (readonly [trial: string, found: Outlying])[];
}

/** A player with all of the day that shows in what is written of the player. */
export interface PlayerPart extends Pick<JudgedDay, 'plan' | 'program'> {
  readonly player: PlayerPlan;
  /** The player's outcomes by trial id. */
  readonly own: readonly DayOutcome[];
  readonly options: PlayerOutputOptions;
  /** Of the whole day. */
  readonly filter: DayFilter;
}

export async function playerOutput(part: PlayerPart, shelf: RecordShelf): Promise<PlayerOutput> {
  const { plan, program, player, own, options, filter } = part;
  const { indexPart } = await import('../report/indexPage.ts');
  const result = comparedPlayer({ plan, shelf }, player, own, options);
  const view = playerViews({ plan, program }, result, options.orders);
  const files: OutputFile[] = [];
  for (const shown of view.players) for await (const file of playerFiles(shown)) files.push(file);
  if (options.figures === true) for await (const file of renderFigures(view)) files.push(file);
  if ((options.orderCheck ?? []).length > 0) for await (const file of renderOrders(view)) files.push(file);
  return {
    player: player.id,
    rows: result.comparisons.flatMap((comparison) => comparisonRows(comparison, options)),
    files,
    index: view.players.map((shown) => indexPart(shown, filter)),
    findings: result.comparisons.map(findingOf),
    outlying: result.outcomes.flatMap(({ trial, outlying }) =>
      outlying === undefined ? [] : [[trial, outlying] as const],
    ),
  };
}
