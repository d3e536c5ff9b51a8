import { runDays } from '../disk/runComparison.ts';
import { EXIT, UsageError } from './exit.ts';
import type { CompareFlags } from './main.ts';
import { watchSignals } from './progress.ts';
import { findingLine, shownBelow } from './summary.ts';

/** Options that only a table has, by the key of their flag. */
const OF_TABLES = {
  swingId: '--swing-id',
  group: '--group',
  values: '--values',
  by: '--by',
  margin: '--margin',
  primary: '--primary',
} as const;

/** Exit code 1 where a record, a day or a row could not be used. @throws UsageError @throws FileError */
export async function compareCommand(folders: readonly string[], flags: CompareFlags): Promise<number> {
  if (flags.table !== undefined) throw new UsageError('not yet');
  if (folders.length === 0) {
    throw new UsageError(
      'name folders that process wrote, or a table with --table FILE; see swingbasis compare --help',
    );
  }
  const lone = (Object.keys(OF_TABLES) as (keyof typeof OF_TABLES)[]).find((key) => flags[key] !== undefined);
  if (lone !== undefined) throw new UsageError(`${OF_TABLES[lone]} belongs to --table FILE`);
  return await compareDays(folders, flags);
}

/** Both sides, or null for what the day file says. */
function namedSides({ of, against }: CompareFlags): { readonly of: string; readonly against: string } | null {
  if (of === undefined && against === undefined) return null;
  if (of === undefined) throw new UsageError(`--against ${against} needs --of NAME: the swings that are compared`);
  if (against === undefined) throw new UsageError(`--of ${of} needs --against NAME: the swings to compare with`);
  return { of, against };
}

async function compareDays(folders: readonly string[], flags: CompareFlags): Promise<number> {
  const { pause, release } = watchSignals();
  try {
    const request = { folders, out: flags.out ?? null, named: namedSides(flags), player: flags.player ?? null };
    const run = await runDays(request, pause);
    for (const problem of run.problems) process.stderr.write(`${problem}\n`);
    const lines = [...run.comparisons.map(findingLine), `report: ${shownBelow(run.out, 'index.html')}`];
    process.stdout.write(`${lines.join('\n')}\n`);
    return run.problems.length > 0 ? EXIT.someBad : EXIT.used;
  } catch (error) {
    if (error instanceof RangeError) throw new UsageError(error.message);
    throw error;
  } finally {
    release();
  }
}
