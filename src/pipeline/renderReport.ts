import type { DayFilter } from '../report/dayFilter.ts';
import type { TableLink } from '../report/dayOverview.ts';
import type { IndexPart } from '../report/indexPage.ts';
import type { DayView, PlayerView } from '../report/views.ts';
import { outcomeInReportUnits } from './outcomeUnits.ts';

/** One file of an output folder. */
export interface OutputFile {
  /** Below the output folder, `/` between folders. */
  readonly path: string;
  /** Pieces of text, written as UTF-8, or bytes. */
  readonly text: Iterable<string | Uint8Array>;
}

/** A piece of a file that is written bit by bit, beside others; with `isLast` the file is whole. */
export interface OutputPart {
  readonly path: string;
  readonly piece: string | Uint8Array;
  readonly isLast?: boolean;
}

export type Output = OutputFile | OutputPart;

/** The sheets of every comparison, then the page that shows them and names the tables. */
export async function* renderReport(view: DayView, tables: readonly TableLink[]): AsyncGenerator<OutputFile> {
  const { indexPart } = await import('../report/indexPage.ts');
  const index = await startIndex({ ...view, playerIds: view.players.map(({ comparison }) => comparison.player) });
  for (const player of view.players) {
    yield* playerFiles(player);
    index.add(indexPart(player, index.filter));
  }
  yield index.page(tables, null);
}

/** The sheets and the page of one comparison. */
export async function* playerFiles(player: PlayerView): AsyncGenerator<OutputFile> {
  const { renderPlayerSheet } = await import('../report/playerSheet.ts');
  const { renderPlayerDetails } = await import('../report/playerDetails.ts');
  const { renderPlayerPage } = await import('../report/page/playerPage.ts');
  const name = `players/${player.comparison.player}${player.comparison.part.suffix}`;
  yield { path: `${name}.svg`, text: [renderPlayerSheet(player)] };
  yield { path: `${name}-details.svg`, text: [renderPlayerDetails(player)] };
  yield { path: `${name}.html`, text: [renderPlayerPage(player)] };
}

/** The page of a day while its comparisons come: of each no more is held than what the page shows. */
export interface DayIndex {
  /** What the parts need of the whole day. */
  readonly filter: DayFilter;
  add(part: IndexPart): void;
  /** Players stand in the order of `playerIds`, the comparisons of one player as they came. `reload_s`: see renderIndex. */
  page(tables: readonly TableLink[], reload_s: number | null): OutputFile;
}

export async function startIndex(
  day: Omit<DayView, 'players'> & { readonly playerIds: readonly string[] },
): Promise<DayIndex> {
  const { renderIndexOf } = await import('../report/indexPage.ts');
  const { filterOf } = await import('../report/dayFilter.ts');
  const { playerIds } = day;
  const outcomes = day.outcomes.map((outcome) => outcomeInReportUnits(outcome, day.settings));
  const filter = filterOf({ outcomes, players: playerIds.map((player) => ({ comparison: { player } })) });
  const parts: IndexPart[] = [];
  return {
    filter,
    add: (part) => parts.push(part),
    page(tables, reload_s) {
      const placeOf = ({ comparison }: IndexPart): number => playerIds.indexOf(comparison.player);
      const players = [...parts].sort((a, b) => placeOf(a) - placeOf(b));
      return { path: 'index.html', text: [renderIndexOf({ ...day, outcomes, players }, tables, reload_s)] };
    },
  };
}
