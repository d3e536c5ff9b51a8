/** A processed day into the archive: as a whole, once. */
import { resolve } from 'node:path';
import { FileError } from '../disk/fileSource.ts';
import { storedFiles } from '../disk/runComparison.ts';
import type { ArchivedDay } from '../model/archive.ts';
import { readStoredDay, type StoredDay } from '../pipeline/storedDay.ts';
import { TABLES_VERSION } from '../pipeline/tablesVersion.ts';
import { dayContent } from './dayContent.ts';
import { type ArchiveWriter, withArchive, writeFiles } from './folder.ts';

export interface AddRequest {
  /** The folder that process wrote. */
  readonly folder: string;
  readonly archive: string;
  /** True: a day of the same name and date is replaced. */
  readonly replace: boolean;
  readonly onNote: (note: string) => void;
}

export interface Added {
  /** 'known': the same content is there already, and nothing was changed. */
  readonly what: 'added' | 'replaced' | 'known';
  readonly day: ArchivedDay;
}

/** Reads the day and adds it. @throws FileError where it cannot be used as a whole, has no date, or is there with other content */
export async function addDay({ folder, archive, replace, onNote }: AddRequest): Promise<Added> {
  const { day, problems } = readStoredDay(storedFiles(resolve(folder), folder, []));
  if (day === null || problems.length > 0) {
    throw new FileError(
      `${problems.join('\n')}\na day is added as a whole or not at all: process it again, then add it`,
    );
  }
  const date = dateOf(day);
  const { content, players, files } = dayContent(day, date);
  const added: ArchivedDay = { day: day.day, date, content, version: day.version, tables: TABLES_VERSION, players };
  return await withArchive(resolve(archive), { make: true, onNote }, (writer) => {
    if (writer.state.days.some((one) => one.content === content)) return { what: 'known', day: added };
    const before = samePlace(writer, added, replace, folder);
    writer.place(content, (into) => writeFiles(into, files));
    writer.commit([...writer.state.days.filter((one) => one !== before), added]);
    return { what: before === null ? 'added' : 'replaced', day: added };
  });
}

function dateOf({ name, date }: StoredDay): string {
  if (date === null)
    throw new FileError(`${name} has no date: set date in its day file, as 2026-05-31, and process it again`);
  const isDate = /^\d{4}-\d{2}-\d{2}$/.test(date) && new Date(`${date}T00:00:00Z`).toJSON()?.slice(0, 10) === date;
  if (isDate) return date;
  throw new FileError(
    `${name} has the date ${date}, which is none of the calendar: write it as 2026-05-31 and process it again`,
  );
}

/** The day that the new one takes the place of, or null. @throws FileError where one is in its way */
function samePlace({ state }: ArchiveWriter, added: ArchivedDay, replace: boolean, folder: string): ArchivedDay | null {
  const before = state.days.find(({ day, date }) => day === added.day && date === added.date) ?? null;
  const others = state.days.filter((one) => one !== before && one.date === added.date);
  for (const other of others) {
    const twice = other.players.find(({ id }) => added.players.some((player) => player.id === id));
    if (twice === undefined) continue;
    throw new FileError(
      `${twice.id} is in the archive on ${added.date} already, in the day "${other.day}", and sessions are told apart by their dates: process both as one day, or give one of them its own date`,
    );
  }
  if (before === null || replace) return before;
  const made =
    before.version === added.version
      ? ''
      : ` (that one was processed by version ${before.version}, this one by ${added.version})`;
  const gone = added.players.filter(({ id }) => !before.players.some((player) => player.id === id)).map(({ id }) => id);
  const more =
    gone.length === 0
      ? ''
      : `; it would bring in ${gone.join(', ')}, who ${gone.length === 1 ? 'is' : 'are'} not in it now`;
  throw new FileError(
    `the day "${added.day}" of ${added.date} is in the archive with other content${made}${more}; archive add ${folder} --replace puts this one in its place`,
  );
}
