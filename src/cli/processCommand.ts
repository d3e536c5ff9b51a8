import { join } from 'node:path';
import { PACKAGE_FOLDER } from '../disk/packageFacts.ts';
import type { DayRequest } from '../disk/plannedDay.ts';
import { runDay } from '../disk/runDay.ts';
import type { OrderRequest } from '../model/analysisPlan.ts';
import type { DayResult } from '../pipeline/analyseDay.ts';
import { parseOrders } from '../pipeline/orders.ts';
import { countByStatus } from '../pipeline/runRecord.ts';
import { outlyingText } from '../report/sentences/doubts.ts';
import { EXIT, UsageError } from './exit.ts';
import type { DemoFlags, ProcessFlags } from './main.ts';
import { type PrintStep, withPrinting } from './printing.ts';
import { createProgress, watchSignals } from './progress.ts';
import { findingLine, shownBelow } from './summary.ts';
import { formatsOf } from './tablesOption.ts';

export async function processCommand(dayFile: string, flags: ProcessFlags): Promise<number> {
  const request = {
    dayFile,
    out: flags.out ?? null,
    lab: flags.lab ?? null,
    data: flags.data ?? null,
    curves: flags.curves,
    orders: ordersOf(flags.orders),
    strict: flags.strict,
    residuals: flags.residuals,
    repair: flags.repair,
    figures: flags.figures,
    tables: formatsOf(flags.tables),
  };
  return await withPrinting(flags, (print) => processDay(request, print));
}

export async function demoCommand(flags: DemoFlags): Promise<number> {
  const dayFile = join(PACKAGE_FOLDER, 'samples', 'day', 'day.yaml');
  const request = { dayFile, out: flags.out, lab: null, data: null, curves: false, orders: [], strict: false };
  return await withPrinting(flags, (print) => processDay(request, print));
}

function ordersOf(text: string | undefined): readonly OrderRequest[] {
  try {
    return parseOrders(text ?? '');
  } catch (error) {
    if (error instanceof RangeError) throw new UsageError(`--orders: ${error.message}`);
    throw error;
  }
}

async function processDay(request: DayRequest, print: PrintStep): Promise<number> {
  const progress = createProgress();
  const { pause, release } = watchSignals();
  try {
    const run = await runDay(request, {
      onNote: (note) => process.stderr.write(`${note}\n`),
      onProgress: ({ done, total, outcome }) => progress.step(done, total, outcome.trial),
      onWriting: () => progress.end(),
      pause,
    });
    if (!run.ok) {
      for (const problem of run.problems) process.stderr.write(`${problem}\n`);
      const count = run.problems.length;
      process.stderr.write(`${count} problem${count === 1 ? '' : 's'} in the day file; nothing was processed\n`);
      return EXIT.notRun;
    }
    process.stderr.write(warningsText(run.result));
    process.stdout.write(summaryText(run.result, run.out));
    const printed = await print(run.out, pause);
    const counts = countByStatus(run.result);
    return counts.rejected + counts.failed > 0 ? EXIT.someBad : printed;
  } finally {
    progress.end();
    release();
  }
}

/** One line per trial that is not used or used with a doubt, one finding per player, the counts, and where the report is. */
function summaryText(result: DayResult, out: string): string {
  const lines: string[] = [];
  for (const { trial, status, reason } of result.outcomes) {
    if (status !== 'used') lines.push(`${status}: ${trial}: ${reason.replace(/\s+/g, ' ')}`);
  }
  for (const { trial, status, gate, outlying } of result.outcomes) {
    if (status !== 'used') continue;
    if (gate?.verdict === 'review') lines.push(`review: ${trial}: ${gate.reasons.map(({ text }) => text).join('; ')}`);
    if (outlying !== undefined) lines.push(`outlying: ${trial}: ${outlyingText(outlying)}`);
  }
  lines.push(...result.comparisons.map(findingLine));
  const counts = countByStatus(result);
  const other = (['left-out', 'rejected', 'failed'] as const).flatMap((status) =>
    counts[status] === 0 ? [] : [`${counts[status]} ${status.replace('-', ' ')}`],
  );
  lines.push(`${[`${counts.used} of ${result.outcomes.length} trials used`, ...other].join(', ')}`);
  lines.push(`report: ${shownBelow(out, 'index.html')}`);
  return `${lines.join('\n')}\n`;
}

/** Warnings of the used trials, one line a code: in how many trials, the first of them, what it says there. */
function warningsText(result: DayResult): string {
  const byCode = new Map<string, { trials: string[]; message: string }>();
  for (const { trial, status, diagnostics } of result.outcomes) {
    if (status !== 'used') continue;
    for (const { code, severity, message } of diagnostics) {
      if (severity === 'info') continue;
      const entry = byCode.get(code) ?? { trials: [], message };
      if (!entry.trials.includes(trial)) entry.trials.push(trial);
      byCode.set(code, entry);
    }
  }
  return [...byCode]
    .map(([code, { trials, message }]) => {
      const where = trials.length === 1 ? `in ${trials[0]}` : `in ${trials.length} trials, first ${trials[0]}`;
      return `warning ${code} ${where}: ${message.replace(/\s+/g, ' ')}\n`;
    })
    .join('');
}
