/** Results of a day as the files of the output folder, one after the other. */
import { orderAngles } from '../compare/orderAngles.ts';
import { repeatabilityRows } from '../compare/repeatability.ts';
import type { SeriesOf } from '../model/swingSeries.ts';
import { TABLES } from '../tables/allTables.ts';
import { CURVES } from '../tables/curves.ts';
import { CURVES_TIME } from '../tables/curvesTime.ts';
import { storedRecordText, storedStillText } from '../tables/storedRecord.ts';
import type { DayResult } from './analyseDay.ts';
import { copyFiles } from './copyFiles.ts';
import { dayView } from './dayView.ts';
import { renderFigures } from './renderFigures.ts';
import { renderOrders } from './renderOrders.ts';
import { type OutputFile, renderReport } from './renderReport.ts';
import { renderResidualFigures } from './renderResiduals.ts';
import { type RunInput, type RunOptions, runRecordText } from './runRecord.ts';
import { dataPackageFile, tableFiles, workbookFile } from './tableFiles.ts';

export type { OutputFile } from './renderReport.ts';

/**
 * Every file but run.json, then run.json: a folder with a run record is complete. `seriesOf` gives the swings at every frame, one at a time;
 * without it nothing that is made of them is written.
 */
export async function* renderDay(
  result: DayResult,
  inputs: readonly RunInput[],
  options: RunOptions,
  seriesOf: SeriesOf | null = null,
): AsyncGenerator<OutputFile> {
  const repeatability = repeatabilityRows(result.records);
  const formats = options.tables ?? [];
  const checked = options.orderCheck ?? [];
  const orders = checked.length > 0;
  const sources = {
    ...result,
    repeatability,
    seriesOf: seriesOf ?? (() => null),
    orderAngles: () => orderAngles(result.records, checked),
  };
  const asked = {
    curves: options.curves,
    curves_time: options.curves && seriesOf !== null,
    repeatability: repeatability.length > 0,
    orders,
    order_verdicts: orders,
  };
  const written = TABLES.filter((table) => !table.onRequest || asked[table.name as keyof typeof asked]);
  for (const table of written) {
    yield* table.write(sources, (one, rows) => tableFiles(one, rows, formats));
  }
  yield dataPackageFile('swingbasis-day', written, formats);
  // curves are too long for a sheet of a common day
  const inSheets = written.filter(({ name }) => name !== CURVES.name && name !== CURVES_TIME.name);
  yield* workbookFile(
    (sheet) => inSheets.map((table) => table.write(sources, (one, rows) => sheet(one, rows()))),
    formats,
  );
  yield* copyFiles(result.records, sources.seriesOf, formats, {
    day: result.plan.day,
    players: result.plan.players,
    program: result.program,
  });
  for (const record of result.records) {
    yield { path: `trials/${record.head.trial}.json`, text: [storedRecordText(record)] };
  }
  for (const { trial, still } of result.outcomes) {
    if (still != null) yield { path: `trials/${trial}.json`, text: [storedStillText(still)] };
  }
  const view = dayView(result, options.orders);
  yield* renderReport(view, written, options.reload_s);
  if (options.residuals === true) yield* renderResidualFigures(result.records, view.settings);
  if (options.figures === true) yield* renderFigures(view);
  if (orders) yield* renderOrders(view);
  yield { path: 'run.json', text: [runRecordText(result, inputs, options)] };
}
