/** A valid day file to a day plan: ids resolved, patterns expanded, settings laid over one another. */
import { compareCounted, nearestOf } from '../base/text.ts';
import { CATALOGUE } from '../model/catalogue.ts';
import {
  type ClubPlan,
  type CompareOptions,
  type DayPlan,
  DEFAULT_COMPARE,
  DEFAULT_FILTER,
  DEFAULT_GAPS,
  type FilterOptions,
  NO_FILTER,
  type PlayerPlan,
  type TrialPlan,
} from '../model/dayPlan.ts';
import type { DayFile, DayFileTrial, DayFilter } from '../model/daySchema.ts';
import { isReservedName } from '../model/daySchema.ts';
import type { Place } from './nodes.ts';
import { filesOfPattern, pathTrouble, tidyPath } from './patterns.ts';

export interface PlanContext {
  readonly listing: readonly string[];
  readonly place: (path: readonly PropertyKey[], ofKey?: boolean) => Place;
  readonly problem: (place: Place, code: string, message: string) => void;
}

/** One file of the day with the entry that named it. */
interface Named {
  readonly file: string;
  readonly entry: DayFileTrial;
  readonly index: number;
}

function suggestion(word: string, list: Iterable<string>): string {
  const near = nearestOf(word, list);
  return near === null ? '' : `; did you mean ${near}?`;
}

/** Builds the plan and reports what does not fit together. The plan is only good where nothing was reported. */
export function buildPlan(day: DayFile, context: PlanContext): { plan: DayPlan; notes: readonly string[] } {
  const notes: string[] = [];
  const players = day.players;
  const clubs = day.clubs ?? [];
  checkIds(players, 'players', context);
  checkIds(clubs, 'clubs', context);
  const named = namedFiles(day.trials ?? [], context);
  const trials = named.map((one, order) => trialPlan(one, order, day, context));
  checkTrialIds(trials, named, context);
  const statics = new Map<string, string>();
  players.forEach((player, index) => {
    const id = staticOf(player, index, trials, context);
    if (id !== null) statics.set(player.id, id);
  });
  const roles = new Map([...statics.values()].map((id) => [id, 'static'] as const));
  const plan: DayPlan = {
    day: day.day,
    date: day.date ?? null,
    players: players.map((player) => ({ ...playerPlan(player), static: statics.get(player.id) ?? null })),
    clubs: clubs.map(clubPlan),
    trials: trials.map((trial) => ({ ...trial, role: roles.get(trial.id) ?? trial.role })),
    compare: comparePlan(day, context),
  };
  const unused = context.listing.filter(
    (path) => path.toLowerCase().endsWith('.c3d') && !named.some((one) => one.file === path),
  );
  if (unused.length > 0) {
    const some = unused.slice(0, 3).join(', ');
    notes.push(
      `${unused.length} .c3d files of the data folder are not in the day file: ${some}${unused.length > 3 ? ' …' : ''}`,
    );
  }
  return { plan, notes };
}

/** Ids are compared without regard to case, since file names are on some systems. A player's id also makes `<id>-details`. */
function checkIds(items: readonly { readonly id: string }[], list: 'players' | 'clubs', context: PlanContext): void {
  const seen = new Map<string, number>();
  items.forEach((item, index) => {
    const key = item.id.toLowerCase();
    const place = context.place([list, index, 'id']);
    const first = seen.get(key);
    if (first !== undefined) {
      const line = context.place([list, first, 'id']).line;
      const upper = items[first]!.id === item.id ? '' : ' (letter case does not count)';
      context.problem(place, 'duplicate-id', `${list}: the id ${item.id} is taken in line ${line}${upper}`);
    } else seen.set(key, index);
    if (
      list === 'players' &&
      key.endsWith('-details') &&
      items.some((other) => `${other.id.toLowerCase()}-details` === key)
    ) {
      const message = `the id ${item.id} would share a file with the details of another player; choose another`;
      context.problem(place, 'duplicate-id', message);
    }
  });
}

