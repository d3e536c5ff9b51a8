/** How time, memory and what is written grow with the trials of a day: the same players' days over and over, made in a temporary folder. */
import { spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { createInterface } from 'node:readline';
import { makeDay } from './day.ts';

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

/** Benches run from the project's folder, compiled; the program is the built one (npm run build). */
const PROGRAM = 'bin/swingbasis';
/** A static trial and twelve swings with each of two clubs: 25 trials a player. */
const SWINGS = 12;
const TRIALS_A_PLAYER = 2 * SWINGS + 1;
const FRAMES = 240;
const SAMPLE_MS = 20;
/** proc_pid_stat(5) counts in sysconf(_SC_CLK_TCK), which is 100 on Linux. */
const TICKS_A_SECOND = 100;

interface Usage {
  readonly peak_MB: number;
  readonly cpu_s: number;
}

/** Of a process that runs; null where it does not, or the system has no such files. */
function usageOf(pid: number): Usage | null {
  try {
    const peak = /^VmHWM:\s+(\d+) kB/m.exec(readFileSync(`/proc/${pid}/status`, 'utf8'));
    const stat = readFileSync(`/proc/${pid}/stat`, 'utf8');
    const [user, system] = stat
      .slice(stat.lastIndexOf(')') + 2)
      .split(' ')
      .slice(11, 13)
      .map(Number);
    return peak === null ? null : { peak_MB: Number(peak[1]) / 1024, cpu_s: (user! + system!) / TICKS_A_SECOND };
  } catch {
    return null;
  }
}

async function runOnce(dayFile: string, out: string) {
  const start = performance.now();
  const args = [PROGRAM, 'process', dayFile, '--out', out, '--log', 'json'];
  const child = spawn(process.execPath, args, { stdio: ['ignore', 'ignore', 'pipe'] });
  let trials = 0;
  let analysed = start;
  let usage: Usage = { peak_MB: Number.NaN, cpu_s: Number.NaN };
  createInterface({ input: child.stderr }).on('line', (line) => {
    if (!line.startsWith('{"event":"trial"')) return;
    trials += 1;
    analysed = performance.now();
  });
  const timer = setInterval(() => {
    usage = usageOf(child.pid!) ?? usage;
  }, SAMPLE_MS);
  const code = await new Promise<number | null>((resolve) => {
    child.on('close', resolve);
  });
  clearInterval(timer);
  if (code !== 0 && code !== 1) throw new Error(`exit code ${code}`);
  return { ...usage, trials, trials_s: (analysed - start) / 1000, whole_s: (performance.now() - start) / 1000 };
}

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
    const first = await runOnce(dayFile, out);
    const again = await runOnce(dayFile, out);
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
