import { join } from 'node:path';
import type { BatchOptions } from '../batch/dayTrials.ts';
import { type DayRun, runDay } from '../batch/runDay.ts';
import { runShard, type Shard, type ShardRun } from '../batch/shards.ts';
import { PACKAGE_FOLDER } from '../disk/packageFacts.ts';
import type { DayRequest } from '../disk/plannedDay.ts';
import { countByStatus } from '../pipeline/runRecord.ts';
import { exitCodeOf, summaryText, warningLines } from './daySummary.ts';
import { EXIT, UsageError } from './exit.ts';
import { languageOf } from './languageOption.ts';
import type { DemoFlags, ProcessFlags } from './main.ts';
import { orderCheckOf, ordersOf } from './ordersOption.ts';
import { type PrintStep, withPrinting } from './printing.ts';
import { createProgress, LOG_FORMS, type LogForm, type Progress, turn, watchStops, writeEvent } from './progress.ts';
import { shardOf } from './shardOption.ts';
import { formatsOf } from './tablesOption.ts';
import { settleSeconds, watchCommand } from './watchCommand.ts';

export async function processCommand(dayFile: string, flags: ProcessFlags): Promise<number> {
  const request = {
    dayFile,
    out: flags.out ?? null,
    lab: flags.lab ?? null,
    data: flags.data ?? null,
    curves: flags.curves,
    orders: ordersOf(flags.orders),
    ...(flags.orderCheck === undefined ? {} : { orderCheck: orderCheckOf(flags.orderCheck) }),
    strict: flags.strict,
    residuals: flags.residuals,
    repair: flags.repair,
    figures: flags.figures,
    tables: formatsOf(flags.tables, true),
    ...languageOf(flags.language),
    ...batchOptions(flags),
  };
  const form = logForm(flags.log ?? 'text');
  if (flags.settle !== undefined && !flags.watch) throw new UsageError('--settle belongs to --watch');
  if (flags.shard !== undefined) {
    if (flags.watch) throw new UsageError('--watch belongs to a whole day, not to a share of one');
    if (flags.pdf || flags.png) throw new UsageError('--pdf and --png belong to gather: a shard writes no report');
    return await processShard(request, shardOf(flags.shard, process.env), form);
  }
  if (flags.watch) {
    if (flags.pdf || flags.png) throw new UsageError('--pdf and --png belong to a run of its own after the watching');
    return await watchCommand(request, settleSeconds(flags.settle), form);
  }
  return await withPrinting(flags, (print) => processDay(request, form, print));
}

export async function demoCommand(flags: DemoFlags): Promise<number> {
  const dayFile = join(PACKAGE_FOLDER, 'samples', 'day', 'day.yaml');
  const request = {
    dayFile,
    out: flags.out,
    lab: null,
    data: null,
    curves: false,
    orders: [],
    strict: false,
    ...languageOf(flags.language),
  };
  return await withPrinting(flags, (print) => processDay(request, 'text', print));
}

function logForm(text: string): LogForm {
  const form = LOG_FORMS.find((one) => one === text);
  if (form === undefined) throw new UsageError(`--log: "${text}" is none of ${LOG_FORMS.join(', ')}`);
  return form;
}

function batchOptions({ workers, trialLimit }: ProcessFlags): BatchOptions {
  return {
    ...(workers === undefined ? {} : { workers: wholeNumber('--workers', workers) }),
    ...(trialLimit === undefined ? {} : { trialLimit_s: wholeNumber('--trial-limit', trialLimit) }),
  };
}

function wholeNumber(option: string, text: string): number {
  if (!/^[1-9]\d{0,5}$/.test(text)) throw new UsageError(`${option}: "${text}" is no whole number from 1 up`);
  return Number(text);
}

/** Runs with progress and the two steps of an interruption; what `work` returns is the exit code unless the user ended the run. */
async function watched(
  form: LogForm,
  work: (progress: Progress, stopped: () => boolean) => Promise<number>,
): Promise<number> {
  const progress = createProgress(form);
  const { stopped, release } = watchStops(progress.note);
  try {
    const code = await work(progress, stopped);
    return stopped() && code !== EXIT.notRun ? EXIT.interrupted : code;
  } finally {
    progress.end();
    release();
  }
}

function dayProblems({ problems }: (DayRun | ShardRun) & { readonly ok: false }): number {
  for (const problem of problems) process.stderr.write(`${problem}\n`);
  const count = problems.length;
  process.stderr.write(`${count} problem${count === 1 ? '' : 's'} in the day file; nothing was processed\n`);
  return EXIT.notRun;
}

async function processDay(request: DayRequest & BatchOptions, form: LogForm, print: PrintStep): Promise<number> {
  return await watched(form, async (progress, stopped) => {
    const run = await runDay(request, {
      onNote: progress.note,
      onProgress: progress.step,
      onWriting: progress.writing,
      pause: turn,
      stopped,
    });
    progress.end();
    if (!run.ok) return dayProblems(run);
    const { result, out, recalled } = run;
    for (const line of warningLines(result)) progress.note(line);
    if (recalled > 0) progress.note(`${recalled} of ${result.outcomes.length} trials unchanged`);
    process.stdout.write(summaryText(result, out));
    const printed = stopped() ? EXIT.used : await print(out, turn);
    const code = exitCodeOf(result) === EXIT.used ? printed : EXIT.someBad;
    if (form === 'json') writeEvent('end', { ...countByStatus(result), unchanged: recalled, stopped: stopped() });
    return code;
  });
}

async function processShard(request: DayRequest & BatchOptions, shard: Shard, form: LogForm): Promise<number> {
  return await watched(form, async (progress, stopped) => {
    const run = await runShard(request, shard, {
      onNote: progress.note,
      onProgress: progress.step,
      pause: turn,
      stopped,
    });
    if (!run.ok) return dayProblems(run);
    const counts = countByStatus(run);
    const name = `shard ${shard.index}/${shard.count}`;
    if (run.recalled > 0) progress.note(`${run.recalled} of ${run.outcomes.length} trials unchanged`);
    const what = `${counts.used} of its ${run.outcomes.length} trials used, ${counts.rejected + counts.failed} rejected or failed`;
    process.stdout.write(`${name}: ${run.isDone ? what : 'ended before it was done; run it again to finish it'}\n`);
    if (form === 'json') writeEvent('end', { ...counts, unchanged: run.recalled, stopped: stopped() });
    return exitCodeOf(run);
  });
}
