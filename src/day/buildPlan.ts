/** A valid day file to a day plan: ids resolved, patterns expanded, settings laid over one another. */
import { type ClubPlan, type DayPlan, DEFAULT_GAPS, type PlayerPlan, type TrialPlan } from '../model/dayPlan.ts';
import type { DayFile, DayFileTrial } from '../model/daySchema.ts';
import { isReservedName } from '../model/daySchema.ts';
import { DEFAULT_SENSOR_PLAN } from '../model/sensors.ts';
import { namedFiles } from './namedFiles.ts';
import { tidyPath } from './patterns.ts';
import { isYes, type Named, type PlanContext, suggestion } from './planContext.ts';
import { comparePlan, layeredFilter } from './settings.ts';

/** Builds the plan and reports what does not fit together. The plan is only good where nothing was reported. */
export function buildPlan(day: DayFile, context: PlanContext): { plan: DayPlan; notes: readonly string[] } {
  const notes: string[] = [];
  const players = day.players;
  const clubs = day.clubs ?? [];
  checkIds(players, 'players', context);
  checkIds(clubs, 'clubs', context);
  checkNames(day, context);
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

/** Players and clubs named by the entries, whether or not the entry's files are there. */
function checkNames(day: DayFile, context: PlanContext): void {
  const players = day.players.map((player) => player.id);
  const clubs = (day.clubs ?? []).map((club) => club.id);
  for (const [index, { player, club }] of (day.trials ?? []).entries()) {
    const at = (key: string) => context.place(['trials', index, key]);
    if (player !== undefined && !players.includes(player)) {
      context.problem(at('player'), 'unknown-player', `no player has the id ${player}${suggestion(player, players)}`);
    }
    if (club !== undefined && !clubs.includes(club)) {
      context.problem(at('club'), 'unknown-club', `no club has the id ${club}${suggestion(club, clubs)}`);
    }
  }
}

function trialPlan(named: Named, order: number, day: DayFile, context: PlanContext): TrialPlan {
  const { entry, index, file } = named;
  const player = playerOf(entry, index, day, context);
  const lab = day.lab ?? {};
  const slash = file.lastIndexOf('/');
  const dot = file.lastIndexOf('.');
  return {
    id: entry.id ?? (dot > slash + 1 ? file.slice(0, dot) : file),
    file,
    files: [file],
    source: null,
    player,
    club: entry.club ?? null,
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
    sensors: DEFAULT_SENSOR_PLAN,
    movement: null,
    still: null,
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
    still: null,
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
    sensorShaft: null,
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
