/** A day killed at many random moments: the next run must write the bytes of a run that nothing disturbed. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createRandom } from '../../src/numeric/random.ts';
import { resultsOf } from '../support/batchDay.ts';
import { killChanges } from '../support/killedArchive.ts';
import { filesIn, killedAt, program } from '../support/killedRuns.ts';

const DAY = join(import.meta.dirname, '../../samples/day/day.yaml');

/** Kills the sample day so often, each time resumed to its end; the number of runs that ended otherwise than they should. */
export async function tortureDay(kills: number, seed: number): Promise<number> {
  const folder = mkdtempSync(join(tmpdir(), 'swingbasis-kills-'));
  try {
    const whole = join(folder, 'whole');
    if (program(['process', DAY, '--out', whole]).code !== 0) throw new Error('the sample day cannot be processed');
    const expected = resultsOf(whole);
    const files = filesIn(whole);
    const random = createRandom(seed);
    let killed = 0;
    let faults = 0;
    for (let i = 0; i < kills; i += 1) {
      const out = join(folder, `run ${i}`);
      const args = ['process', DAY, '--out', out, '--workers', String(1 + (i % 2))];
      const at = Math.floor(random.uniform() * files);
      if (await killedAt(at, out, args)) killed += 1;
      const { code } = program(args);
      if (code !== 0 || !isSame(resultsOf(out), expected)) {
        faults += 1;
        console.log(`  kill ${i} at ${at} of ${files} files: exit code ${code}, or other bytes`);
      }
      rmSync(out, { recursive: true, force: true });
    }
    console.log(`the sample day, ${kills} runs, ${killed} killed before their end, resumed: ${faults} faults`);
    return faults;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Kills an archive's changes so often; the number of faults that were found after them. */
export async function tortureArchive(kills: number, seed: number): Promise<number> {
  const folder = mkdtempSync(join(tmpdir(), 'swingbasis-kills-'));
  try {
    const { killed, old, done, faults } = await killChanges(folder, kills, seed);
    for (const fault of faults) console.log(`  ${fault}`);
    console.log(
      `an archive, ${kills} changes, ${killed} killed before their end: ${old} left the old archive, ${done} the new one, ${faults.length} faults`,
    );
    return faults.length;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function isSame(a: ReadonlyMap<string, string>, b: ReadonlyMap<string, string>): boolean {
  return a.size === b.size && [...a].every(([path, text]) => b.get(path) === text);
}
