import { runCheck } from '../disk/runCheck.ts';
import { checkJson, checkText } from '../pipeline/checkText.ts';
import { EXIT } from './exit.ts';
import { createProgress, watchSignals } from './progress.ts';

export interface CheckFlags {
  readonly lab?: string;
  readonly data?: string;
  readonly json: boolean;
  readonly repair: boolean;
}

/** Exit code 1 where a trial is rejected or failed; files that are not there yet cost none. */
export async function checkCommand(dayFile: string, flags: CheckFlags): Promise<number> {
  const progress = createProgress('text');
  const { pause, release } = watchSignals();
  try {
    const place = { dayFile, lab: flags.lab ?? null, data: flags.data ?? null };
    const run = await runCheck(place, flags.repair, {
      onNote: progress.note,
      onProgress: progress.step,
      pause,
    });
    progress.end();
    if (!run.ok) {
      const count = run.problems.length;
      process.stderr.write(`${run.problems.join('\n')}\n`);
      process.stderr.write(`${count} problem${count === 1 ? '' : 's'} in the day file; nothing was checked\n`);
      return EXIT.notRun;
    }
    process.stdout.write(flags.json ? checkJson(run.check) : checkText(run.check));
    const isBad = run.check.trials.some(({ verdict }) => verdict === 'reject' || verdict === 'failed');
    return isBad ? EXIT.someBad : EXIT.used;
  } finally {
    progress.end();
    release();
  }
}
