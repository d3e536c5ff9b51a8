import { compareCodeUnits } from '../base/text.ts';
import type { OrderRequest } from '../model/analysisPlan.ts';
import type { TrialStatus } from '../model/swingRecord.ts';
import { jsonText } from '../tables/storedRecord.ts';
import type { DayResult } from './analyseDay.ts';

/** Of the columns and names of the output; raised when one changes its meaning or name. */
export const TABLES_VERSION = 1;

export interface RunInput {
  /** As in the day file, or the bare name of the day file and the lab file. */
  readonly path: string;
  readonly bytes: number;
  readonly sha256: string;
}

export interface RunOptions {
  readonly curves: boolean;
  readonly strict: boolean;
  readonly orders: readonly OrderRequest[];
}

export function countByStatus(result: Pick<DayResult, 'outcomes'>): Readonly<Record<TrialStatus, number>> {
  const counts = { used: 0, 'left-out': 0, rejected: 0, failed: 0 };
  for (const outcome of result.outcomes) counts[outcome.status] += 1;
  return counts;
}

/** Text of run.json: what was run on what. No clock, host or absolute path, so that equal runs have equal bytes. */
export function runRecordText(result: DayResult, inputs: readonly RunInput[], options: RunOptions): string {
  const counts = countByStatus(result);
  const record = {
    program: result.program.name,
    version: result.program.version,
    tables: TABLES_VERSION,
    day: result.plan.day,
    date: result.plan.date,
    options: {
      curves: options.curves,
      strict: options.strict,
      orders: options.orders.map(({ segment, order }) => `${segment}:${order}`),
    },
    inputs: [...inputs].sort((a, b) => compareCodeUnits(a.path, b.path)),
    trials: { used: counts.used, left_out: counts['left-out'], rejected: counts.rejected, failed: counts.failed },
    libraries: Object.fromEntries(Object.entries(result.libraries).sort(([a], [b]) => compareCodeUnits(a, b))),
  };
  return `${jsonText(record)}\n`;
}
