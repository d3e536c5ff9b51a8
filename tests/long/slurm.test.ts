import { mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makeSmallDay, resultsOf } from '../support/batchDay.ts';
import { scratchFolder } from '../support/folders.ts';
import { program } from '../support/killedRuns.ts';
import { missingPrograms, type Slurm, startSlurm } from '../support/slurm.ts';

const ROOT = join(import.meta.dirname, '../..');
const script = (name: string): string => join(ROOT, 'docs/slurm', `${name}.sh`);
const SHARES = 3;

const missing = missingPrograms();
if (missing.length > 0) console.log(`${missing.join(', ')} not found: tests of Slurm are skipped`);

describe.skipIf(missing.length > 0)('a day on Slurm, by the scripts of docs/slurm', () => {
  const scratch = scratchFolder();
  const logs = join(scratch, 'logs');
  let slurm: Slurm;
  let one: ReadonlyMap<string, string>;
  let day: Readonly<Record<string, string>>;

  beforeAll(async () => {
    mkdirSync(logs);
    const dayFile = makeSmallDay(join(scratch, 'day'));
    const out = join(scratch, 'one');
    const { code, stderr } = program(['process', dayFile, '--out', out]);
    expect(code, stderr).toBe(0);
    one = resultsOf(out);
    day = {
      DAY: dayFile,
      DATA: join(scratch, 'day'),
      SHARES: String(SHARES),
      SWINGBASIS: join(ROOT, 'bin/swingbasis'),
    };
    slurm = await startSlurm(logs);
  });

  afterAll(async () => {
    await slurm?.stop();
  });

  const gathered = async (job: string): Promise<{ readonly exit: string; readonly text: string }> => {
    const { exit } = await slurm.ended(job);
    return { exit, text: readFileSync(join(logs, `slurm-${job}.out`), 'utf8') };
  };

  it('is submitted whole, and gathers to the bytes of one run', async () => {
    const out = join(scratch, 'whole');
    const said = slurm.call(script('submit'), [], { ...day, OUT: out });
    const [, array, gather] = /^shares: job (\d+), gathering: job (\d+)$/.exec(said) ?? [];
    expect(await gathered(gather!)).toEqual({
      exit: '0:0',
      text: expect.stringContaining(`gathered from ${SHARES} shards`),
    });
    expect(await slurm.ended(array!)).toEqual({ state: 'COMPLETED', exit: '0:0' });
    expect(resultsOf(out)).toEqual(one);
  });

  it('with a share that is cancelled names it and writes nothing; submitted again, the day is whole', async () => {
    const out = join(scratch, 'cancelled');
    const env = { ...day, OUT: out };
    const array = slurm.call('sbatch', ['--parsable', `--array=1-${SHARES}`, script('array')], env);
    await slurm.until(`${array}_2`, ({ state }) => state === 'RUNNING');
    slurm.call('scancel', [`${array}_2`]);
    const early = slurm.call('sbatch', ['--parsable', `--dependency=afterany:${array}`, script('gather')], env);
    const { exit, text } = await gathered(early);
    expect({ exit, text }).toEqual({ exit: '2:0', text: expect.stringContaining(`shard 2/${SHARES} is missing`) });
    expect(text.match(/shard \d\/\d/g)).toEqual([`shard 2/${SHARES}`]);
    expect((await slurm.ended(`${array}_2`)).state).toBe('CANCELLED');
    expect(resultsOf(out)).toEqual(new Map());

    const again = slurm.call('sbatch', ['--parsable', '--array=2', script('array')], env);
    const late = slurm.call('sbatch', ['--parsable', `--dependency=afterok:${again}`, script('gather')], env);
    expect(await gathered(late)).toMatchObject({ exit: '0:0' });
    expect(resultsOf(out)).toEqual(one);
  });
});
