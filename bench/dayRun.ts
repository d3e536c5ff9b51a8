/** One run of a day in a process of its own, so that its peak memory is its own: dayRun.js DAYFILE OUT WORKERS prints its times as JSON. */
import { performance } from 'node:perf_hooks';
import { runDay } from '../src/batch/runDay.ts';
import type { DayRunTimes } from './day.ts';

const [dayFile = '', out = '', workers = '1'] = process.argv.slice(2);
const start = performance.now();
let analysed = start;
const run = await runDay(
  { dayFile, out, lab: null, data: null, orders: [], curves: false, strict: false, workers: Number(workers) },
  {
    onNote: () => {},
    onProgress: () => {
      analysed = performance.now();
    },
    onWriting: () => {},
    pause: async () => {},
  },
);
if (!run.ok) throw new Error(run.problems.join('\n'));
const times: DayRunTimes = {
  trials: run.result.outcomes.length,
  analysis_s: (analysed - start) / 1000,
  whole_s: (performance.now() - start) / 1000,
  peak_MB: process.resourceUsage().maxRSS / 1024,
};
process.stdout.write(JSON.stringify(times));
