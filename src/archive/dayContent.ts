/** A processed day as the files that the archive keeps of it, a folder for each player. No disk. */
import { compareCodeUnits } from '../base/text.ts';
import { sha256OfBytes } from '../disk/fileSource.ts';
import type { ArchivedBasis, ArchivedPlayer } from '../model/archive.ts';
import type { PlayerComparison } from '../model/comparison.ts';
import { FILE_ID } from '../model/storedRecord.ts';
import { compareStoredDay } from '../pipeline/compareStored.ts';
import type { StoredDay } from '../pipeline/storedDay.ts';
import { TABLES_VERSION } from '../pipeline/tablesVersion.ts';
import { parquetBytes } from '../tables/parquet.ts';
import { jsonText } from '../tables/storedRecord.ts';
import { ARCHIVE_TABLES, type PlayerDay } from './archiveTables.ts';

export interface KeptFile {
  /** Below the folder of the day, `/` between folders. */
  readonly path: string;
  readonly bytes: Uint8Array;
}

export interface DayContent {
  readonly content: string;
  readonly players: readonly ArchivedPlayer[];
  readonly files: readonly KeptFile[];
}

export const BASIS_FILE = 'basis.json';

/** Where a player's part lies below the folder of the day: the names of the folders are columns for every reader of such trees. */
export function partitionOf(player: string, date: string): string {
  return `player=${player}/day=${date}`;
}

/** The files of a day. The same results give the same bytes. */
export function dayContent(day: StoredDay, date: string): DayContent {
  const comparisons = compareStoredDay(day, { named: null, player: null });
  const ids = new Set(day.outcomes.map(({ player }) => player).filter((player) => FILE_ID.test(player)));
  const players: ArchivedPlayer[] = [];
  const files: KeptFile[] = [];
  for (const id of [...ids].sort(compareCodeUnits)) {
    const own = playerDay(day, comparisons, id);
    let rows = 0;
    const kept = ARCHIVE_TABLES.map((table): KeptFile => {
      const bytes = table.write(own, { version: day.version, tables: TABLES_VERSION }, (written, all) => {
        rows += all.length;
        return parquetBytes(written, all);
      });
      return { path: `${partitionOf(id, date)}/${table.name}.parquet`, bytes };
    });
    const basis = Buffer.from(`${jsonText(basisOf(day, own, id))}\n`, 'utf8');
    kept.push({ path: `${partitionOf(id, date)}/${BASIS_FILE}`, bytes: basis });
    files.push(...kept);
    players.push({
      id,
      swings: own.records.length,
      rows,
      files: kept.length,
      bytes: kept.reduce((sum, { bytes }) => sum + bytes.length, 0),
      recordings: recordingsOf(own),
    });
  }
  return {
    content: contentOf(files.map(({ path, bytes }) => ({ path, sha256: sha256OfBytes(bytes) }))),
    players,
    files,
  };
}

/** SHA-256 of the lines `sha256  path`, sorted by path, each ended by a line feed. */
export function contentOf(files: readonly { readonly path: string; readonly sha256: string }[]): string {
  const sorted = [...files].sort((a, b) => compareCodeUnits(a.path, b.path));
  return sha256OfBytes(Buffer.from(sorted.map(({ path, sha256 }) => `${sha256}  ${path}\n`).join(''), 'utf8'));
}

function playerDay(day: StoredDay, comparisons: readonly PlayerComparison[], id: string): PlayerDay {
  return {
    records: day.records.filter(({ head }) => head.player === id),
    stills: day.stills.filter(({ head }) => head.player === id),
    outcomes: day.outcomes.filter(({ player }) => player === id),
    comparisons: comparisons.filter(({ player }) => player === id),
  };
}

function basisOf(day: StoredDay, { records }: PlayerDay, id: string): ArchivedBasis {
  const plan = day.players.find((player) => player.id === id);
  const used = new Set(records.map(({ head }) => head.club));
  const { margins, primary, reapplication } = day.options;
  return {
    hand: plan?.hand ?? null,
    static: plan?.static ?? null,
    smoothing: plan?.smoothing ?? '',
    clubs: day.clubs
      .filter((club) => used.has(club.id))
      .map(({ id: club, kind, length_m }) => ({ id: club, kind, length_m })),
    options: { margins, primary, ...(reapplication === undefined ? {} : { reapplication }) },
    ...(day.report === undefined ? {} : { report: day.report }),
  };
}

function recordingsOf({ records, stills }: PlayerDay): string {
  const all = [...records, ...stills].map(({ head, sha256 }) => ({ path: head.trial, sha256 }));
  return contentOf(all);
}
