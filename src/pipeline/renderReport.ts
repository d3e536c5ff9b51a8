import type { TableLink } from '../report/dayOverview.ts';
import type { DayView } from '../report/views.ts';

/** One file of an output folder. */
export interface OutputFile {
  /** Below the output folder, `/` between folders. */
  readonly path: string;
  /** Pieces of text, written as UTF-8, or bytes. */
  readonly text: Iterable<string | Uint8Array>;
}

/** The sheets of every comparison, then the page that shows them and names the tables. */
export async function* renderReport(
  view: DayView,
  tables: readonly TableLink[],
  reload_s: () => number | null = () => null,
): AsyncGenerator<OutputFile> {
  const { renderPlayerSheet } = await import('../report/playerSheet.ts');
  const { renderPlayerDetails } = await import('../report/playerDetails.ts');
  const { renderPlayerPage } = await import('../report/page/playerPage.ts');
  const { renderIndex } = await import('../report/indexPage.ts');
  for (const player of view.players) {
    const name = `players/${player.comparison.player}${player.comparison.part.suffix}`;
    yield { path: `${name}.svg`, text: [renderPlayerSheet(player)] };
    yield { path: `${name}-details.svg`, text: [renderPlayerDetails(player)] };
    yield { path: `${name}.html`, text: [renderPlayerPage(player)] };
  }
  yield { path: 'index.html', text: [renderIndex(view, tables, reload_s())] };
}
