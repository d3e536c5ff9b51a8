/** A few swings of the sample day at every frame, with the recordings they come from: a left-hander, gaps, sensors. */
import { join } from 'node:path';
import { dayIo, planDay } from '../../src/disk/plannedDay.ts';
import type { OrderRequest } from '../../src/model/analysisPlan.ts';
import type { SwingSeries } from '../../src/model/swingSeries.ts';
import { analyseDay, type DayResult } from '../../src/pipeline/analyseDay.ts';
import { analyseTrial } from '../../src/pipeline/analyseTrial.ts';
import { runnerHere } from '../../src/pipeline/trialRunner.ts';
import { SAMPLE_DATA } from './smallDay.ts';

export const LEFT = 'heron/1-driver-1';
export const GAPS = 'osprey/1-driver-4';
export const SENSORS = 'wren/sensors/1-driver-1';
const NEEDED = /^(heron\/0-static|osprey\/0-static|wren\/sensors\/(still|bow|tilt|hang-driver))$/;

export interface SampleSeries {
  readonly result: DayResult;
  readonly series: ReadonlyMap<string, SwingSeries>;
}

/** Runs them anew; nothing is kept between calls. */
export async function sampleSeries(orders: readonly OrderRequest[] = []): Promise<SampleSeries> {
  const planned = planDay({ dayFile: join(SAMPLE_DATA, 'day.yaml'), lab: null, data: null }, () => {});
  if (!planned.ok) throw new Error(planned.problems.join('\n'));
  const trials = planned.plan.trials.filter(({ id }) => NEEDED.test(id) || [LEFT, GAPS, SENSORS].includes(id));
  const series = new Map<string, SwingSeries>();
  const memory = {
    recall: () => null,
    keep: (_task: unknown, _files: unknown, _done: unknown, made: SwingSeries | null) => {
      if (made !== null) series.set(made.trial, made);
    },
  };
  const io = dayIo(SAMPLE_DATA, { pause: async () => {} });
  const runner = runnerHere(io, { analyse: analyseTrial, memory });
  const plan = { ...planned.plan, trials };
  const result = await analyseDay(plan, io, { orders, strict: false, series: true, runner });
  return { result, series };
}
