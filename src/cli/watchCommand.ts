import { performance } from 'node:perf_hooks';
import { setTimeout as delay } from 'node:timers/promises';
import type { BatchOptions } from '../batch/dayTrials.ts';
import { type DoneRun, type Round, type WatchEnd, type WatchTold, watchDay } from '../batch/watch.ts';
import type { DayRequest } from '../disk/plannedDay.ts';
import { countByStatus } from '../pipeline/runRecord.ts';
import { countsText, exitCodeOf, summaryText, troubleLines, warningLines } from './daySummary.ts';
import { EXIT, UsageError } from './exit.ts';
import { createProgress, type LogForm, type Progress, turn, watchStops, writeEvent } from './progress.ts';
import { findingLine, shownBelow } from './summary.ts';

const DEFAULT_SETTLE_S = 2;
/** A file that stands still and is not whole is waited for this many times longer than one that is. */
const PATIENCE = 15;
const RELOAD_S = 5;
/** A signal is noticed so soon while nothing is done. */
const SLICE_MS = 100;

/** @throws UsageError */
export function settleSeconds(text: string | undefined): number {
  if (text === undefined) return DEFAULT_SETTLE_S;
  const seconds = Number(text);
  if (!/^\d{1,4}(\.\d{1,3})?$/.test(text) || seconds < 0.1 || seconds > 3600) {
    throw new UsageError(`--settle: "${text}" is no number of seconds from 0.1 to 3600`);
  }
  return seconds;
}

/** Watches a day until the user ends it. Ended between two rounds it has the exit code of `process`, in the midst of one that of an interruption. */
export async function watchCommand(
  request: DayRequest & BatchOptions,
  settle_s: number,
  form: LogForm,
): Promise<number> {
  const settle_ms = 1000 * settle_s;
  const settings = { settle_ms, patience_ms: PATIENCE * settle_ms, look_ms: settle_ms / 2, reload_s: RELOAD_S };
  const progress = createProgress(form);
  const { stopped, release } = watchStops(progress.note);
  const clock = {
    now_ms: () => performance.now(),
    sleep: async (ms: number) => {
      const end = performance.now() + ms;
      while (!stopped() && performance.now() < end) await delay(Math.min(SLICE_MS, end - performance.now()));
    },
  };
  try {
    return endOf(await watchDay(request, settings, clock, toldOn(progress, form, stopped)), progress, form);
  } finally {
    progress.end();
    release();
  }
}

function toldOn(progress: Progress, form: LogForm, stopped: () => boolean): WatchTold {
  const isJson = form === 'json';
  const say = (event: string, fields: Readonly<Record<string, unknown>>, lines: readonly string[]): void => {
    if (isJson) writeEvent(event, fields);
    else for (const line of lines) progress.note(line);
  };
  const findings = new Map<string, string>();
  return {
    onNote: progress.note,
    pause: turn,
    stopped,
    onStart(out) {
      const page = shownBelow(out, 'index.html');
      say('watch', { page }, [`watching; the page is ${page}; Ctrl-C ends it`]);
    },
    onProgress(step, round) {
      // later rounds take nearly everything over: a line of their own is enough
      if (isJson ? !step.recalled : round === 1) progress.step(step);
    },
    onProblems(problems) {
      say('problems', { problems }, [...problems, 'the last results stay; watching goes on']);
    },
    onWaiting(lines) {
      say(
        'waiting',
        { lines },
        lines.map((line) => `waiting: ${line}`),
      );
    },
    onRound(round) {
      progress.end();
      const changed = changedFindings(round.run, findings);
      say('round', roundFields(round, changed), [roundText(round), ...troublesOf(round), ...changed]);
    },
  };
}

function troublesOf({ run, fresh }: Round): readonly string[] {
  const names = new Set(fresh);
  return troubleLines(run.result.outcomes.filter(({ trial }) => names.has(trial)));
}

function roundText({ round, run, fresh, held }: Round): string {
  const growing = held.length === 0 ? '' : `, ${held.length} file${held.length === 1 ? '' : 's'} not complete yet`;
  return `round ${round}: ${fresh.length} new or changed, ${countsText(run.result)}${growing}`;
}

function roundFields(
  { round, run, fresh, held }: Round,
  findings: readonly string[],
): Readonly<Record<string, unknown>> {
  const counts = countByStatus(run.result);
  return { round, analysed: fresh, ...counts, unchanged: run.recalled, held: held.map(({ path }) => path), findings };
}

/** Findings that are not what they were in the round before. */
function changedFindings({ result }: DoneRun, known: Map<string, string>): readonly string[] {
  return result.findings.map(findingLine).filter((line) => {
    const name = line.slice(0, line.indexOf(':'));
    if (known.get(name) === line) return false;
    known.set(name, line);
    return true;
  });
}

function endOf(end: WatchEnd, progress: Progress, form: LogForm): number {
  if (end.kind === 'problems') {
    for (const problem of end.problems) process.stderr.write(`${problem}\n`);
    process.stderr.write('the last results stay as they are\n');
    return EXIT.notRun;
  }
  const { result, out, recalled } = end.run;
  for (const line of warningLines(result)) progress.note(line);
  const waiting = end.kind === 'waiting' ? end.waiting : [];
  for (const line of waiting) progress.note(`missing: ${line}`);
  process.stdout.write(summaryText(result, out));
  const isCut = end.kind === 'cut';
  if (form === 'json') writeEvent('end', { ...countByStatus(result), unchanged: recalled, stopped: isCut });
  if (isCut) return EXIT.interrupted;
  return waiting.length > 0 ? EXIT.someBad : exitCodeOf(result);
}
