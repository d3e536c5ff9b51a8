/** A first day file from the files of a folder: detected facts with their evidence, unknown ones as `?`. */
import { FormatError } from '../base/errors.ts';
import { compareCounted } from '../base/text.ts';
import { filesOfPattern } from '../day/patterns.ts';
import { METRES_PER } from '../intake/detectFacts.ts';
import { isReservedName } from '../model/daySchema.ts';
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
  readonly still: boolean;
  readonly facts: Examined['facts'];
}

/** A person who stands moves less than this, metres (a swing moves the hands by more than a metre). */
const STILL_M = 0.15;

/** The text of a day file. Files that cannot be read are named in comments. */
export function draftDay(source: DraftSource): string {
  const captures = source.listing.filter((path) => path.toLowerCase().endsWith('.c3d')).sort(compareCounted);
  const seen: Seen[] = [];
  const bad: string[] = [];
  for (const path of captures) {
    try {
      seen.push(look(path, source));
    } catch (error) {
      if (!(error instanceof FormatError) && (error as Error).name !== 'FileError') throw error;
      bad.push(`# ${path} is left out, it cannot be read: ${oneLine((error as Error).message)}`);
    }
  }
  const players = [...new Set(seen.map((one) => one.player))];
  if (players.length === 0) players.push('player1');
  const clubs = new Map<string, string>();
  const trials = players.flatMap((player) => trialLines(seen, player, players.length > 1, source.listing, clubs));
  return [
    '# A draft: replace every "?" by its value, or remove the line where the value may stay unknown.',
    '# Then run: swingbasis process DAYFILE. All keys are described in docs/day-file.md.',
    'swingbasis: 1',
    `day: ${yamlText(source.folder)}`,
    '# date: 2026-05-31',
    '',
    ...labLines(seen),
    '',
    'players:',
    ...players.flatMap((player) => playerLines(player, seen)),
    '',
    '# kind: driver, wood, hybrid, iron, wedge or putter. length_m: the same club length is compared with the same.',
    'clubs:',
    ...(clubs.size === 0 ? ['  - { id: driver, kind: driver }', '  - { id: iron7, kind: iron }'] : []),
    ...[...clubs].map(([id, kind]) => `  - { id: ${id}, kind: ${kind} }`),
    '',
    '# One line a file or a pattern. use: no leaves a file out; note says why.',
    ...(trials.length === 0 ? ['trials: []'] : ['trials:', ...trials]),
    ...bad,
    '',
  ].join('\n');
}

function look(path: string, source: DraftSource): Seen {
  const opened = source.open(path);
  try {
    const examined = examine(opened, path);
    return { path, player: playerOf(path), still: isStill(examined), facts: examined.facts };
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
    const stem = one.still ? one.path : `${one.path.slice(0, one.path.lastIndexOf('.')).replace(/[0-9]+$/, '')}*`;
    groups.set(stem, [...(groups.get(stem) ?? []), one]);
  }
  const lines: string[] = [];
  for (const [stem, members] of groups) {
    const pattern = `${stem}${members[0]!.path.slice(members[0]!.path.lastIndexOf('.'))}`;
    const files = members.map((one) => one.path);
    const exact = filesOfPattern(pattern, listing).length === files.length;
    const owner = several ? `player: ${yamlText(player)}, ` : '';
    if (members[0]!.still) {
      lines.push(`  - { file: ${yamlText(files[0]!)}, ${owner}role: static } # nothing moves in it`);
      continue;
    }
    const club = clubIn(stem.slice(stem.lastIndexOf('/') + 1)) ?? clubIn(stem);
    if (club !== null) clubs.set(club.id, club.kind);
    const rest = `${owner}club: ${club === null ? '"?"' : club.id}`;
    if (exact && files.length > 1) {
      lines.push(`  - { pattern: ${yamlText(pattern)}, ${rest} } # ${files.length} files`);
    } else for (const file of files) lines.push(`  - { file: ${yamlText(file)}, ${rest} }`);
  }
  return lines;
}

function yamlText(text: string): string {
  return /^[A-Za-z][A-Za-z0-9_/.-]*$/.test(text) && !/^(true|false|null|yes|no)$/i.test(text)
    ? text
    : JSON.stringify(text);
}

function oneLine(text: string): string {
  return text.replace(/\s+/g, ' ');
}
