/** Comparisons of a table measured elsewhere as the files of their output folder. */
import type { TableComparison } from '../model/swingTable.ts';
import type { TableView } from '../report/tablePage.ts';
import { comparedRows, TABLE_COMPARISON } from '../tables/comparison.ts';
import { type ComparisonRun, comparisonRunText } from './renderComparison.ts';
import type { OutputFile } from './renderReport.ts';
import { dataPackageFile, tableFiles, workbookFile } from './tableFiles.ts';

export { tableFinding, tableName } from '../report/sentences/tableWords.ts';

/** Every file but run.json, then run.json: a folder with a run record is complete. */
export async function* renderTable(
  comparisons: readonly TableComparison[],
  view: TableView,
  run: ComparisonRun,
): AsyncGenerator<OutputFile> {
  yield* tableFiles(TABLE_COMPARISON, () => comparedRows(comparisons), run.tables);
  yield dataPackageFile('swingbasis-table', [TABLE_COMPARISON], run.tables);
  yield* workbookFile((sheet) => [sheet(TABLE_COMPARISON, comparedRows(comparisons))], run.tables);
  const { renderTablePage } = await import('../report/tablePage.ts');
  yield { path: 'index.html', text: [renderTablePage(view)] };
  yield { path: 'run.json', text: [comparisonRunText(run)] };
}
