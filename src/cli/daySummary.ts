/** The end of a day on the screen: what was not used and why, the findings, what to look at first. */
import type { DayOutcome } from '../model/swingRecord.ts';
import type { DayEnd } from '../pipeline/renderDay.ts';
import { countByStatus } from '../pipeline/runRecord.ts';
import { outlyingText } from '../report/sentences/doubts.ts';
import { EN } from '../report/words/en.ts';
import { EXIT } from './exit.ts';
import { findingLine, orderLines, shownBelow } from './summary.ts';

/** One line per trial that is not used or used with a doubt, one finding per player, the counts, what to look at first, and where the report is. */
export function summaryText(result: DayEnd, out: string): string {
  const lines = [
    ...troubleLines(result.outcomes),
    ...result.findings.map(findingLine),
    ...orderLines(result.findings),
    countsText(result),
  ];
  const first = lookFirst(result.outcomes);
  if (first !== null) lines.push(`look first at: ${first}`);
  lines.push(`report: ${shownBelow(out, 'index.html')}`);
  return `${lines.join('\n')}\n`;
}

/** One line per trial that is not used, then those that are used with a doubt. */
export function troubleLines(outcomes: readonly DayOutcome[]): readonly string[] {
  const lines: string[] = [];
  for (const { trial, status, reason } of outcomes) {
    if (status !== 'used') lines.push(`${status}: ${trial}: ${oneLine(reason)}`);
  }
  for (const { trial, status, gate, outlying } of outcomes) {
    if (status !== 'used') continue;
    if (gate?.verdict === 'review') lines.push(`review: ${trial}: ${gate.reasons.map(({ text }) => text).join('; ')}`);
    if (outlying !== undefined) lines.push(`outlying: ${trial}: ${outlyingText(EN, outlying)}`);
  }
  return lines;
}

/** '14 of 17 trials used, 1 left out, 2 rejected'. */
export function countsText(result: Pick<DayEnd, 'outcomes'>): string {
  const counts = countByStatus(result);
  const other = (['left-out', 'rejected', 'failed'] as const).flatMap((status) =>
    counts[status] === 0 ? [] : [`${counts[status]} ${status.replace('-', ' ')}`],
  );
  return [`${counts.used} of ${result.outcomes.length} trials used`, ...other].join(', ');
}

/**
 * The trial whose repair helps most: one that swings rest on and that is not used, with the most swings; then one that failed, one that was
 * rejected, one for review; null on a day without any.
 */
export function lookFirst(outcomes: readonly DayOutcome[]): string | null {
  const isLost = ({ status }: DayOutcome): boolean => status === 'failed' || status === 'rejected';
  const swingsOf = ({ player }: DayOutcome): number =>
    outcomes.filter((one) => one.player === player && one.role === 'swing').length;
  const bases = outcomes.filter((one) => one.role !== 'swing' && isLost(one)).sort((a, b) => swingsOf(b) - swingsOf(a));
  const base = bases[0];
  if (base !== undefined) {
    return `${base.trial} (${base.role}, ${base.status}: ${swingsOf(base)} swings of ${base.player} may rest on it)`;
  }
  for (const status of ['failed', 'rejected'] as const) {
    const lost = outcomes.filter((one) => one.status === status);
    if (lost.length > 0) return named(lost, status);
  }
  const doubtful = outcomes.filter(isDoubtful);
  return doubtful.length === 0 ? null : named(doubtful, 'for review');
}

function named(trials: readonly DayOutcome[], what: string): string {
  const more = trials.length === 1 ? '' : `, the first of ${trials.length}`;
  return `${trials[0]!.trial} (${what}${more})`;
}

function isDoubtful({ status, gate }: DayOutcome): boolean {
  return status === 'used' && gate?.verdict === 'review';
}

/** Warnings of the used trials, one line a code: in how many trials, the first of them, what it says there. */
export function warningLines(result: DayEnd): readonly string[] {
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
  return [...byCode].map(([code, { trials, message }]) => {
    const where = trials.length === 1 ? `in ${trials[0]}` : `in ${trials.length} trials, first ${trials[0]}`;
    return `warning ${code} ${where}: ${oneLine(message)}`;
  });
}

function oneLine(text: string): string {
  return text.replace(/\s+/g, ' ');
}

export function exitCodeOf(result: Pick<DayEnd, 'outcomes'>): number {
  const { rejected, failed } = countByStatus(result);
  return rejected + failed > 0 ? EXIT.someBad : EXIT.used;
}
