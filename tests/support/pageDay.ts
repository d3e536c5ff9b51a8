import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse as parseCsv } from 'csv-parse/sync';
import { parse, stringify } from 'yaml';
import { cli } from './cli.ts';

const SAMPLES = join(import.meta.dirname, '../../samples/day');

interface DayText {
  players: { id: string }[];
  trials: { file?: string; pattern?: string; player?: string; set?: string }[];
}

/**
 * One player of the sample day, processed into `out`: the first half of the swings as set `before`, the second as set `after`, one swing
 * left out with a note that would like to be more than text.
 */
export async function processOnePlayer(folder: string, out: string): Promise<void> {
  const day = parse(readFileSync(join(SAMPLES, 'day.yaml'), 'utf8')) as DayText;
  const players = day.players
    .filter(({ id }) => id === PLAYER)
    .map((player) => ({ ...player, notes: { P4: COACH_NOTE } }));
  const trials = day.trials
    .filter(({ player }) => player === PLAYER)
    .map((trial) => ({ ...trial, set: /\/[12]-/.test(trial.pattern ?? '') ? 'before' : 'after' }));
  const leftOut = { file: `${PLAYER}/3-driver-4.c3d`, player: PLAYER, club: 'driver', use: false, note: HOSTILE_NOTE };
  const file = join(folder, 'day.yaml');
  writeFileSync(file, stringify({ ...day, players, trials: [leftOut, ...trials] }));
  const run = await cli('process', file, '--data', SAMPLES, '--out', out);
  if (run.code !== 0) throw new Error(run.stderr);
}

export const PLAYER = 'plover';
export const COACH_NOTE = 'stands up here';
export const HOSTILE_NOTE = 'topped </script><img src=x onerror=document.title=1> it';

/** Rows of a table of the output folder by the names of its columns. */
export function tableOf(out: string, name: string): readonly Readonly<Record<string, string>>[] {
  return parseCsv(readFileSync(join(out, 'tables', `${name}.csv`)), { columns: true });
}
