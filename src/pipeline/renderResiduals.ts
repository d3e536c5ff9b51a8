import { DEFAULT_REPORT, type ReportSettings } from '../model/reportSettings.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import type { OutputFile } from './renderReport.ts';

/** `figures/<trial>-residuals.svg` of every swing that keeps the curves of its filter choice. */
export async function* renderResidualFigures(
  records: readonly SwingRecord[],
  { language }: ReportSettings = DEFAULT_REPORT,
): AsyncGenerator<OutputFile> {
  const { renderResiduals } = await import('../report/residualFigure.ts');
  const words = (await import('../report/words/languages.ts')).wordsOf(language);
  for (const { head, cutoffCurves } of records) {
    if (cutoffCurves === undefined) continue;
    yield {
      path: `figures/${head.trial}-residuals.svg`,
      text: [renderResiduals(words, head.trial, cutoffCurves)],
    };
  }
}
