/** Recordings of sensors in a folder that is drafted: which tables and folders of tables are one, and what each shows. */
import { FormatError } from '../base/errors.ts';
import { compareCounted } from '../base/text.ts';
import type { C3dRotations } from '../c3d/types.ts';
import { filesOfTrial, folderOf, isMotionFile, isSidecarName, isTableName, trialIdOf } from '../day/sensorFiles.ts';
import type { SensorDescription, SensorsDescription } from '../intake/sensors/describeSensors.ts';
import { placeOfName } from '../intake/sensors/placeNames.ts';
import type { DraftSource } from './draft.ts';
import { clubIn, lastPart, type RoleGuess, roleOfName } from './draftNames.ts';
import { type ExaminedSensors, examineSensors } from './inspect.ts';
import { wholeFile } from './recordings.ts';

export interface SeenSensors {
  /** As the day file names it; a folder ends in `/`. */
  readonly path: string;
  readonly guess: RoleGuess;
  readonly described: SensorsDescription;
}

interface Table {
  readonly path: string;
  readonly examined: ExaminedSensors;
}

/** Recordings of sensors among the tables, and sentences about tables that are none. */
export function lookForSensors(source: DraftSource): {
  readonly seen: readonly SeenSensors[];
  readonly others: readonly string[];
} {
  const results = source.listing.filter((path) => /(^|\/)run\.json$/.test(path)).map(folderOf);
  const tables = source.listing
    .filter((path) => isTableName(path) && !isSidecarName(path) && !results.some((folder) => path.startsWith(folder)))
    .sort(compareCounted);
  const seen: SeenSensors[] = [];
  const others: string[] = [];
  const folders = new Map<string, Table[]>();
  for (const path of tables) {
    const one = examined([path], path, source);
    if (typeof one === 'string') others.push(one);
    else if (isMotionFile(path)) seen.push(seenFrom(path, one));
    else folders.set(folderOf(path), [...(folders.get(folderOf(path)) ?? []), { path, examined: one }]);
  }
  const wholes = wholeFolders(folders);
  for (const [folder, members] of folders) {
    const together = wholes.has(folder) ? examined([], folder, source) : '';
    if (typeof together !== 'string') seen.push(seenFrom(folder, together));
    else for (const one of members) seen.push(seenFrom(one.path, one.examined));
  }
  return { seen: seen.sort((a, b) => compareCounted(a.path, b.path)), others };
}

/**
 * Folders whose tables are the sensors of one recording. Each table holds one sensor that is known by the name of its file, and that name
 * speaks of no role or club. Several tables: all are named as places or as sensors that recur (one such name is enough where the folder
 * itself speaks of a role or a club); one table: the folder speaks of a role or a club, or stands beside folders that are whole.
 */
function wholeFolders(folders: ReadonlyMap<string, readonly Table[]>): ReadonlySet<string> {
  const candidates = [...folders].filter(([folder, members]) => folder !== '' && members.every(isOneSensor));
  const recurring = recurringNames(candidates);
  const isSensorName = (folder: string, { path }: Table): boolean =>
    placeOfName(stemOf(path)).place !== null || recurring.has(`${parentOf(folder)}${stemOf(path)}`);
  const wholes = new Set<string>();
  for (const [folder, members] of candidates) {
    const named = members.filter((one) => isSensorName(folder, one)).length;
    const enough = speaks(lastPart(folder)) ? Math.min(1, members.length - 1) : members.length;
    if (named >= enough && (members.length > 1 || enough === 0)) wholes.add(folder);
  }
  const parents = new Set([...wholes].map(parentOf));
  for (const [folder, members] of candidates) {
    if (members.length === 1 && parents.has(parentOf(folder)) && isSensorName(folder, members[0]!)) wholes.add(folder);
  }
  return wholes;
}

function isOneSensor({ path, examined: { described } }: Table): boolean {
  const stem = stemOf(path);
  return described.sensors.length === 1 && described.sensors[0]!.name === stem && !speaks(stem);
}

