/** A comparison of stored days as the files of its output folder. */
import { compareCodeUnits } from '../base/text.ts';
import type { PlayerComparison } from '../model/comparison.ts';
import type { DayView } from '../report/views.ts';
import { CHECKPOINTS, checkpointRows } from '../tables/checkpoints.ts';
import { COMPARISON, comparedRows } from '../tables/comparison.ts';
import type { TableFormat } from '../tables/formats.ts';
import { ORDER_VERDICTS, orderVerdictRows } from '../tables/orders.ts';
import { jsonText } from '../tables/storedRecord.ts';
import { renderFigures } from './renderFigures.ts';
import { renderOrders } from './renderOrders.ts';
import { type OutputFile, renderReport } from './renderReport.ts';
import { type RunInput, sortedLibraries, tablesNote } from './runRecord.ts';
import { dataPackageFile, tableFiles, workbookFile } from './tableFiles.ts';
import { TABLES_VERSION } from './tablesVersion.ts';

/** What run.json says of a comparison. */
export interface ComparisonRun {
  readonly program: { readonly name: string; readonly version: string };
  readonly libraries: Readonly<Record<string, string>>;
  readonly days: readonly { readonly folder: string; readonly day: string; readonly date: string | null }[];
  readonly options: Readonly<Record<string, unknown>>;
  readonly inputs: readonly RunInput[];
  /** Formats of the tables; CSV is always written. */
  readonly tables: readonly TableFormat[];
}

/** Every file but run.json, then run.json: a folder with a run record is complete. */
export async function* renderComparison(
  comparisons: readonly PlayerComparison[],
  view: DayView,
  run: ComparisonRun,
): AsyncGenerator<OutputFile> {
  const orders = comparisons.some(({ orderChecks }) => orderChecks !== undefined);
  yield* tableFiles(COMPARISON, () => comparedRows(comparisons), run.tables);
  yield* tableFiles(CHECKPOINTS, () => checkpointRows(comparisons), run.tables);
  if (orders) yield* tableFiles(ORDER_VERDICTS, () => orderVerdictRows(comparisons), run.tables);
  const written = [COMPARISON, CHECKPOINTS, ...(orders ? [ORDER_VERDICTS] : [])];
  yield dataPackageFile('swingbasis-comparison', written, run.tables);
  yield* workbookFile(
    (sheet) => [
      sheet(COMPARISON, comparedRows(comparisons)),
      sheet(CHECKPOINTS, checkpointRows(comparisons)),
      ...(orders ? [sheet(ORDER_VERDICTS, orderVerdictRows(comparisons))] : []),
    ],
    run.tables,
  );
  yield* renderReport(view, written);
  if (run.options['figures'] === true) yield* renderFigures(view);
  if (orders) yield* renderOrders(view);
  yield { path: 'run.json', text: [comparisonRunText(run)] };
}

/** Text of run.json of a comparison. No clock, host or absolute path, so that equal runs have equal bytes. */
export function comparisonRunText({ program, libraries, days, options, inputs, tables }: ComparisonRun): string {
  const record = {
    program: program.name,
    version: program.version,
    tables: TABLES_VERSION,
    command: 'compare',
    days,
    options: { ...options, ...tablesNote(tables) },
    inputs: [...inputs].sort((a, b) => compareCodeUnits(a.path, b.path)),
    libraries: sortedLibraries(libraries),
  };
  return `${jsonText(record)}\n`;
}
