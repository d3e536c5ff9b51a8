/** Days against each other as the files of their output folder. */
import { DEFAULT_REPORT, type ReportSettings } from '../model/reportSettings.ts';
import { SESSIONS, sessionLines } from '../tables/sessions.ts';
import type { SessionResult } from './compareSessions.ts';
import { type ComparisonRun, comparisonRunText } from './renderComparison.ts';
import type { OutputFile } from './renderReport.ts';
import { dataPackageFile, tableFiles, workbookFile } from './tableFiles.ts';

export { sessionHeadline } from '../report/sentences/sessionWords.ts';

/** Every file but run.json, then run.json: a folder with a run record is complete. */
export async function* renderSessions(
  { comparisons, notes }: SessionResult,
  run: ComparisonRun,
  settings: ReportSettings = DEFAULT_REPORT,
): AsyncGenerator<OutputFile> {
  yield* tableFiles(SESSIONS, () => sessionLines(comparisons), run.tables);
  yield dataPackageFile('swingbasis-sessions', [SESSIONS], run.tables);
  yield* workbookFile((sheet) => [sheet(SESSIONS, sessionLines(comparisons))], run.tables);
  const { renderSessionSheet } = await import('../report/sessionSheet.ts');
  const { renderSessionPage, sessionSheetFile } = await import('../report/sessionPage.ts');
  const programVersion = `${run.program.name} ${run.program.version}`;
  const { sessionInReportUnits } = await import('../report/sessionUnits.ts');
  const views = comparisons.map((own) => {
    return { comparison: sessionInReportUnits(own, settings), notes, programVersion, settings };
  });
  for (const view of views) yield { path: sessionSheetFile(view), text: [renderSessionSheet(view)] };
  yield { path: 'index.html', text: [renderSessionPage(views, notes, programVersion)] };
  yield { path: 'run.json', text: [comparisonRunText(run)] };
}
