/** A first day file from the files of a folder: detected facts with their evidence, unknown ones as `?`. */
import { FormatError } from '../base/errors.ts';
import { compareCounted } from '../base/text.ts';
import { filesOfPattern, foldersOfPattern } from '../day/patterns.ts';
import { foldersOf, isMotionFile } from '../day/sensorFiles.ts';
import { METRES_PER } from '../intake/detectFacts.ts';
import { isReservedName } from '../model/daySchema.ts';
import {
  lookForSensors,
  needsShaftAxis,
  oneLine,
  type RoleGuess,
  type SeenSensors,
  sensorLines,
  yamlText,
} from './draftSensors.ts';
import { type Examined, examine } from './inspect.ts';
import type { OpenSource } from './io.ts';

export interface DraftSource {
  /** Name of the folder, for the name of the day. */
  readonly folder: string;
  /** All files below it. */
  readonly listing: readonly string[];
  readonly open: (path: string) => OpenSource;
}

interface Seen {
  readonly path: string;
  readonly player: string;
  readonly guess: RoleGuess;
  /** Null of sensors. */
  readonly facts: Examined['facts'];
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
  const markers: Seen[] = [];
  const bad: string[] = [];
  for (const path of captures) {
    try {
      markers.push(look(path, source));
    } catch (error) {
      if (!(error instanceof FormatError) && (error as Error).name !== 'FileError') throw error;
      bad.push(`# ${path} is left out, it cannot be read: ${oneLine((error as Error).message)}`);
    }
  }
  const sensors = lookForSensors(source);
  const seen = [...markers, ...sensors.seen.map(ofSensors)];
  const players = [...new Set(seen.map((one) => one.player))];
  if (players.length === 0) players.push('player1');
  const clubs = new Map<string, string>();
  const trials = players.flatMap((player) => trialLines(seen, player, players.length > 1, source.listing, clubs));
  const shaft = needsShaftAxis(sensors.seen) ? ', sensor_shaft: "?"' : '';
  const text = [
    '# A draft: replace every "?" by its value, or remove the line where the value may stay unknown.',
    '# Then run: swingbasis process DAYFILE. All keys are described in docs/day-file.md.',
    'swingbasis: 1',
    `day: ${yamlText(source.folder)}`,
    '# date: 2026-05-31',
    '',
    ...(captures.length > 0 || sensors.seen.length === 0 ? [...labLines(markers), ''] : []),
    ...(sensors.seen.length > 0 ? [...sensorLines(sensors.seen), ''] : []),
    'players:',
    ...players.flatMap((player) => playerLines(player, seen)),
    '',
    '# kind: driver, wood, hybrid, iron, wedge or putter. length_m: the same club length is compared with the same.',
    ...(shaft === ''
      ? []
      : ["# sensor_shaft: the axis of the club's sensor that points from grip to head, such as +X."]),
    'clubs:',
    ...(clubs.size === 0 ? ['  - { id: driver, kind: driver }', '  - { id: iron7, kind: iron }'] : []),
    ...[...clubs].map(([id, kind]) => `  - { id: ${id}, kind: ${kind}${shaft} }`),
    '',
    '# One line a file or a pattern. use: no leaves a file out; note says why.',
    ...(trials.length === 0 ? ['trials: []'] : ['trials:', ...trials]),
    ...bad,
    ...sensors.others.map((sentence) => `# ${sentence}`),
    '',
  ].join('\n');
  return { text, recordings: seen.length + bad.length, others: sensors.others };
}

function ofSensors({ path, guess }: SeenSensors): Seen {
  return { path, player: playerOf(path.endsWith('/') ? path.slice(0, -1) : path), guess, facts: null };
}

function look(path: string, source: DraftSource): Seen {
  const opened = source.open(path);
  try {
    const examined = examine(opened, path);
    const guess: RoleGuess = isStill(examined)
      ? { role: 'static', movement: null, why: 'nothing moves in it' }
      : { role: 'swing', movement: null, why: '' };
    return { path, player: playerOf(path), guess, facts: examined.facts };
  } finally {
    opened.close();
  }
}

/** The first folder of the path, made an id. */
function playerOf(path: string): string {
  const slash = path.indexOf('/');
  return slash < 0 ? 'player1' : idFrom(path.slice(0, slash), 'player1');
}

function idFrom(text: string, otherwise: string): string {
  const id = text
    .replace(/[^A-Za-z0-9_-]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 40);
  return id === '' || isReservedName(id) ? otherwise : id;
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

const KINDS = ['driver', 'wood', 'hybrid', 'iron', 'wedge', 'putter'] as const;

/** A club that a name speaks of: a kind with a number before or after it ("iron7", "7 iron"). */
function clubIn(name: string): { id: string; kind: string } | null {
  const plain = name.toLowerCase();
  for (const kind of KINDS) {
    const found = new RegExp(`(?:(\\d{1,2})[ _-]?)?${kind}(?:[ _-]?(\\d{1,2})(?![0-9]))?`).exec(plain);
    if (found === null) continue;
    const number = kind === 'iron' || kind === 'wood' || kind === 'hybrid' ? (found[2] ?? found[1] ?? '') : '';
    return { id: `${kind}${number}`, kind };
  }
  return null;
}

function trialLines(
  seen: readonly Seen[],
  player: string,
  several: boolean,
  listing: readonly string[],
  clubs: Map<string, string>,
): readonly string[] {
  const own = seen.filter((one) => one.player === player);
  const groups = new Map<string, Seen[]>();
  for (const one of own) {
    groups.set(patternOf(one), [...(groups.get(patternOf(one)) ?? []), one]);
  }
  const lines: string[] = [];
  for (const [pattern, members] of groups) {
    const files = members.map((one) => one.path);
    const matched = pattern.endsWith('/')
      ? foldersOfPattern(pattern, foldersOf(listing))
      : filesOfPattern(pattern, listing);
    const exact = matched.length === files.length;
    const owner = several ? `player: ${yamlText(player)}, ` : '';
    const { role, movement, why } = members[0]!.guess;
    if (role === 'static' || role === 'functional') {
      const what = movement === null ? role : `${role}, movement: ${movement}`;
      lines.push(`  - { file: ${yamlText(files[0]!)}, ${owner}role: ${what} } # ${why}`);
      continue;
    }
    const name = pattern.replace(/\/$/, '');
    const club = clubIn(name.slice(name.lastIndexOf('/') + 1)) ?? clubIn(name);
    if (club !== null) clubs.set(club.id, club.kind);
    const named = `club: ${club === null ? '"?"' : club.id}`;
    if (role === 'calibration') {
      lines.push(
        `  - { file: ${yamlText(files[0]!)}, ${owner}role: calibration, ${named} } # ${why}: the club hangs still`,
      );
      continue;
    }
    const rest = `${owner}${named}`;
    if (exact && files.length > 1) {
      lines.push(`  - { pattern: ${yamlText(pattern)}, ${rest} } # ${files.length} files`);
    } else for (const file of files) lines.push(`  - { file: ${yamlText(file)}, ${rest} }`);
  }
  return lines;
}

/** The pattern of swings whose names differ in their last number; of everything else its own path. */
function patternOf({ path, guess }: Seen): string {
  if (guess.role !== 'swing') return path;
  if (path.endsWith('/')) return `${path.slice(0, -1).replace(/[0-9]+$/, '')}*/`;
  const dot = path.lastIndexOf('.');
  const motion = isMotionFile(path) ? path.length - '_motion.tsv'.length : dot;
  return `${path.slice(0, motion).replace(/[0-9]+$/, '')}*${path.slice(motion)}`;
}
