import { once } from 'node:events';
import { addDay } from '../archive/addDay.ts';
import { readState } from '../archive/folder.ts';
import { forgetPlayer } from '../archive/forgetPlayer.ts';
import { dayText, listText } from '../archive/listText.ts';
import { readNames } from '../archive/names.ts';
import { queryArchive } from '../archive/query.ts';
import { QueryError } from '../archive/readOnlySql.ts';
import { runTrend } from '../archive/runTrend.ts';
import { leftOutTexts, trendHeadline } from '../pipeline/renderTrend.ts';
import { EN } from '../report/words/en.ts';
import type { AddFlags, ArchiveFlags, ListFlags, TrendFlags } from './archiveOptions.ts';
import { EXIT, UsageError } from './exit.ts';
import { watchSignals } from './progress.ts';
import { shownBelow } from './summary.ts';
import { formatsOf } from './tablesOption.ts';

const onNote = (note: string): void => {
  process.stderr.write(`${note}\n`);
};

/** @throws FileError where the day cannot be added; the archive is then as it was */
export async function addCommand(folder: string, { archive, replace }: AddFlags): Promise<number> {
  const { what, day } = await addDay({ folder, archive, replace, onNote });
  const told = what === 'known' ? 'is in the archive already, and nothing was changed:' : `${what}:`;
  process.stdout.write(`${told} ${dayText(day)}\n`);
  return EXIT.used;
}

/** @throws FileError where there is no archive */
export function listCommand({ archive, names, json }: ListFlags): number {
  const { days } = readState(archive);
  const naming = readNames(names ?? null);
  process.stdout.write(json ? `${JSON.stringify({ archive, days }, null, 1)}\n` : listText(days, naming));
  return EXIT.used;
}

/** @throws UsageError where the statement is refused or cannot be run @throws FileError */
export async function queryCommand(sql: string, { archive }: ArchiveFlags): Promise<number> {
  try {
    await queryArchive({ archive, sql, onNote, write: toStdout });
    return EXIT.used;
  } catch (error) {
    throw error instanceof QueryError ? new UsageError(error.message) : error;
  }
}

/** Exit code 1 where a day could not be used. @throws FileError */
export async function trendCommand(player: string, { archive, out, names, tables }: TrendFlags): Promise<number> {
  const naming = readNames(names ?? null);
  const formats = formatsOf(tables);
  if (formats.includes('xlsx')) throw new UsageError('--tables: a trend is one table: csv and parquet are its formats');
  const { pause, release } = watchSignals();
  try {
    const run = await runTrend({ archive, player, out: out ?? null, tables: formats }, pause);
    for (const note of [...leftOutTexts(EN, run.trend), ...run.trend.notes]) onNote(note);
    process.stdout.write(
      `${naming(player)}: ${trendHeadline(EN, run.trend)}\nreport: ${shownBelow(run.out, 'index.html')}\n`,
    );
    return run.leftOut.length > 0 ? EXIT.someBad : EXIT.used;
  } finally {
    release();
  }
}

/** Waits where the reader of the answer is slower than the database. */
async function toStdout(text: string): Promise<void> {
  if (process.stdout.write(text)) return;
  await once(process.stdout, 'drain');
}

/** @throws FileError where there is no such player */
export async function forgetCommand(player: string, { archive }: ArchiveFlags): Promise<number> {
  const { days, vanished, files, rows, bytes, renamed } = await forgetPlayer(archive, player, onNote);
  const dates = days.map(({ date }) => date);
  process.stdout.write(
    [
      `${player} is forgotten: ${count(files, 'file')} with ${count(rows, 'row')} (${bytes} bytes) of ${count(days.length, 'day')} removed (${dates.join(', ')})`,
      ...(vanished === 0
        ? []
        : [`${count(vanished, 'day')} had no other player and ${vanished === 1 ? 'is' : 'are'} gone as a whole`]),
      ...renamed.map(({ date, day }) => `the name of the day of ${date} held the id; it is now "${day}"`),
      'results that process wrote, day files and captures are not of the archive: they stay where they are',
      '',
    ].join('\n'),
  );
  return EXIT.used;
}

function count(n: number, noun: string): string {
  return `${n} ${noun}${n === 1 ? '' : 's'}`;
}
