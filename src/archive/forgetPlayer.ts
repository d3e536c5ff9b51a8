/** A player out of the archive: every file, every row, every mention. */
import { readdirSync } from 'node:fs';
import { join, relative, resolve } from 'node:path';
import { nearestOf } from '../base/text.ts';
import { FileError, readSmallFile, sha256OfBytes } from '../disk/fileSource.ts';
import type { ArchivedDay } from '../model/archive.ts';
import { contentOf, type KeptFile, partitionOf } from './dayContent.ts';
import { dayFolder, withArchive, writeFiles } from './folder.ts';

export interface Forgotten {
  /** Days that held the player, by date. */
  readonly days: readonly ArchivedDay[];
  /** Of these, days of which nothing is left. */
  readonly vanished: number;
  readonly files: number;
  readonly rows: number;
  readonly bytes: number;
  /** Days whose name held the player's id, with their new name. */
  readonly renamed: readonly { readonly date: string; readonly day: string }[];
  /** Folders that an earlier, killed run had left. */
  readonly swept: number;
}

/** Removes a player. The archive is the old one or the new one at any moment. @throws FileError where no such player is there */
export async function forgetPlayer(
  archive: string,
  player: string,
  onNote: (note: string) => void,
): Promise<Forgotten> {
  const folder = resolve(archive);
  return await withArchive(folder, { make: false, onNote }, (writer) => {
    const { days } = writer.state;
    const having = days.filter(({ players }) => players.some(({ id }) => id === player));
    if (having.length === 0) {
      const swept = writer.swept === 0 ? '' : '; what a run that was ended early had left is removed';
      throw new FileError(`${unknownPlayer(days, player, archive)}${swept}`);
    }
    const kept = days.map((day) => {
      const without = having.includes(day) ? withoutPlayer(folder, day, player, writer.place) : day;
      return without === null ? null : { ...without, day: withoutName(without.day, player) };
    });
    writer.commit(kept.filter((day) => day !== null));
    const removed = having.flatMap(({ players }) => players.filter(({ id }) => id === player));
    const sum = (of: 'files' | 'rows' | 'bytes'): number => removed.reduce((all, one) => all + one[of], 0);
    return {
      days: having,
      vanished: kept.filter((day) => day === null).length,
      files: sum('files'),
      rows: sum('rows'),
      bytes: sum('bytes'),
      renamed: days.flatMap(({ day, date }, index) => {
        const now = kept[index];
        return now === undefined || now === null || now.day === day ? [] : [{ date, day: now.day }];
      }),
      swept: writer.swept,
    };
  });
}

export function unknownPlayer(days: readonly ArchivedDay[], player: string, archive: string): string {
  const ids = [...new Set(days.flatMap(({ players }) => players.map(({ id }) => id)))].sort();
  const near = nearestOf(player, ids);
  const listed = ids.length === 0 ? 'it is empty' : `there are ${ids.join(', ')}`;
  return `the archive ${archive} has no player ${player}${near === null ? '' : `; did you mean ${near}?`}; ${listed}`;
}

/** The day without the player, its folder written under its new content; null where nobody is left. */
function withoutPlayer(
  archive: string,
  day: ArchivedDay,
  player: string,
  place: (content: string, fill: (folder: string) => void) => void,
): ArchivedDay | null {
  const players = day.players.filter(({ id }) => id !== player);
  if (players.length === 0) return null;
  const from = dayFolder(archive, day);
  const parts = players.map(({ id }) => partitionOf(id, day.date));
  const files = parts.flatMap((part) =>
    filesBelow(join(from, part)).map(
      (path): KeptFile => ({ path: relative(from, path).replaceAll('\\', '/'), bytes: readSmallFile(path, path) }),
    ),
  );
  const content = contentOf(files.map(({ path, bytes }) => ({ path, sha256: sha256OfBytes(bytes) })));
  place(content, (into) => writeFiles(into, files));
  return { ...day, content, players };
}

function filesBelow(folder: string): readonly string[] {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name));
}

/** The name of a day with "player" in place of the id, where that stands in it as a word. */
function withoutName(name: string, player: string): string {
  return name.replace(new RegExp(`(?<![A-Za-z0-9_-])${player}(?![A-Za-z0-9_-])`, 'gi'), 'player');
}
