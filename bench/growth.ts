/** How time, memory and what is written grow with the trials of a day: the same players' days over and over, made in a temporary folder. */
import { mkdtempSync, readdirSync, rmSync, statSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { makeDay } from './day.ts';
import { watchRun } from './watchRun.ts';

interface GrowthRow {
  readonly trials: number;
  /** Of the whole run with report and tables, and of its trials alone. */
  readonly whole_s: number;
  readonly trials_s: number;
  /** Of all threads, user and system. */
  readonly cpu_s: number;
  readonly cpu_ms_a_trial: number;
  /** Of the whole process with its threads. */
  readonly peak_MB: number;
  /** The same day run again with nothing changed. */
  readonly again_s: number;
  readonly read_MB: number;
  readonly written_MB: number;
  readonly store_MB: number;
}

/** A static trial and twelve swings with each of two clubs: 25 trials a player. */
const SWINGS = 12;
const TRIALS_A_PLAYER = 2 * SWINGS + 1;
const FRAMES = 240;
function megabytesIn(folder: string, isCounted: (path: string) => boolean): number {
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter(isCounted);
  return files.reduce((sum, path) => sum + statSync(join(folder, path)).size, 0) / 1e6;
}

async function measured(players: number): Promise<GrowthRow> {
  const folder = mkdtempSync(join(tmpdir(), 'swingbasis-growth-'));
  try {
    const data = join(folder, 'day');
    const out = join(folder, 'out');
    const dayFile = makeDay(data, { players, swings: SWINGS, frames: FRAMES });
    const args = ['process', dayFile, '--out', out];
    const first = await watchRun(args);
    const again = await watchRun(args);
    const { trials, whole_s, trials_s, cpu_s, peak_MB } = first;
    if (trials !== players * TRIALS_A_PLAYER) throw new Error(`${trials} trials were done`);
    const isStore = (path: string): boolean => path.startsWith('.store');
    return {
      trials,
      whole_s,
      trials_s,
      cpu_s,
      cpu_ms_a_trial: (1000 * cpu_s) / trials,
      peak_MB,
      again_s: again.whole_s,
      read_MB: megabytesIn(data, (path) => path.endsWith('.c3d')),
      written_MB: megabytesIn(out, (path) => !isStore(path)),
      store_MB: megabytesIn(out, isStore),
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** One row a number of trials. */
export async function benchGrowth(sizes: readonly number[]): Promise<GrowthRow[]> {
  console.log(`${availableParallelism()} cores, 60 points × ${FRAMES} frames, ${TRIALS_A_PLAYER} trials a player`);
  const rows: GrowthRow[] = [];
  for (const trials of sizes) rows.push(await measured(trials / TRIALS_A_PLAYER));
  return rows;
}
