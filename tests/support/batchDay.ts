/** A small day on disk from recordings of the sample day, and ways to run it as often as a test needs. */
import { cpSync, mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { BatchOptions } from '../../src/batch/dayTrials.ts';
import { type DayRun, type DayWatch, runDay } from '../../src/batch/runDay.ts';
import type { DayProgress } from '../../src/pipeline/analyseDay.ts';
import { contentsOf } from './folders.ts';

const SAMPLES = join(import.meta.dirname, '../../samples/day');

const TEXT = `swingbasis: 1
day: a small day
lab: {up: +Z, target: +X, units: mm}
players:
  - {id: heron, hand: left, sex: male, height_m: 1.83, mass_kg: 84, static: heron/0-static}
  - {id: wren, hand: right, sex: female, height_m: 1.7, mass_kg: 61, static: wren/0-static}
clubs:
  - {id: driver, kind: driver}
  - {id: iron7, kind: iron}
trials:
  - {pattern: heron/0-static.c3d, player: heron, role: static}
  - {pattern: wren/0-static.c3d, player: wren, role: static}
  - {pattern: heron/1-driver-*.c3d, player: heron, club: driver}
  - {pattern: heron/2-iron7-*.c3d, player: heron, club: iron7}
  - {pattern: wren/1-driver-*.c3d, player: wren, club: driver}
  - {pattern: wren/2-iron7-*.c3d, player: wren, club: iron7}
compare: {resamples: 200}
`;
const SWINGS = ['1-driver-1', '1-driver-2', '2-iron7-1', '2-iron7-2'];

/** Writes day.yaml and ten recordings of two players into a folder; gives the path of the day file. */
export function makeSmallDay(folder: string): string {
  for (const player of ['heron', 'wren']) {
    for (const name of ['0-static', ...SWINGS]) {
      const path = join(folder, player, `${name}.c3d`);
      mkdirSync(dirname(path), { recursive: true });
      cpSync(join(SAMPLES, player, `${name}.c3d`), path);
    }
  }
  const dayFile = join(folder, 'day.yaml');
  writeFileSync(dayFile, TEXT);
  return dayFile;
}

export interface SmallRun {
  readonly run: DayRun & { readonly ok: true };
  readonly notes: readonly string[];
  readonly progress: readonly DayProgress[];
}

/** Runs a day file; throws where the day cannot be run. */
export async function runSmallDay(
  dayFile: string,
  out: string,
  batch: BatchOptions = {},
  watch: Partial<DayWatch> = {},
): Promise<SmallRun> {
  const notes: string[] = [];
  const progress: DayProgress[] = [];
  const run = await runDay(
    { dayFile, out, lab: null, data: null, curves: true, orders: [], strict: false, ...batch },
    {
      onNote: (note) => notes.push(note),
      onProgress: (step) => progress.push(step),
      onWriting: () => {},
      pause: async () => {},
      ...watch,
    },
  );
  if (!run.ok) throw new Error(run.problems.join('\n'));
  return { run, notes, progress };
}

/** `path  bytes` of everything a run wrote but what it keeps for later runs. */
export function resultsOf(out: string): ReadonlyMap<string, string> {
  const files = [...contentsOf(out)].filter(([path]) => !path.startsWith('.store/'));
  return new Map(files.map(([path, bytes]) => [path, bytes.toString('latin1')]));
}
