import { compareDay } from '../disk/runComparison.ts';
import { SelectionError } from '../pipeline/compareStored.ts';
import { EXIT, UsageError } from './exit.ts';
import type { CompareFlags } from './main.ts';
import { watchSignals } from './progress.ts';
import { findingLine, shownBelow } from './summary.ts';

/** Exit code 1 where a record could not be used. @throws UsageError @throws FileError */
export async function compareCommand(folder: string, flags: CompareFlags): Promise<number> {
  const { pause, release } = watchSignals();
  try {
    const request = { folder, out: flags.out ?? null, named: bothSides(flags), player: flags.player ?? null };
    const run = await compareDay(request, pause);
    for (const problem of run.problems) process.stderr.write(`${problem}\n`);
    const lines = [...run.comparisons.map(findingLine), `report: ${shownBelow(run.out, 'index.html')}`];
    process.stdout.write(`${lines.join('\n')}\n`);
    return run.problems.length > 0 ? EXIT.someBad : EXIT.used;
  } catch (error) {
    if (error instanceof SelectionError) throw new UsageError(error.message);
    throw error;
  } finally {
    release();
  }
}

/** Both sides, or null for what the day file says. */
function bothSides({ of, against }: CompareFlags): { readonly of: string; readonly against: string } | null {
  if (of === undefined && against === undefined) return null;
  if (of === undefined) throw new UsageError(`--against ${against} needs --of NAME: the swings that are compared`);
  if (against === undefined) throw new UsageError(`--of ${of} needs --against NAME: the swings to compare with`);
  return { of, against };
}
