/** A first day file from the files of a folder: detected facts with their evidence, unknown ones as `?`. */
import { FormatError } from '../base/errors.ts';
import { compareCounted } from '../base/text.ts';
import { METRES_PER } from '../intake/detectFacts.ts';
import type { SensorsDescription } from '../intake/sensors/describeSensors.ts';
import type { SignedAxis } from '../model/dayPlan.ts';
import { FACE_LANDMARKS } from '../model/landmarks.ts';
import { oneLine, playerOf, type RoleGuess, yamlText } from './draftNames.ts';
import { sensorLines } from './draftSensorLines.ts';
import { lookForSensors, type SeenSensors, seenRotations } from './draftSensors.ts';
import { clubLines, trialLines } from './draftTrials.ts';
import { type Examined, examine } from './inspect.ts';
import type { OpenSource } from './io.ts';

export interface DraftSource {
  /** Name of the folder, for the name of the day. */
  readonly folder: string;
  /** All files below it. */
  readonly listing: readonly string[];
  readonly open: (path: string) => OpenSource;
}

/** A recording, as the lines of a draft need it. */
export interface Seen {
  /** As the day file names it; a folder ends in `/`. */
  readonly path: string;
  readonly player: string;
  readonly guess: RoleGuess;
  /** Null of sensors. */
  readonly facts: Examined['facts'];
  /** Null of markers. */
  readonly described: SensorsDescription | null;
  /** The up axis that rotations of a C3D file show by their places; otherwise null. */
  readonly shownUp: SignedAxis | null;
}

export interface Draft {
  readonly text: string;
  /** Recordings it names. */
  readonly recordings: number;
  /** Sentences about tables that are no recordings. */
  readonly others: readonly string[];
}

/** A person who stands moves less than this, metres (a swing moves the hands by more than a metre). */
const STILL_M = 0.15;

/** The text of a day file. Files that cannot be read, and tables that are no recordings, are named in comments. */
export function draftDay(source: DraftSource): Draft {
  const captures = source.listing.filter((path) => path.toLowerCase().endsWith('.c3d')).sort(compareCounted);
  const ofC3d: Seen[] = [];
  const bad: string[] = [];
  for (const path of captures) {
    try {
      ofC3d.push(look(path, source));
    } catch (error) {
      if (!(error instanceof FormatError) && (error as Error).name !== 'FileError') throw error;
      bad.push(`# ${path} is left out, it cannot be read: ${oneLine((error as Error).message)}`);
    }
  }
  const tables = lookForSensors(source);
  const seen = [...ofC3d, ...tables.seen.map((one) => ofSensors(one, null))];
  const sensors = seen.flatMap(({ path, guess, described }) =>
    described === null ? [] : [{ path, guess, described }],
  );
  const markers = ofC3d.filter((one) => one.described === null);
  const lab = sensors.length === 0 || markers.length > 0 ? labLines(markers) : rotationLabLines(ofC3d);
  const up = markers.length > 0 ? agreed(markers.map((one) => one.facts?.up?.value)) : null;
  const players = [...new Set(seen.map((one) => one.player))];
  if (players.length === 0) players.push('player1');
  const trials = players.flatMap((player) => trialLines(seen, player, players.length > 1, source.listing, up));
  const text = [
    '# A draft: replace every "?" by its value, or remove the line where the value may stay unknown.',
    '# Then run: swingbasis process DAYFILE. All keys are described in docs/day-file.md.',
    'swingbasis: 1',
    `day: ${yamlText(source.folder)}`,
    '# date: 2026-05-31',
    '',
    ...(lab.length > 0 ? [...lab, ''] : []),
    ...(sensors.length > 0 ? [...sensorLines(sensors), ''] : []),
    'players:',
    ...players.flatMap((player) => playerLines(player, seen)),
    '',
    ...clubLines(seen),
    '',
    '# One line a file or a pattern. use: no leaves a file out; note says why.',
    ...(trials.length === 0 ? ['trials: []'] : ['trials:', ...trials]),
    ...bad,
    ...tables.others.map((sentence) => `# ${sentence}`),
    '',
  ].join('\n');
  return { text, recordings: seen.length + bad.length, others: tables.others };
}

