/** A day of swings end to end as users run it, on 1 and 2 threads, beside a plain numpy script of the core work. Files are made in a temporary folder. */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { bytesSource, readC3d } from '../src/c3d/readC3d.ts';
import type { C3dFile } from '../src/c3d/types.ts';
import { writeC3d } from '../src/c3d/writeC3d.ts';
import { createRandom } from '../src/numeric/random.ts';
import { type StageRow, stageShares } from './stageShares.ts';
import { type WatchedRun, watchRun } from './watchRun.ts';

interface DayRow {
  readonly name: string;
  readonly seconds: number;
  readonly trials_per_s: number;
  /** Of the whole process with its threads; NaN where it is not known. */
  readonly peak_MB: number;
}

/** Benches run from the project's folder, compiled. */
const SAMPLES = 'samples/day/plover';
const POINTS = 60;
const CLUBS = { driver: ['1-driver-1', '1-driver-2'], iron7: ['2-iron7-1', '2-iron7-2'] } as const;

export interface DaySize {
  readonly players: number;
  /** Swings of each player with each of two clubs. */
  readonly swings: number;
  readonly frames: number;
}

/** 500 trials as the aims name them; with short recordings 500 and ten times as many. */
const LONG: DaySize = { players: 8, swings: 31, frames: 1200 };
const SHORT: DaySize = { players: 8, swings: 31, frames: 240 };
const MANY: DaySize = { players: 80, swings: 31, frames: 240 };

/** Frames in which the players of the samples still stand. */
const STILL = 48;

/** The frames around the fast part of a recording; one that is too short has its first 0.2 s at address to and fro before it. */
function stretched(file: C3dFile, frames: number): readonly number[] {
  const from = Math.floor(0.8 * Math.max(0, file.frames - frames));
  const before = Math.max(0, frames - file.frames);
  return Array.from({ length: frames }, (_, f) => {
    if (f >= before) return from + f - before;
    const back = (before - f) % (2 * STILL);
    return back < STILL ? back : 2 * STILL - 1 - back;
  });
}

/** A recording of so many points and frames; every swing differs from every other: its columns are shifted by 0.3 mm (SD). */
function recording(file: C3dFile, frames: number, seed: number): Uint8Array {
  const random = createRandom(seed);
  const order = stretched(file, frames);
  const xyz = new Float64Array(3 * POINTS * frames);
  for (let column = 0; column < 3 * POINTS; column += 1) {
    const from = (column % (3 * file.points)) * file.frames;
    const shift = 0.3 * random.normal();
    for (let f = 0; f < frames; f += 1) xyz[column * frames + f] = file.xyz[from + order[f]!]! + shift;
  }
  const labels = Array.from({ length: POINTS }, (_, i) => file.labels[i] ?? `EXTRA_${i}`);
  return writeC3d({ labels, units: 'mm', rate_Hz: file.rate_Hz!, frames, xyz, word4: null, events: [] });
}

/** Writes recordings and their day file into a folder; gives the path of the day file. */
export function makeDay(folder: string, { players, swings, frames }: DaySize): string {
  const read = (name: string): C3dFile => readC3d(bytesSource(readFileSync(join(SAMPLES, `${name}.c3d`))));
  const sources = new Map(Object.values(CLUBS).flatMap((names) => names.map((name) => [name, read(name)])));
  const still = readFileSync(join(SAMPLES, '0-static.c3d'));
  mkdirSync(folder, { recursive: true });
  const rows: string[] = [];
  let seed = 0;
  for (let p = 1; p <= players; p += 1) {
    mkdirSync(join(folder, `p${p}`), { recursive: true });
    writeFileSync(join(folder, `p${p}/static.c3d`), still);
    rows.push(`  - {file: p${p}/static.c3d, player: p${p}, role: static}`);
    for (const [club, names] of Object.entries(CLUBS)) {
      for (let s = 0; s < swings; s += 1) {
        seed += 1;
        writeFileSync(join(folder, `p${p}/${club}-${s}.c3d`), recording(sources.get(names[s % 2]!)!, frames, seed));
      }
      rows.push(`  - {pattern: p${p}/${club}-*.c3d, player: p${p}, club: ${club}}`);
    }
  }
  const birds = Array.from({ length: players }, (_, p) => `  - {id: p${p + 1}, hand: right, static: p${p + 1}/static}`);
  const clubs = '  - {id: driver, kind: driver}\n  - {id: iron7, kind: iron}';
  const path = join(folder, 'day.yaml');
  writeFileSync(
    path,
    `swingbasis: 1\nday: a bench\nlab: {up: +Z, target: +X, units: mm}\nplayers:\n${birds.join('\n')}\nclubs:\n${clubs}\ntrials:\n${rows.join('\n')}\n`,
  );
  return path;
}

/** Two rows of one run: the trials alone, and the day with comparison, report and tables. */
function rowsOf(name: string, { trials, trials_s, whole_s, peak_MB }: WatchedRun): readonly DayRow[] {
  return [
    { name: `${name}: trials`, seconds: trials_s, trials_per_s: trials / trials_s, peak_MB },
    { name: `${name}: whole run`, seconds: whole_s, trials_per_s: trials / whole_s, peak_MB },
  ];
}

async function timed(folder: string, name: string, workers: number): Promise<readonly DayRow[]> {
  const out = join(folder, `out ${workers}`);
  const times = await watchRun(['process', join(folder, 'day.yaml'), '--out', out, '--workers', String(workers)]);
  rmSync(out, { recursive: true, force: true });
  return rowsOf(`${name}, ${workers} worker${workers === 1 ? '' : 's'}`, times);
}

/** The plain script on the same files, where Python with numpy and scipy is there. */
function numpyRows(folder: string): readonly DayRow[] {
  const run = spawnSync('python3', ['bench/numpy_day.py', folder], { encoding: 'utf8' });
  if (run.status !== 0) {
    console.log('python3 with numpy and scipy is not there: no yardstick');
    return [];
  }
  const { seconds, per_second } = JSON.parse(run.stdout) as { seconds: number; per_second: number };
  return [{ name: 'plain numpy, core work alone', seconds, trials_per_s: per_second, peak_MB: Number.NaN }];
}

export async function benchDay(): Promise<(DayRow | StageRow)[]> {
  const rows: (DayRow | StageRow)[] = [];
  for (const [name, size] of Object.entries({ '500 × 1200 frames': LONG, '500 × 240': SHORT, '5000 × 240': MANY })) {
    const folder = mkdtempSync(join(tmpdir(), 'swingbasis-bench-'));
    try {
      makeDay(folder, size);
      if (size === LONG) rows.push(...numpyRows(folder), ...(await timed(folder, name, 1)));
      rows.push(...(await timed(folder, name, 2)));
      if (size === LONG) rows.push(...stageShares(['process', join(folder, 'day.yaml'), '--out', join(folder, 'out')]));
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  }
  return rows;
}
