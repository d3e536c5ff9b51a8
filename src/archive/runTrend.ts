/** A player's season out of the archive as a written report. */
import { readFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { trendOf } from '../compare/trend.ts';
import { FileError, fileReason } from '../disk/fileSource.ts';
import { checkOutputFolder, writeOutput } from '../disk/outputFolder.ts';
import { libraryFacts, programFacts } from '../disk/packageFacts.ts';
import { type ArchivedBasis, type ArchivedDay, archivedBasisSchema } from '../model/archive.ts';
import { reread } from '../model/storedRecord.ts';
import type { Trend } from '../model/trend.ts';
import { renderTrend } from '../pipeline/renderTrend.ts';
import { seasonNotes } from '../pipeline/seasonNotes.ts';
import { TABLES_VERSION } from '../pipeline/tablesVersion.ts';
import type { TableFormat } from '../tables/formats.ts';
import { type Duckdb, loadDuckdb, overArchive } from './database.ts';
import { BASIS_FILE, partitionOf } from './dayContent.ts';
import { dayFolder, readState } from './folder.ts';
import { unknownPlayer } from './forgetPlayer.ts';
import { trendDays } from './trendDays.ts';

export interface TrendRequest {
  readonly archive: string;
  readonly player: string;
  /** Null: `trend-PLAYER` beside the archive. */
  readonly out: string | null;
  readonly tables: readonly TableFormat[];
}

export interface TrendRun {
  readonly trend: Trend;
  readonly out: string;
  /** Days that other tables made: left out. */
  readonly leftOut: readonly ArchivedDay[];
}

type DayOfPlayer = ArchivedDay & { readonly basis: ArchivedBasis };

/** Reads, compares and writes. @throws FileError where the player or every day is missing, or nothing can be read or written */
export async function runTrend(
  { archive, player, out: asked, tables }: TrendRequest,
  pause: () => Promise<void>,
  load?: () => Promise<Duckdb>,
): Promise<TrendRun> {
  const folder = resolve(archive);
  const all = readState(folder).days;
  const having = all.filter(({ players }) => players.some(({ id }) => id === player));
  if (having.length === 0) throw new FileError(unknownPlayer(all, player, archive));
  const leftOut = having.filter((day) => day.tables !== TABLES_VERSION);
  const days = having
    .filter((day) => day.tables === TABLES_VERSION)
    .map((day): DayOfPlayer => ({ ...day, basis: readBasis(folder, day, player) }));
  if (days.length === 0) {
    throw new FileError(
      `every day of ${player} was made with other tables (${datesOf(leftOut)}): process them again and add them with --replace`,
    );
  }
  const out = resolve(asked ?? join(dirname(folder), `trend-${player}`));
  if (out === folder) throw new FileError(`${out} is the archive; name another folder with --out`);
  checkOutputFolder(out, 'compare');
  const trend = await trendFrom(await loadDuckdb(load), folder, days, player);
  await pause();
  const run = {
    program: programFacts(),
    libraries: libraryFacts(),
    days: days.map(({ day, date, version }) => ({ folder: 'archive', day, date, version })),
    options: { trend: player },
    inputs: days.map((day) => {
      const own = day.players.find(({ id }) => id === player)!;
      return { path: `${day.date}/${player}`, bytes: own.bytes, sha256: day.content };
    }),
    tables,
  };
  const told: Trend =
    leftOut.length === 0
      ? trend
      : { ...trend, notes: [...trend.notes, `left out, since other tables made them: ${datesOf(leftOut)}`] };
  await writeOutput(out, renderTrend(told, run, days[days.length - 1]!.basis.report), pause, 'compare');
  return { trend: told, out, leftOut };
}

async function trendFrom(duckdb: Duckdb, folder: string, days: readonly DayOfPlayer[], player: string): Promise<Trend> {
  const { hand, options } = days[days.length - 1]!.basis;
  return await overArchive(duckdb, { archive: folder, days, player }, async (connection) => {
    const sessions = await trendDays(connection, days, player, options.primary);
    const plan = { player: { id: player, hand }, options, reapplication: options.reapplication ?? {} };
    const trend = trendOf(sessions, plan);
    const notes = seasonNotes(
      days.map(({ date, basis: { options: own, smoothing } }, index) => {
        return { date, options: own, smoothing, records: sessions[index]!.records };
      }),
    );
    return { ...trend, notes: [...trend.notes, ...notes] };
  });
}

function readBasis(folder: string, day: ArchivedDay, player: string): ArchivedBasis {
  const path = join(dayFolder(folder, day), ...partitionOf(player, day.date).split('/'), BASIS_FILE);
  const wayOut = 'add the day again with --replace';
  let text: string;
  try {
    text = readFileSync(path, 'utf8');
  } catch (error) {
    throw new FileError(`${path} cannot be read: ${fileReason(error)}; ${wayOut}`);
  }
  const read = reread(text, archivedBasisSchema);
  if (read.ok) return read.value;
  throw new FileError(`${path}: ${read.problem}; ${wayOut}`);
}

export function datesOf(days: readonly ArchivedDay[]): string {
  return days.map(({ date, day }) => `${date} "${day}"`).join(', ');
}
