/** Each panel of the sheets as a drawing of its own, and its numbers beside it. */
import type { PlayerComparison } from '../model/comparison.ts';
import { DEFAULT_REPORT } from '../model/reportSettings.ts';
import type { FigurePanel } from '../report/figurePanels.ts';
import type { DayView } from '../report/views.ts';
import { csvText } from '../tables/csv.ts';
import {
  FIGURE_ORDER,
  FIGURE_POINTS,
  FIGURE_TABLE,
  figureCurveRows,
  figureCurveTable,
  figureOrderRows,
  figurePointRows,
  figureSwingRows,
  figureSwingTable,
} from '../tables/figures.ts';
import type { OutputFile } from './renderReport.ts';

/** `figures/<player>/<panel>.svg` and `.csv` of every comparison. */
export async function* renderFigures(view: DayView): AsyncGenerator<OutputFile> {
  const { panelsOf, renderPanel } = await import('../report/figurePanels.ts');
  for (const { inTableUnits, settings, ...shown } of view.players) {
    // drawing and numbers beside it are in the units of the tables
    const comparison = inTableUnits ?? shown.comparison;
    const { speed, length } = DEFAULT_REPORT;
    const player = {
      ...shown,
      comparison,
      ...(settings === undefined ? {} : { settings: { ...settings, speed, length } }),
    };
    for (const panel of panelsOf(player)) {
      const name = `figures/${comparison.player}${comparison.part.suffix}/${panel.name}`;
      yield { path: `${name}.svg`, text: [renderPanel(player, panel)] };
      yield { path: `${name}.csv`, text: numbersOf(comparison, panel) };
    }
  }
}

/** The numbers of a panel as a table. */
export function numbersOf(comparison: PlayerComparison, panel: FigurePanel): Iterable<string> {
  switch (panel.kind) {
    case 'positions':
      return csvText(FIGURE_POINTS, figurePointRows(comparison, panel.figures));
    case 'curve':
      return csvText(figureCurveTable(panel.curve.unit), figureCurveRows(comparison, panel.curve, panel.times));
    case 'swings':
      return csvText(figureSwingTable(panel.marks.unit), figureSwingRows(comparison, panel.marks));
    case 'order':
      return csvText(FIGURE_ORDER, figureOrderRows(comparison, panel.method, panel.links));
    case 'table':
      return csvText(
        FIGURE_TABLE,
        panel.rows.map((row) => ({ of: comparison, row })),
      );
  }
}
