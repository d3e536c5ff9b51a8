/** Days of an archive as lines of text. */
import type { ArchivedDay } from '../model/archive.ts';
import { TABLES_VERSION } from '../pipeline/tablesVersion.ts';
import type { Naming } from './names.ts';

const byCode: Naming = (code) => code;

/** '2026-05-16 "Bird day", version 0.1.0: plover 16 swings, wren 16 swings; 310 kB' */
export function dayText({ day, date, version, tables, players }: ArchivedDay, naming: Naming = byCode): string {
  const who = players.map(({ id, swings }) => `${naming(id)} ${swings} swing${swings === 1 ? '' : 's'}`).join(', ');
  const size = players.reduce((sum, { bytes }) => sum + bytes, 0);
  const other = tables === TABLES_VERSION ? '' : `, tables ${tables} (this program reads ${TABLES_VERSION})`;
  return `${date} "${day}", version ${version}${other}: ${who}; ${Math.ceil(size / 1000)} kB`;
}

/** A line a day, then what they are together. */
export function listText(days: readonly ArchivedDay[], naming: Naming): string {
  const players = new Set(days.flatMap((day) => day.players.map(({ id }) => id)));
  const bytes = days.flatMap((day) => day.players).reduce((sum, one) => sum + one.bytes, 0);
  const counted = (n: number, noun: string): string => `${n} ${noun}${n === 1 ? '' : 's'}`;
  const total = `${counted(days.length, 'day')}, ${counted(players.size, 'player')}, ${Math.ceil(bytes / 1000)} kB`;
  const again = days.filter(({ tables }) => tables !== TABLES_VERSION).map(({ date }) => date);
  const old =
    again.length === 0
      ? []
      : [
          `made with other tables, left out of query and trend until processed again and added with --replace: ${again.join(', ')}`,
        ];
  return `${[...days.map((day) => dayText(day, naming)), total, ...old].join('\n')}\n`;
}
