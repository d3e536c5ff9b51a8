/** Copies of the used swings for other programs, one swing after the other. */
import type { SwingRecord } from '../model/swingRecord.ts';
import type { SeriesOf } from '../model/swingSeries.ts';
import type { TrialHead } from '../model/trial.ts';
import { type BidsDay, datasetFiles } from '../tables/bids/dataset.ts';
import { type BidsName, bidsNames } from '../tables/bids/labels.ts';
import { type BidsFile, recordingFiles } from '../tables/bids/recording.ts';
import type { TableFormat } from '../tables/formats.ts';
import { type ProgramName, trialC3dBytes } from '../tables/trialC3d.ts';
import type { OutputFile } from './renderReport.ts';

/** The copies that are asked for, of every swing whose frames are there; the records may be gone through more than once, and one is held at a time. */
export async function* copyFiles(
  records: Iterable<SwingRecord>,
  seriesOf: SeriesOf,
  formats: readonly TableFormat[],
  day: BidsDay,
): AsyncGenerator<OutputFile> {
  if (formats.includes('c3d')) yield* c3dFiles(records, seriesOf, day.program);
  if (formats.includes('bids')) yield* bidsFiles(records, seriesOf, day);
}

/** `tables/c3d/<trial id>.c3d`. */
function* c3dFiles(records: Iterable<SwingRecord>, seriesOf: SeriesOf, program: ProgramName): Generator<OutputFile> {
  for (const record of records) {
    const { trial } = record.head;
    const series = seriesOf(trial);
    if (series !== null) yield { path: `tables/c3d/${trial}.c3d`, text: [trialC3dBytes(series, record, program)] };
  }
}

/** A Motion-BIDS data set in `tables/bids`; one without a swing is not written. */
function* bidsFiles(records: Iterable<SwingRecord>, seriesOf: SeriesOf, day: BidsDay): Generator<OutputFile> {
  const placed = ({ path, text }: BidsFile): OutputFile => ({ path: `tables/bids/${path}`, text });
  const written: BidsName[] = [];
  const heads: TrialHead[] = [];
  for (const { head } of records) heads.push(head);
  const names = new Map(bidsNames(heads).map((name) => [name.head.trial, name]));
  for (const record of records) {
    const { trial } = record.head;
    const name = names.get(trial)!;
    const series = seriesOf(trial);
    if (series === null) continue;
    written.push(name);
    for (const file of recordingFiles(name, record, series)) yield placed(file);
  }
  if (written.length > 0) for (const file of datasetFiles(day, written)) yield placed(file);
}
