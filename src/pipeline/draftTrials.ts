/** The lines of trials and clubs of a drafted day file. */
import { filesOfPattern, foldersOfPattern } from '../day/patterns.ts';
import { foldersOf, isMotionFile } from '../day/sensorFiles.ts';
import type { SignedAxis } from '../model/dayPlan.ts';
import type { Seen } from './draft.ts';
import { clubIn, lastPart, type NamedClub, yamlText } from './draftNames.ts';

const UNKNOWN: NamedClub = { id: '"?"', kind: '"?"' };

/** The club that a recording's name speaks of, its own part before its folders; null where it has none or speaks of none. */
function clubOf({ path, guess }: Seen): NamedClub | null {
  if (guess.role !== 'swing' && guess.role !== 'calibration') return null;
  const name = path.replace(/\/$/, '');
  return clubIn(lastPart(name)) ?? clubIn(name) ?? UNKNOWN;
}

/**
 * One line a club, in the order of the trials. A club that is known by no name is asked for only where no other is known. With a
 * sensor on it and no recording of it hanging, the axis of its shaft is asked for.
 */
export function clubLines(seen: readonly Seen[]): readonly string[] {
  const clubs = new Map<string, NamedClub>();
  const swung = new Set<string>();
  const hung = new Set<string>();
  for (const one of seen) {
    const club = clubOf(one);
    if (club === null) continue;
    clubs.set(club.id, club);
    if (one.guess.role === 'calibration' && one.described !== null) hung.add(club.id);
    else if (one.described?.sensors.some(({ place }) => place.value === 'club') === true) swung.add(club.id);
  }
  if (clubs.size > 1) clubs.delete(UNKNOWN.id);
  const lines = [...clubs.values()].map(({ id, kind }) => {
    const asks = (swung.has(id) || swung.has(UNKNOWN.id)) && !hung.has(id) && !hung.has(UNKNOWN.id);
    return `  - { id: ${id}, kind: ${kind}${asks ? ', sensor_shaft: "?"' : ''} }`;
  });
  return [
    '# kind: driver, wood, hybrid, iron, wedge or putter. length_m: the same club length is compared with the same.',
    ...(lines.some((line) => line.includes('sensor_shaft'))
      ? ["# sensor_shaft: the axis of the club's sensor that points from grip to head, such as +X."]
      : []),
    ...(clubs.has(UNKNOWN.id)
      ? ['# One line a club, such as { id: iron7, kind: iron }; trials name it by its id.']
      : []),
    ...(lines.length === 0 ? ['clubs: []'] : ['clubs:', ...lines]),
  ];
}

/** One line a recording, or a pattern of swings that matches no other file. `up`: the axis said for all. */
export function trialLines(
  seen: readonly Seen[],
  player: string,
  several: boolean,
  listing: readonly string[],
  up: SignedAxis | null,
): readonly string[] {
  const groups = new Map<string, Seen[]>();
  for (const one of seen.filter((each) => each.player === player)) {
    const key = `${patternOf(one)} ${isSensorC3d(one)}`;
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  const lines: string[] = [];
  for (const members of groups.values()) {
    const first = members[0]!;
    const pattern = patternOf(first);
    const matched = pattern.endsWith('/')
      ? foldersOfPattern(pattern, foldersOf(listing))
      : filesOfPattern(pattern, listing);
    const { role, movement, why } = first.guess;
    const words = [
      ...(several ? [`player: ${yamlText(player)}`] : []),
      ...(isSensorC3d(first) ? ['source: sensors'] : []),
      ...(role === 'swing' ? [] : [`role: ${role}`]),
      ...(movement === null ? [] : [`movement: ${movement}`]),
    ];
    const club = clubOf(first);
    if (club !== null) words.push(`club: ${club.id}`);
    const isUpShown = members.every(({ shownUp }) => shownUp === first.shownUp);
    if (members.length > 1 && matched.length === members.length && isUpShown) {
      const what = pattern.endsWith('/') ? 'folders' : 'files';
      const all = [...words, ...upWords(first, up)].join(', ');
      lines.push(`  - { pattern: ${yamlText(pattern)}, ${all} } # ${members.length} ${what}`);
      continue;
    }
    const note = `${why === '' ? '' : ` # ${why}`}${role === 'calibration' && first.described !== null ? ': the club hangs still' : ''}`;
    for (const one of members) {
      lines.push(`  - { file: ${[yamlText(one.path), ...words, ...upWords(one, up)].join(', ')} }${note}`);
    }
  }
  return lines;
}

function isSensorC3d({ path, described }: Seen): boolean {
  return described !== null && path.toLowerCase().endsWith('.c3d');
}

/** The up axis of a recording that shows another than is said for all. */
function upWords({ shownUp }: Seen, up: SignedAxis | null): readonly string[] {
  return shownUp === null || up === null || shownUp === up ? [] : [`up: "${shownUp}"`];
}

/** The pattern of swings whose names differ in their last number; of everything else its own path. */
function patternOf({ path, guess }: Seen): string {
  if (guess.role !== 'swing') return path;
  if (path.endsWith('/')) return `${path.slice(0, -1).replace(/[0-9]+$/, '')}*/`;
  const dot = path.lastIndexOf('.');
  const motion = isMotionFile(path) ? path.length - '_motion.tsv'.length : dot;
  return `${path.slice(0, motion).replace(/[0-9]+$/, '')}*${path.slice(motion)}`;
}
