/** A player's season as the files of its output folder. */
import { DEFAULT_REPORT, type ReportSettings } from '../model/reportSettings.ts';
import type { Trend } from '../model/trend.ts';
import { TREND, trendLines } from '../tables/trend.ts';
import { type ComparisonRun, comparisonRunText } from './renderComparison.ts';
import type { OutputFile } from './renderReport.ts';
import { dataPackageFile, tableFiles } from './tableFiles.ts';

export { leftOutTexts, trendHeadline } from '../report/sentences/trendWords.ts';

/** Every file but run.json, then run.json: a folder with a run record is complete. */
export async function* renderTrend(
  trend: Trend,
  run: ComparisonRun,
  settings: ReportSettings = DEFAULT_REPORT,
): AsyncGenerator<OutputFile> {
  yield* tableFiles(TREND, () => trendLines(trend), run.tables);
  yield dataPackageFile('swingbasis-trend', [TREND], run.tables);
  const { renderTrendSheet, trendSheetFile } = await import('../report/trendSheet.ts');
  const { renderTrendPage } = await import('../report/trendPage.ts');
  const { trendInReportUnits } = await import('../report/sessionUnits.ts');
  const shown = trendInReportUnits(trend, settings);
  const view = { trend: shown, settings, programVersion: `${run.program.name} ${run.program.version}` };
  yield { path: trendSheetFile(trend), text: [renderTrendSheet(view)] };
  yield { path: 'index.html', text: [renderTrendPage(view)] };
  yield { path: 'run.json', text: [comparisonRunText(run)] };
}
