/** A comparison of stored days as the files of its output folder. */
import { compareCodeUnits } from '../base/text.ts';
import type { PlayerComparison } from '../model/comparison.ts';
import type { DayView } from '../report/views.ts';
import { CHECKPOINTS, checkpointRows } from '../tables/checkpoints.ts';
import { COMPARISON, comparedRows } from '../tables/comparison.ts';
import { csvText } from '../tables/csv.ts';
import { jsonText } from '../tables/storedRecord.ts';
import { renderFigures } from './renderFigures.ts';
import { type OutputFile, renderReport } from './renderReport.ts';
import { type RunInput, sortedLibraries } from './runRecord.ts';
import { TABLES_VERSION } from './tablesVersion.ts';

/** What run.json says of a comparison. */
export interface ComparisonRun {
  readonly program: { readonly name: string; readonly version: string };
  readonly libraries: Readonly<Record<string, string>>;
  readonly days: readonly { readonly folder: string; readonly day: string; readonly date: string | null }[];
  readonly options: Readonly<Record<string, unknown>>;
  readonly inputs: readonly RunInput[];
}

/** Every file but run.json, then run.json: a folder with a run record is complete. */
export async function* renderComparison(
  comparisons: readonly PlayerComparison[],
  view: DayView,
  run: ComparisonRun,
): AsyncGenerator<OutputFile> {
  yield { path: 'tables/comparison.csv', text: csvText(COMPARISON, comparedRows(comparisons)) };
  yield { path: 'tables/checkpoints.csv', text: csvText(CHECKPOINTS, checkpointRows(comparisons)) };
  yield* renderReport(view);
  if (run.options['figures'] === true) yield* renderFigures(view);
  yield { path: 'run.json', text: [comparisonRunText(run)] };
}

/** Text of run.json of a comparison. No clock, host or absolute path, so that equal runs have equal bytes. */
export function comparisonRunText({ program, libraries, days, options, inputs }: ComparisonRun): string {
  const record = {
    program: program.name,
    version: program.version,
    tables: TABLES_VERSION,
    command: 'compare',
    days,
    options,
    inputs: [...inputs].sort((a, b) => compareCodeUnits(a.path, b.path)),
    libraries: sortedLibraries(libraries),
  };
  return `${jsonText(record)}\n`;
}
