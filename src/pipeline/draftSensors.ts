/** The part of a drafted day file that speaks of tables of sensors: which files are recordings, how they are read, what each shows. */
import { FormatError } from '../base/errors.ts';
import { compareCounted } from '../base/text.ts';
import { filesOfTrial, folderOf, isMotionFile, isSidecarName, isTableName, trialIdOf } from '../day/sensorFiles.ts';
import type { SensorDescription } from '../intake/sensors/describeSensors.ts';
import { placeOfName } from '../intake/sensors/placeNames.ts';
import { FILE_SENSOR_PLACES, type FileSensorPlace, type Movement } from '../model/sensors.ts';
import type { DraftSource } from './draft.ts';
import { type ExaminedSensors, examineSensors } from './inspect.ts';
import { wholeFile } from './recordings.ts';

export interface SeenSensors {
  /** As the day file names it; a folder ends in `/`. */
  readonly path: string;
  readonly guess: RoleGuess;
  readonly described: ExaminedSensors['described'];
}

export interface RoleGuess {
  readonly role: 'swing' | 'static' | 'functional' | 'calibration';
  readonly movement: Movement | null;
  readonly why: string;
}

/** Recordings of sensors among the files, and sentences about tables that are none. */
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
  const loose: { readonly path: string; readonly examined: ExaminedSensors }[] = [];
  for (const path of tables) {
    const one = examined([path], path, source);
    if (typeof one === 'string') others.push(one);
    else if (isMotionFile(path)) seen.push(seenFrom(path, one));
    else loose.push({ path, examined: one });
  }
  const folders = new Map<string, typeof loose>();
  for (const one of loose) folders.set(folderOf(one.path), [...(folders.get(folderOf(one.path)) ?? []), one]);
  for (const [folder, members] of folders) {
    const whole = folder !== '' && members.length > 1 && members.every(isOneSensor) ? folder : null;
    const together = whole === null ? null : examined([], whole, source);
    if (whole !== null && together !== null && typeof together !== 'string') seen.push(seenFrom(whole, together));
    else for (const one of members) seen.push(seenFrom(one.path, one.examined));
  }
  return { seen: seen.sort((a, b) => compareCounted(a.path, b.path)), others };
}