/** Names of tables that stand in a folder of a still pose, a movement or a hanging club and in another folder beside it, after the path of these folders. */
function recurringNames(candidates: readonly (readonly [string, readonly Table[]])[]): ReadonlySet<string> {
  const counts = new Map<string, { folders: number; told: boolean }>();
  for (const [folder, members] of candidates) {
    for (const { path } of members) {
      const key = `${parentOf(folder)}${stemOf(path)}`;
      const { folders, told } = counts.get(key) ?? { folders: 0, told: false };
      counts.set(key, { folders: folders + 1, told: told || roleOfName(folder) !== null });
    }
  }
  return new Set([...counts].filter(([, { folders, told }]) => told && folders > 1).map(([key]) => key));
}

function speaks(name: string): boolean {
  return roleOfName(name) !== null || clubIn(name) !== null;
}

function stemOf(path: string): string {
  return trialIdOf(path).slice(folderOf(path).length);
}

/** The folder above a folder; '' above those of the first level. */
function parentOf(folder: string): string {
  return folderOf(folder.slice(0, -1));
}

/** The recording, or the sentence that says why it is none. */
function examined(files: readonly string[], path: string, source: DraftSource): ExaminedSensors | string {
  const all = isMotionFile(path) || files.length === 0 ? filesOfTrial(path, source.listing) : files;
  try {
    const bytes = all.map((file) => {
      const opened = source.open(file);
      try {
        return wholeFile({ path: file, source: opened });
      } finally {
        opened.close();
      }
    });
    return examineSensors(bytes, path);
  } catch (error) {
    if (!(error instanceof FormatError) && (error as Error).name !== 'FileError') throw error;
    const reason = error instanceof FormatError ? error.problem.found : (error as Error).message;
    return `${path} is no recording of sensors: ${reason.replace(/^no recording of sensors; /, '').replace(/\s+/g, ' ')}`;
  }
}

function seenFrom(path: string, { described }: ExaminedSensors): SeenSensors {
  return { path, guess: guessRole(trialIdOf(path), described.sensors), described };
}

/** A sensor on a person who stands turns slower than this; sway is well under 20°/s, a swing over 300°/s (common practice, no source). */
const STILL_radPerS = 0.6;

type Turning = Pick<SensorDescription, 'fastest_radPerS'> & Partial<Pick<SensorDescription, 'place'>>;

/** What a recording shows, by the last part of its name, else by whether anything turns in it. */
export function guessRole(
  id: string,
  sensors: readonly Turning[],
  isStill: boolean = sensors.length > 0 &&
    sensors.every(({ fastest_radPerS: speed }) => speed !== null && speed < STILL_radPerS),
): RoleGuess {
  const told = roleOfName(id);
  if (told !== null) return told;
  if (!isStill) return { role: 'swing', movement: null, why: '' };
  const folder = folderOf(id) === '' ? null : roleOfName(folderOf(id));
  if (folder?.role === 'calibration') return { ...folder, why: 'by the name of its folder' };
  const onlyClub = sensors.length > 0 && sensors.every(({ place }) => place?.value === 'club');
  return onlyClub
    ? { role: 'calibration', movement: null, why: 'nothing turns in it and only the club has a sensor' }
    : { role: 'static', movement: null, why: 'nothing turns in it' };
}

/** Cosine of 15°: a person who stands sways by a few degrees, a swing turns pelvis and thorax by more than 45° (common practice, no source). */
const STILL_COS = Math.cos((15 * Math.PI) / 180);

/** What rotations of a C3D file show; with no speed of turning of their own, they are still where none is 15° or more from its first valid one. */
export function seenRotations(path: string, rotations: C3dRotations, described: SensorsDescription): SeenSensors {
  const { labels, frames, matrices } = rotations;
  let isStill = false;
  for (let r = 0; r < labels.length; r++) {
    let first = -1;
    for (let at = 9 * r * frames; at < 9 * (r + 1) * frames; at += 9) {
      let trace = 0;
      for (let i = 0; i < 9; i++) trace += matrices[(first < 0 ? at : first) + i]! * matrices[at + i]!;
      if (Number.isNaN(trace)) continue;
      if (first < 0) first = at;
      if ((trace - 1) / 2 < STILL_COS)
        return { path, guess: guessRole(trialIdOf(path), described.sensors, false), described };
      isStill = true;
    }
  }
  return { path, guess: guessRole(trialIdOf(path), described.sensors, isStill), described };
}
