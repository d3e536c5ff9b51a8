/** A day of about 500 trials end to end: the sample day's files several times over, as that many more players, in a temporary folder. */
import { cpSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { parse, stringify } from 'yaml';
import { runDay } from '../src/disk/runDay.ts';

export interface DayRow {
  readonly name: string;
  readonly seconds: number;
  readonly trials: number;
  readonly ms_a_trial: number;
}

/** Benches run from the project's folder, compiled. */
const SAMPLES = 'samples/day';
const COPIES = 8;

interface DayText {
  players: { id: string; static: string }[];
  trials: { file?: string; pattern?: string; player: string }[];
}

function makeDay(folder: string): string {
  const day = parse(readFileSync(join(SAMPLES, 'day.yaml'), 'utf8')) as DayText;
  const players: DayText['players'] = [];
  const trials: DayText['trials'] = [];
  for (let copy = 1; copy <= COPIES; copy += 1) {
    cpSync(SAMPLES, join(folder, `c${copy}`), { recursive: true });
    for (const player of day.players)
      players.push({ ...player, id: `${player.id}${copy}`, static: `c${copy}/${player.static}` });
    for (const trial of day.trials) {
      const row = { ...trial, player: `${trial.player}${copy}` };
      if (row.file !== undefined) row.file = `c${copy}/${row.file}`;
      if (row.pattern !== undefined) row.pattern = `c${copy}/${row.pattern}`;
      trials.push(row);
    }
  }
  const path = join(folder, 'day.yaml');
  writeFileSync(path, stringify({ ...day, players, trials }));
  return path;
}

/** Anchor: the bytes of the same files read once, one after the other. */
function readAll(files: readonly string[]): number {
  let sum = 0;
  for (const file of files) sum += readFileSync(file).length;
  return sum;
}

export async function benchDay(): Promise<DayRow[]> {
  const folder = mkdtempSync(join(tmpdir(), 'swingbasis-bench-'));
  try {
    const dayFile = makeDay(folder);
    const start = performance.now();
    const run = await runDay(
      { dayFile, out: join(folder, 'results'), lab: null, data: null, orders: [], curves: false, strict: false },
      { onNote: () => {}, onProgress: () => {}, onWriting: () => {}, pause: async () => {} },
    );
    const whole = performance.now() - start;
    if (!run.ok) throw new Error(run.problems.join('\n'));
    const trials = run.result.outcomes.length;
    const files = run.result.outcomes.map((outcome) => join(folder, ...outcome.file.split('/')));
    const readStart = performance.now();
    const bytes = readAll(files);
    const reading = performance.now() - readStart;
    const MB = files.reduce((sum, file) => sum + statSync(file).size, 0) / 1e6;
    return [
      {
        name: `read ${(bytes / 1e6).toFixed(0)} of ${MB.toFixed(0)} MB`,
        seconds: reading / 1000,
        trials,
        ms_a_trial: reading / trials,
      },
      {
        name: 'the day end to end, report and tables included',
        seconds: whole / 1000,
        trials,
        ms_a_trial: whole / trials,
      },
    ];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
