/** Copies of the used swings for other programs, one swing after the other. */
import type { SwingRecord } from '../model/swingRecord.ts';
import type { SeriesOf } from '../model/swingSeries.ts';
import type { TableFormat } from '../tables/formats.ts';
import { type ProgramName, trialC3dBytes } from '../tables/trialC3d.ts';
import type { OutputFile } from './renderReport.ts';

/** `tables/c3d/<trial id>.c3d` of every swing whose frames are there, where it is asked for. */
export async function* copyFiles(
  records: Iterable<SwingRecord>,
  seriesOf: SeriesOf,
  formats: readonly TableFormat[],
  program: ProgramName,
): AsyncGenerator<OutputFile> {
  if (!formats.includes('c3d')) return;
  for (const record of records) {
    const { trial } = record.head;
    const series = seriesOf(trial);
    if (series !== null) yield { path: `tables/c3d/${trial}.c3d`, text: [trialC3dBytes(series, record, program)] };
  }
}