/**
 * Files of all entries in the order of the day file; a pattern's files with their numbers counted (2 before 10), since that is
 * the order of the swings. An entry by file with `use: no` takes its file out of the patterns and keeps their settings.
 */
function namedFiles(entries: readonly DayFileTrial[], context: PlanContext): readonly Named[] {
  const out: Named[] = [];
  const byFile = new Map<string, number>();
  const leftOut = new Set<string>();
  for (const entry of entries)
    if (entry.file !== undefined && !isYes(entry.use, true)) leftOut.add(tidyPath(entry.file));
  const settings = new Map<string, DayFileTrial>();
  for (const [index, entry] of entries.entries()) {
    const place = context.place(['trials', index, entry.file === undefined ? 'pattern' : 'file']);
    for (const file of filesOf(entry, place, context)) {
      if (entry.pattern !== undefined && leftOut.has(file)) {
        settings.set(file, entry);
        continue;
      }
      const before = byFile.get(file);
      if (before === undefined) {
        byFile.set(file, index);
        out.push({ file, entry, index });
      } else {
        const line = context.place(['trials', before]).line;
        const message = `${file} is already named in line ${line}; a file belongs to one entry`;
        context.problem(place, 'file-named-twice', message);
      }
    }
  }
  return out.map((named) => {
    const under = settings.get(named.file);
    return under === undefined ? named : { ...named, entry: { ...under, ...named.entry, pattern: undefined } };
  });
}

function filesOf(entry: DayFileTrial, place: Place, context: PlanContext): readonly string[] {
  const path = entry.file ?? entry.pattern ?? '';
  const trouble = pathTrouble(path);
  if (trouble !== null) {
    context.problem(place, 'path-leaves-folder', `${path}: ${trouble}`);
    return [];
  }
  const tidy = tidyPath(path);
  if (entry.file !== undefined) return fileOf(tidy, place, context);
  const files = filesOfPattern(tidy, context.listing);
  if (files.length === 0) {
    const message = `the pattern ${path} matches no file${hintForPattern(tidy, context)}`;
    context.problem(place, 'pattern-matches-nothing', message);
  }
  return [...files].sort(compareCounted);
}

function fileOf(path: string, place: Place, context: PlanContext): readonly string[] {
  if (context.listing.includes(path)) return [path];
  const otherCase = context.listing.find((file) => file.toLowerCase() === path.toLowerCase());
  const near = otherCase === undefined ? suggestion(path, context.listing) : `; did you mean ${otherCase}?`;
  context.problem(place, 'file-not-found', `${path} is not in the data folder${near}`);
  return [];
}

function hintForPattern(pattern: string, context: PlanContext): string {
  const lower = filesOfPattern(
    pattern.toLowerCase(),
    context.listing.map((file) => file.toLowerCase()),
  );
  if (lower.length > 0) return '; letters count as written, capital and small';
  const example = context.listing.find((file) => file.toLowerCase().endsWith('.c3d'));
  return example === undefined
    ? '; the data folder holds no .c3d file'
    : `; the data folder holds ${example}, for example`;
}

function trialPlan(named: Named, order: number, day: DayFile, context: PlanContext): TrialPlan {
  const { entry, index, file } = named;
  const at = (key: string) => context.place(['trials', index, key]);
  const player = playerOf(entry, index, day, context);
  const ids = (day.clubs ?? []).map((club) => club.id);
  const club = entry.club ?? null;
  if (club !== null && !ids.includes(club)) {
    context.problem(at('club'), 'unknown-club', `no club has the id ${club}${suggestion(club, ids)}`);
  }
  const lab = day.lab ?? {};
  const slash = file.lastIndexOf('/');
  const dot = file.lastIndexOf('.');
  return {
    id: entry.id ?? (dot > slash + 1 ? file.slice(0, dot) : file),
    file,
    player,
    club,
    set: entry.set ?? '',
    role: entry.role ?? 'swing',
    use: isYes(entry.use, true),
    note: entry.note ?? '',
    order,
    up: entry.up ?? lab.up ?? null,
    target: entry.target ?? lab.target ?? null,
    units: entry.units ?? lab.units ?? null,
    rate_Hz: entry.rate_Hz ?? lab.rate_Hz ?? null,
    hand: day.players.find((one) => one.id === player)?.hand ?? null,
    insist: [...new Set([...(day.insist ?? []), ...(entry.insist ?? [])])],
    trustCoordinates: isYes(entry.trust_coordinates ?? day.trust_coordinates, false),
    markers: markerNames({ ...day.markers, ...entry.markers }),
    events: { ...day.events, ...entry.events },
    filter: layeredFilter([day.filter, entry.filter]),
    gaps: { longest_s: entry.gaps?.longest_s ?? day.gaps?.longest_s ?? DEFAULT_GAPS.longest_s },
  };
}

