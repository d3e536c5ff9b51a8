/** One run of the built program as users run it: its times, its processor time and its memory. */
import { spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { performance } from 'node:perf_hooks';
import { createInterface } from 'node:readline';

/** Benches run from the project's folder, compiled; the program is the built one (npm run build). */
const PROGRAM = 'bin/swingbasis';
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

/** What is seen of one run; usage is NaN where the system has no such files. */
export interface WatchedRun extends Usage {
  readonly trials: number;
  /** To the last line about a trial. */
  readonly trials_s: number;
  readonly whole_s: number;
}

/** Runs the program to its end. @throws Error unless every trial was used: a refused recording takes no time, and the figures would say nothing */
export async function watchRun(args: readonly string[]): Promise<WatchedRun> {
  const start = performance.now();
  const child = spawn(process.execPath, [PROGRAM, ...args, '--log', 'json'], { stdio: ['ignore', 'ignore', 'pipe'] });
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
  if (code !== 0) throw new Error(`exit code ${code}: a recording was not used, so the times say nothing`);
  return { ...usage, trials, trials_s: (analysed - start) / 1000, whole_s: (performance.now() - start) / 1000 };
}
