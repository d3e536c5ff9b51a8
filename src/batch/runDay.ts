/** A day file to a written output folder: on all cores, taking over what an earlier run did. */
import { checkOutputFolder, writeOutput } from '../disk/outputFolder.ts';
import { libraryFacts, programFacts } from '../disk/packageFacts.ts';
import { captureInputs, type DayRequest, type PlannedRun, planRun } from '../disk/plannedDay.ts';
import type { TrialOutcome } from '../model/swingRecord.ts';
import type { SeriesOf } from '../model/swingSeries.ts';
import { compareOutcomes, type DayResult } from '../pipeline/analyseDay.ts';
import { renderDay } from '../pipeline/renderDay.ts';
import { needsSeries, type RunOptions } from '../pipeline/runRecord.ts';
import { type BatchOptions, runTrials, type TrialsWatch } from './dayTrials.ts';
import { lockFolder } from './lock.ts';
import { programSum } from './programSum.ts';
import { removeOtherPrograms, storedSeries } from './resultStore.ts';

export interface DayWatch extends TrialsWatch {
  readonly onWriting: () => void;
}

/** Either problems of the day file, nothing then written, or a result, where it was written and how many trials were taken over from an earlier run. */
export type DayRun =
  | { readonly ok: false; readonly problems: readonly string[] }
  | { readonly ok: true; readonly result: DayResult; readonly out: string; readonly recalled: number };

/** From a day file to a written output folder. @throws FileError where files or folders cannot be used or another run writes there */
export async function runDay(request: DayRequest & BatchOptions, watch: DayWatch): Promise<DayRun> {
  const day = planRun(request, watch.onNote);
  if (!day.ok) return day;
  checkOutputFolder(day.out);
  const unlock = request.isLocked === true ? () => {} : await lockFolder(day.out, watch.onNote);
  try {
    const place = { out: day.out, program: programSum(request.analysis) };
    const settings = { ...request, series: needsSeries(request) };
    const { outcomes, recalled, keys } = await runTrials(day, settings, place, watch, () => true);
    const result = await writeDay(day, outcomes, request, watch, storedSeries(place, keys, watch.onNote));
    removeOtherPrograms(place);
    return { ok: true, result, out: day.out, recalled };
  } finally {
    unlock();
  }
}

/** Compares and writes a day whose trials are done. @throws FileError */
export async function writeDay(
  day: Pick<PlannedRun, 'plan' | 'inputs' | 'out'>,
  outcomes: readonly TrialOutcome[],
  options: RunOptions,
  { pause, onWriting }: Pick<DayWatch, 'pause' | 'onWriting'>,
  seriesOf: SeriesOf,
): Promise<DayResult> {
  const facts = { pause, program: programFacts(), libraries: libraryFacts() };
  const result = await compareOutcomes(day.plan, facts, outcomes, options);
  onWriting();
  await writeOutput(day.out, renderDay(result, [...day.inputs, ...captureInputs(outcomes)], options, seriesOf), pause);
  return result;
}
