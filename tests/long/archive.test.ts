import { spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { makeStoredDay } from '../support/archiveDays.ts';
import { scratchFolder } from '../support/folders.ts';
import { brokenDays, killChanges } from '../support/killedArchive.ts';

const scratch = scratchFolder();
const KILLS = 10;

it(`an archive whose change is killed at ${KILLS} random moments is the old one or the new one, whole`, async () => {
  const { killed, old, done, faults } = await killChanges(join(scratch, 'kills'), KILLS, 7);
  expect(faults).toEqual([]);
  expect(old + done).toBe(killed);
  // moments are spread over the writing: a change that overtakes the watch is rare
  expect(killed).toBeGreaterThan(KILLS / 2);
});

it('of four that add at once every day is there', async () => {
  const archive = join(scratch, 'at once');
  const days = [1, 2, 3, 4].map((seed) => {
    const date = `2026-05-1${seed}`;
    return { date, folder: makeStoredDay(join(scratch, date), { date, players: ['wren'], seed }) };
  });
  const program = join(import.meta.dirname, '../../bin/swingbasis');
  const codes = await Promise.all(
    days.map(({ folder }) => {
      const child = spawn(process.execPath, [program, 'archive', 'add', folder, '--archive', archive], {
        stdio: 'ignore',
      });
      return new Promise<number | null>((resolve) => {
        child.on('exit', (code) => resolve(code));
      });
    }),
  );
  expect(codes).toEqual([0, 0, 0, 0]);
  const state = JSON.parse(readFileSync(join(archive, 'days.json'), 'utf8')) as {
    readonly days: readonly { readonly date: string }[];
  };
  expect(state.days.map(({ date }) => date)).toEqual(days.map(({ date }) => date));
  expect(brokenDays(archive)).toEqual([]);
});