/** Whether a table holds a single sensor that is known by the name of its file, and that name is a place: one of a folder of sensors. */
function isOneSensor({ path, examined: { described } }: { path: string; examined: ExaminedSensors }): boolean {
  const stem = trialIdOf(path).slice(folderOf(path).length);
  return described.sensors.length === 1 && described.sensors[0]!.name === stem && placeOfName(stem).place !== null;
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

/** What a recording shows, by the last part of its name, else by whether anything turns in it. */
export function guessRole(id: string, sensors: readonly Pick<SensorDescription, 'fastest_radPerS'>[]): RoleGuess {
  const name = id.slice(id.lastIndexOf('/') + 1).toLowerCase();
  const says = (words: string): boolean => new RegExp(`(^|[^a-z])(${words})([^a-z]|$)`).test(name);
  const byName = 'by its name';
  if (says('hang|hanging|pendulum|plumb')) return { role: 'calibration', movement: null, why: byName };
  if (says('bow|hinge|hip-hinge|forward-bend')) return { role: 'functional', movement: 'bow', why: byName };
  if (says('tilt|pelvic-tilt|pelvictilt')) return { role: 'functional', movement: 'pelvic-tilt', why: byName };
  if (says('turn|twist|trunk-turn')) return { role: 'functional', movement: 'turn', why: byName };
  if (says('still|static|stand|standing|neutral|pose|npose|tpose')) {
    return { role: 'static', movement: null, why: byName };
  }
  const speeds = sensors.map((one) => one.fastest_radPerS);
  if (speeds.length > 0 && speeds.every((speed) => speed !== null && speed < STILL_radPerS)) {
    return { role: 'static', movement: null, why: 'nothing turns in it' };
  }
  return { role: 'swing', movement: null, why: '' };
}

/** Lines of the `sensors:` block. */
export function sensorLines(seen: readonly SeenSensors[]): readonly string[] {
  const all = seen.flatMap((one) => one.described.sensors);
  return [
    '# How the tables of sensors are read. Columns are recognised by their names; name them under columns: where they are not.',
    'sensors:',
    ...columnComment(all),
    ...unitLine(
      'time_unit',
      's, ms or us',
      all.filter((one) => one.columns.time !== null).map((one) => one.timeUnit),
    ),
    ...unitLine(
      'gyro_unit',
      'rad/s or deg/s',
      all.filter((one) => one.columns.gyro !== null).map((one) => one.gyroUnit),
    ),
    ...unitLine(
      'acc_unit',
      'm/s2, g or mg',
      all.filter((one) => one.columns.acc !== null).map((one) => one.accUnit),
    ),
    ...quaternionLines(all),
    ...placeLines(seen),
    ...(all.some((one) => one.columns.trigger !== null)
      ? [`  align: trigger # column ${all.find((one) => one.columns.trigger !== null)!.columns.trigger}`]
      : ['  # align: {knock_s: [0, 0.6]} where the clocks of the sensors differ and all felt a knock in that time']),
  ];
}

function columnComment(all: readonly SensorDescription[]): readonly string[] {
  const texts = new Set(
    all.map(({ columns }) =>
      [columns.time, ...[columns.gyro, columns.acc, columns.mag, columns.quaternion].map((list) => list?.join(' '))]
        .filter((text) => text !== null && text !== undefined)
        .join(', '),
    ),
  );
  return texts.size === 1 && !texts.has('') ? [`  # columns recognised: ${oneLine([...texts][0]!)}`] : [];
}

type Settled = SensorDescription['gyroUnit'];

function unitLine(key: string, choices: string, units: readonly Settled[]): readonly string[] {
  if (units.length === 0) return [];
  const known = units.filter((one) => one.value !== null);
  const values = new Set(known.map((one) => one.value));
  if (values.size === 0) return [`  ${key}: "?" # ${choices}: ${oneLine(units[0]!.evidence)}`];
  if (values.size > 1)
    return [`  # ${key} differs from file to file and is detected in each: ${[...values].join(', ')}`];
  const value = known[0]!.value!;
  return choices.split(/, | or /).includes(value)
    ? [`  ${key}: ${value} # ${oneLine(known[0]!.evidence)}`]
    : [`  # ${key} is read as ${value}`];
}

function quaternionLines(all: readonly SensorDescription[]): readonly string[] {
  const told = all.filter((one) => one.columns.quaternion !== null && one.quaternions !== '');
  const unfit = told.filter((one) => one.quaternions.startsWith('not used'));
  if (told.length === 0 || unfit.length < told.length) return [];
  return [`  use_quaternions: no # ${oneLine(unfit[0]!.quaternions)}`];
}

/** Places on which all recordings agree; `?` for the pelvis and the thorax where sensors are left whose place is not known. */
function placeLines(seen: readonly SeenSensors[]): readonly string[] {
  const names = new Map<string, Set<string>>();
  const unplaced = new Map<string, string>();
  for (const { described } of seen) {
    for (const { name, place } of described.sensors) {
      if (place.value === null) unplaced.set(name, place.evidence);
      else names.set(place.value, (names.get(place.value) ?? new Set()).add(name));
    }
  }
  const lines = ['  places:'];
  for (const place of FILE_SENSOR_PLACES) {
    const own = [...(names.get(place) ?? [])];
    if (own.length === 1) lines.push(`    ${place}: ${yamlText(own[0]!)} # by its name`);
    else if (own.length > 1) lines.push(`    # ${place} has a name in each file: ${own.map(quoted).join(', ')}`);
    else if (unplaced.size > 0 && NEEDED.has(place)) {
      lines.push(
        `    ${place}: "?" # the name of its sensor in the files: ${[...unplaced.keys()].map(quoted).join(', ')}`,
      );
    }
  }
  for (const [place, own] of names) {
    if (!(FILE_SENSOR_PLACES as readonly string[]).includes(place)) {
      lines.push(`    # ${[...own].map(quoted).join(', ')} is ${place}, left or right by the hand of the player`);
    }
  }
  for (const [name, evidence] of unplaced) lines.push(`    # ${quoted(name)} has no place yet: ${oneLine(evidence)}`);
  return lines.some((line) => !line.trimStart().startsWith('#') && line !== '  places:')
    ? lines
    : ['  # places: { pelvis: NAME, thorax: NAME } where the names of the sensors do not say it', ...lines.slice(1)];
}

const NEEDED: ReadonlySet<FileSensorPlace> = new Set<FileSensorPlace>(['pelvis', 'thorax']);

/** Whether swings have a sensor on the club, and no hanging club was recorded to show its shaft. */
export function needsShaftAxis(seen: readonly SeenSensors[]): boolean {
  const hasClub = seen.some((one) => one.described.sensors.some((sensor) => sensor.place.value === 'club'));
  return hasClub && !seen.some((one) => one.guess.role === 'calibration');
}

function quoted(text: string): string {
  return JSON.stringify(oneLine(text));
}

export function yamlText(text: string): string {
  return /^[A-Za-z][A-Za-z0-9_/.-]*$/.test(text) && !/^(true|false|null|yes|no|on|off|y|n)$/i.test(text)
    ? text
    : JSON.stringify(text);
}

export function oneLine(text: string): string {
  return text.replace(/\s+/g, ' ');
}