function ofSensors(seen: SeenSensors, shownUp: SignedAxis | null): Seen {
  return { ...seen, player: playerOf(seen.path.replace(/\/$/, '')), facts: null, shownUp };
}

function look(path: string, source: DraftSource): Seen {
  const opened = source.open(path);
  try {
    const examined = examine(opened, path);
    const { file, described, facts } = examined;
    if (described !== null && file.rotationData !== null) {
      return ofSensors(seenRotations(path, file.rotationData, described), examined.inspection.up);
    }
    const guess = guessOf(examined);
    return { path, player: playerOf(path), guess, facts, described: null, shownUp: null };
  } finally {
    opened.close();
  }
}

function guessOf(examined: Examined): RoleGuess {
  if (FACE_LANDMARKS.some((id) => examined.found.has(id)) && !examined.found.has('BALL')) {
    return { role: 'calibration', movement: null, why: 'markers on the face of the club' };
  }
  return isStill(examined)
    ? { role: 'static', movement: null, why: 'nothing moves in it' }
    : { role: 'swing', movement: null, why: '' };
}

/** Whether no landmark moves further than a standing person does. */
function isStill({ file, found, facts }: Examined): boolean {
  const unit = facts?.unitsText ?? facts?.units?.value ?? 'mm';
  let largest = 0;
  for (const index of found.values()) {
    for (let axis = 0; axis < 3; axis++) {
      let low = Number.POSITIVE_INFINITY;
      let high = Number.NEGATIVE_INFINITY;
      for (let frame = 0; frame < file.frames; frame++) {
        if (file.word4[index * file.frames + frame]! < 0) continue;
        const value = file.xyz[(3 * index + axis) * file.frames + frame]!;
        if (!Number.isFinite(value) || value === 0) continue;
        if (value < low) low = value;
        if (value > high) high = value;
      }
      if (high > low) largest = Math.max(largest, high - low);
    }
  }
  return found.size > 0 && largest * METRES_PER[unit] < STILL_M;
}

/** The value all files agree on, or null. */
function agreed<T>(values: readonly (T | null | undefined)[]): T | null {
  const known = values.filter((value): value is T => value !== null && value !== undefined);
  return known.length > 0 && new Set(known).size === 1 ? known[0]! : null;
}

function labLines(seen: readonly Seen[]): readonly string[] {
  const up = agreed(seen.map((one) => one.facts?.up?.value));
  const units = agreed(seen.map((one) => one.facts?.units?.value ?? one.facts?.unitsText));
  const evidence = seen.find((one) => one.facts?.up?.value === up)?.facts?.up?.evidence ?? '';
  const unitsEvidence =
    seen.find((one) => one.facts?.units?.value === units)?.facts?.units?.evidence ?? 'stated in the files';
  return [
    'lab:',
    up === null
      ? '  up: "?" # the axis of the files that points up: +X, -X, +Y, -Y, +Z or -Z'
      : `  up: "${up}" # detected: ${evidence}`,
    '  target: "?" # the axis of the files that points to the target, such as +X',
    units === null ? '  units: "?" # mm, cm or m' : `  units: ${units} # detected: ${unitsEvidence}`,
  ];
}

/** Rotations need no lab but the up axis, and that only where their places do not show it. */
function rotationLabLines(rotations: readonly Seen[]): readonly string[] {
  return rotations.every(({ shownUp }) => shownUp !== null)
    ? []
    : ['lab: { up: "?" } # the axis of the rotations that points up, such as +Z, which is assumed without this line'];
}

function playerLines(player: string, seen: readonly Seen[]): readonly string[] {
  const own = seen.filter((one) => one.player === player);
  const hand = agreed(own.map((one) => one.facts?.hand?.value));
  const evidence = own.find((one) => one.facts?.hand?.value === hand)?.facts?.hand?.evidence ?? '';
  return [
    `  - id: ${yamlText(player)}`,
    hand === null ? '    hand: "?" # right or left' : `    hand: ${hand} # detected: ${evidence}`,
    '    # height_m, mass_kg and sex (female, male) improve joint centres; they may stay unknown',
  ];
}