function playerOf(entry: DayFileTrial, index: number, day: DayFile, context: PlanContext): string {
  const ids = day.players.map((player) => player.id);
  if (entry.player === undefined) {
    if (ids.length === 1) return ids[0]!;
    context.problem(
      context.place(['trials', index]),
      'missing-key',
      `this trial needs player: one of ${ids.join(', ')}`,
    );
    return '';
  }
  if (!ids.includes(entry.player)) {
    const message = `no player has the id ${entry.player}${suggestion(entry.player, ids)}`;
    context.problem(context.place(['trials', index, 'player']), 'unknown-player', message);
  }
  return entry.player;
}

const BAD_IN_NAMES = /[<>:"|?*\\]/;

function checkTrialIds(trials: readonly TrialPlan[], named: readonly Named[], context: PlanContext): void {
  const seen = new Map<string, number>();
  trials.forEach((trial, i) => {
    const index = named[i]!.index;
    const place = context.place(['trials', index, named[i]!.entry.id === undefined ? 'file' : 'id']);
    const wayOut =
      named[i]!.entry.file === undefined ? 'name it by file with an id of its own' : 'give it an id of its own';
    const first = seen.get(trial.id.toLowerCase());
    if (first !== undefined) {
      const other = trials[first]!;
      const message = `the trial id ${trial.id} is that of ${other.file} too (letter case does not count); ${wayOut}`;
      context.problem(place, 'duplicate-id', message);
    } else seen.set(trial.id.toLowerCase(), i);
    const part = trial.id
      .split('/')
      .find((name) => isReservedName(name) || BAD_IN_NAMES.test(name) || /[. ]$/.test(name));
    if (part !== undefined) {
      const message = `"${part}" cannot be a file name on every system; ${wayOut}`;
      context.problem(place, 'bad-trial-id', message);
    }
  });
}

/** The player's static trial: as named (by id or file), or the only one of that role. */
function staticOf(
  player: DayFile['players'][number],
  index: number,
  trials: readonly TrialPlan[],
  context: PlanContext,
): string | null {
  const own = trials.filter((trial) => trial.player === player.id);
  if (player.static === undefined) {
    const candidates = own.filter((trial) => trial.role === 'static' && trial.use);
    if (candidates.length > 1) {
      const names = candidates.map((trial) => trial.id).join(', ');
      const message = `${player.id} has ${candidates.length} static trials (${names}); name one under static`;
      context.problem(context.place(['players', index]), 'static-not-clear', message);
    }
    return candidates[0]?.id ?? null;
  }
  const wanted = tidyPath(player.static);
  const found = own.find((trial) => trial.id === wanted) ?? own.find((trial) => trial.file === wanted);
  if (found === undefined) {
    const elsewhere = trials.find((trial) => trial.id === wanted || trial.file === wanted);
    const ids = own.map((trial) => trial.id);
    const why =
      elsewhere === undefined
        ? `no trial of ${player.id} has the id or file ${player.static}${suggestion(player.static, ids)}`
        : `the static trial ${player.static} belongs to the player ${elsewhere.player}`;
    context.problem(context.place(['players', index, 'static']), 'unknown-trial', why);
  }
  return found?.id ?? null;
}

function playerPlan(player: DayFile['players'][number]): PlayerPlan {
  return {
    id: player.id,
    hand: player.hand ?? null,
    sex: player.sex ?? null,
    mass_kg: player.mass_kg ?? null,
    height_m: player.height_m ?? null,
    static: null,
    note: player.note ?? '',
  };
}

function clubPlan(club: NonNullable<DayFile['clubs']>[number]): ClubPlan {
  return {
    id: club.id,
    kind: club.kind,
    length_m: club.length_m ?? null,
    loft_deg: club.loft_deg ?? null,
    lie_deg: club.lie_deg ?? null,
    markers: markerNames(club.markers ?? {}),
    headPoint: club.head_point ?? null,
    faceCentre_mm: tuple(club.face_centre_mm),
    faceNormal: tuple(club.face_normal),
  };
}

function tuple(values: readonly number[] | undefined): readonly [number, number, number] | null {
  return values === undefined ? null : [values[0]!, values[1]!, values[2]!];
}

function markerNames(names: Readonly<Record<string, string | number | undefined>>): Readonly<Record<string, string>> {
  const out: Record<string, string> = {};
  for (const [landmark, name] of Object.entries(names)) {
    if (name !== undefined) out[landmark] = typeof name === 'number' ? `#${name}` : name;
  }
  return out;
}

function isYes(value: boolean | 'yes' | 'no' | undefined, otherwise: boolean): boolean {
  return value === undefined ? otherwise : value === true || value === 'yes';
}

/** Later layers win key by key; `none` turns every cutoff off, and keys of a later layer turn theirs on again. */
function layeredFilter(layers: readonly (DayFilter | undefined)[]): FilterOptions {
  let out = DEFAULT_FILTER;
  for (const layer of layers) {
    if (layer === undefined) continue;
    if (layer === 'none') {
      out = NO_FILTER;
      continue;
    }
    out = {
      trunk_Hz: cutoffOf(layer.trunk_Hz, out.trunk_Hz),
      head_Hz: cutoffOf(layer.head_Hz, out.head_Hz),
      legs_Hz: cutoffOf(layer.legs_Hz, out.legs_Hz),
      upperArm_Hz: cutoffOf(layer.upper_arm_Hz, out.upperArm_Hz),
      forearm_Hz: cutoffOf(layer.forearm_Hz, out.forearm_Hz),
    };
  }
  return out;
}

function cutoffOf(value: number | 'none' | undefined, before: number | null): number | null {
  return value === undefined ? before : value === 'none' ? null : value;
}

function comparePlan(day: DayFile, context: PlanContext): CompareOptions {
  const compare = day.compare ?? {};
  const ids = CATALOGUE.map((quantity) => quantity.id);
  for (const quantity of Object.keys(compare.margins ?? {})) {
    if (ids.includes(quantity)) continue;
    const place = context.place(['compare', 'margins', quantity], true);
    context.problem(place, 'unknown-quantity', `no quantity is called ${quantity}${suggestion(quantity, ids)}`);
  }
  compare.primary?.forEach((entry, index) => {
    const trouble = primaryTrouble(entry, ids);
    if (trouble !== null) context.problem(context.place(['compare', 'primary', index]), 'unknown-quantity', trouble);
  });
  return {
    margins: compare.margins ?? DEFAULT_COMPARE.margins,
    primary: compare.primary ?? DEFAULT_COMPARE.primary,
    seed: compare.seed ?? DEFAULT_COMPARE.seed,
    resamples: compare.resamples ?? DEFAULT_COMPARE.resamples,
  };
}

function primaryTrouble(entry: string, ids: readonly string[]): string | null {
  const [name, position, ...rest] = entry.split('@');
  if (name === undefined || position === undefined || rest.length > 0) {
    return `write quantity@position, such as pelvis.forward_bend@P4, not ${entry}`;
  }
  const quantity = CATALOGUE.find((one) => one.id === name);
  if (quantity === undefined) return `no quantity is called ${name}${suggestion(name, ids)}`;
  const at: readonly string[] = quantity.at === 'swing' ? ['swing'] : quantity.at;
  return at.includes(position) ? null : `${name} is given at ${at.join(', ')}, not at ${position}`;
}
