/** What is written of one used swing, whatever the others hold: its rows of the tables, its record, its figures. */
import { type RepeatabilitySwing, repeatabilitySwing } from '../compare/repeatability.ts';
import type { ReportSettings } from '../model/reportSettings.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import type { SeriesOf } from '../model/swingSeries.ts';
import type { PackedRows } from '../tables/packedRows.ts';
import { storedRecordBytes } from '../tables/storedRecord.ts';
import { type DayTableOptions, swingRows } from './dayTables.ts';
import type { OutputFile } from './renderReport.ts';
import { renderResidualFigures } from './renderResiduals.ts';
import type { RunOptions } from './runRecord.ts';

/** What of a day shows in what is written of its swings. */
export interface SwingOutputOptions extends DayTableOptions, Pick<RunOptions, 'residuals'> {
  /** How the report is written; absent: as by default. */
  readonly report?: ReportSettings;
}

export interface SwingOutput {
  readonly rows: readonly PackedRows[];
  readonly files: readonly OutputFile[];
  /** What the table of repeatability takes from the swing. */
  readonly repeated: readonly RepeatabilitySwing[];
}

/** `seriesOf` null: the swings at every frame are not at hand. */
export async function swingOutput(
  record: SwingRecord,
  options: SwingOutputOptions,
  seriesOf: SeriesOf | null,
): Promise<SwingOutput> {
  const files: OutputFile[] = [{ path: `trials/${record.head.trial}.json`, text: storedRecordBytes(record) }];
  if (options.residuals === true) {
    for await (const file of renderResidualFigures([record], options.report)) files.push(file);
  }
  return { rows: swingRows(record, options, seriesOf), files, repeated: repeatabilitySwing(record) };
}
