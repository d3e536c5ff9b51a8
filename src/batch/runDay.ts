/** A day file to a written output folder: on all cores, taking over what an earlier run did. */
import { checkOutputFolder, writeOutput } from '../disk/outputFolder.ts';
import { libraryFacts, programFacts } from '../disk/packageFacts.ts';
import { captureInputs, type DayRequest, type PlannedRun, planRun } from '../disk/plannedDay.ts';
import type { SeriesOf } from '../model/swingSeries.ts';
import { judgedResult } from '../pipeline/analyseDay.ts';
import type { PartRenderer } from '../pipeline/partRenderer.ts';
import { type DayEnd, streamDay, type Written } from '../pipeline/renderDay.ts';
import { needsSeries, type RunOptions } from '../pipeline/runRecord.ts';
import { type BatchOptions, type DayTrials, startWork, type TrialsWatch } from './dayTrials.ts';
import { lockFolder } from './lock.ts';
import { programSum } from './programSum.ts';
import { removeOtherPrograms, storedSeries } from './resultStore.ts';

export interface DayWatch extends TrialsWatch {
  readonly onWriting: (written: Written) => void;
}

/** Either problems of the day file, nothing then written, or a result, where it was written and how many trials were taken over from an earlier run. */
export type DayRun =
  | { readonly ok: false; readonly problems: readonly string[] }
  | { readonly ok: true; readonly result: DayEnd; readonly out: string; readonly recalled: number };

/** From a day file to a written output folder. @throws FileError where files or folders cannot be used or another run writes there */
export async function runDay(request: DayRequest & BatchOptions, watch: DayWatch): Promise<DayRun> {
  const day = planRun(request, watch.onNote);
  if (!day.ok) return day;
  checkOutputFolder(day.out);
  const unlock = request.isLocked === true ? () => {} : await lockFolder(day.out, watch.onNote);
  try {
    const place = { out: day.out, program: programSum(request.analysis) };
    const settings = { ...request, series: needsSeries(request) };
    const work = await startWork(day, settings, place, watch);
    try {
      const { recalled, ...trials } = await work.trials(() => true);
      const seriesOf = storedSeries(place, trials.keys, watch.onNote);
      const result = await writeDay(day, trials, request, watch, { seriesOf, renderer: work.renderer(seriesOf) });
      removeOtherPrograms(place);
      return { ok: true, result, out: day.out, recalled };
    } finally {
      await work.close();
    }
  } finally {
    unlock();
  }
}

/** Judges, compares and writes a day whose trials are done. @throws FileError */
export async function writeDay(
  { plan, inputs, out }: Pick<PlannedRun, 'plan' | 'inputs' | 'out'>,
  { outcomes, shelf }: Pick<DayTrials, 'outcomes' | 'shelf'>,
  options: RunOptions,
  { pause, onWriting }: Pick<DayWatch, 'pause' | 'onWriting'>,
  { seriesOf, renderer }: { readonly seriesOf: SeriesOf; readonly renderer: PartRenderer | null },
): Promise<DayEnd> {
  const facts = { program: programFacts(), libraries: libraryFacts() };
  const day = judgedResult(plan, facts, outcomes, shelf);
  let end: DayEnd = { outcomes: day.outcomes, findings: [] };
  const onEnd = (found: DayEnd): void => {
    end = found;
  };
  const files = streamDay(day, [...inputs, ...captureInputs(outcomes)], options, {
    seriesOf,
    onWritten: onWriting,
    onEnd,
    ...(renderer === null ? {} : { renderer }),
  });
  await writeOutput(out, files, pause);
  return end;
}
