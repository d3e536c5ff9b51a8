/** From the folder of a processed day to the account of one number. */
import { resolve } from 'node:path';
import { ExplainError, meant } from '../pipeline/explain/asked.ts';
import { type ExplainRequest, explainCell } from '../pipeline/explain/explainCell.ts';
import type { Explanation } from '../pipeline/explain/explanation.ts';
import { readStoredDay, type StoredDay } from '../pipeline/storedDay.ts';
import { FileError } from './fileSource.ts';
import { storedFiles } from './runComparison.ts';

export interface ExplainedPlace extends ExplainRequest {
  readonly folder: string;
  readonly trial: string;
}

/** Reads the run record and that of the trial; the others only to say what a wrong name may have meant. @throws FileError @throws ExplainError */
export function runExplain({ folder, trial: asked, ...request }: ExplainedPlace): Explanation {
  const files = storedFiles(resolve(folder), folder, []);
  const trial = asked
    .replaceAll('\\', '/')
    .replace(/^trials\//, '')
    .replace(/\.json$/, '');
  const own = files.records.filter((path) => path === `trials/${trial}.json`);
  const { day, problems } = readStoredDay({ ...files, records: own });
  const record = day?.records.find(({ head }) => head.trial === trial);
  if (day !== null && record !== undefined) return explainCell(day, record, request);
  const whole = readStoredDay(files);
  if (whole.day === null) throw new FileError(whole.problems[0] ?? problems.join('\n'));
  throw new ExplainError(withoutRecord(whole.day, trial, whole.problems));
}

function withoutRecord(day: StoredDay, trial: string, problems: readonly string[]): string {
  const damaged = problems.find((problem) => problem.includes(`trials/${trial}.json: `));
  if (damaged !== undefined) return damaged;
  const outcome = day.outcomes.find((one) => one.trial === trial);
  if (outcome === undefined) {
    const trials = day.outcomes.map((one) => one.trial);
    return `${day.name} has no trial ${trial}${meant(trial, trials)}; ${day.name}/tables/trials.csv lists all`;
  }
  const { status, role, reason } = outcome;
  if (role !== 'swing') return `${trial} is a ${role} trial: it has no positions, and no number at one`;
  return `${trial} was ${status === 'failed' ? 'not analysed' : status.replace('-', ' ')}${reason === '' ? '' : `: ${reason}`}; nothing is stored of it`;
}
