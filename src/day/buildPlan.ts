/** A valid day file to a day plan: ids resolved, patterns expanded, settings laid over one another. */
import { coachWordsOf } from '../model/coachWords.ts';
import type { ClubPlan, DayPlan, PlayerPlan, TrialPlan } from '../model/dayPlan.ts';
import type { DayFile, DayFileTrial } from '../model/daySchema.ts';
import { isReservedName } from '../model/daySchema.ts';
import { MOVEMENTS } from '../model/sensors.ts';
import { groupPlans } from './groups.ts';
import { namedFiles } from './namedFiles.ts';
import { isYes, type Named, type PlanContext, suggestion } from './planContext.ts';
import { countsAsSensors, staticOf, stillPoses } from './poseTrials.ts';
import { trialIdOf } from './sensorFiles.ts';
import { layeredSensors, namesSensors, sensorTroubles } from './sensorSettings.ts';
import {
  checkPlacement,
  comparePlan,
  gateSettings,
  layeredFaults,
  layeredFilter,
  layeredGaps,
  reportSettings,
} from './settings.ts';
import { unusedNotes } from './unusedFiles.ts';

/** Builds the plan and reports what does not fit together. The plan is only good where nothing was reported. */
export function buildPlan(day: DayFile, context: PlanContext): { plan: DayPlan; notes: readonly string[] } {
  const players = day.players;
  const clubs = day.clubs ?? [];
  checkIds(players, 'players', context);
  checkIds(clubs, 'clubs', context);
  checkNames(day, context);
  checkSensorSettings(day, context);
  checkPlacement(day.placement, context);
  const named = namedFiles(day.trials ?? [], context);
  const trials = named.map((one, order) => trialPlan(one, order, day, context));
  checkTrialIds(trials, named, context);
  trials.forEach((trial, i) => {
    checkSensorTrial(trial, named[i]!, context);
  });
  const statics = new Map<string, string>();
  players.forEach((player, index) => {
    const id = staticOf(player, index, trials, context);
    if (id !== null) statics.set(player.id, id);
  });
  const stills = stillPoses(
    day,
    named.map(({ entry, index }) => ({ still: entry.still, index })),
    trials,
    context,
  );
  const poses = new Set([...stills.ofPlayer.values(), ...stills.ofTrial.values()]);
  const roles = new Map([...statics.values(), ...poses].map((id) => [id, 'static'] as const));
  const plan: DayPlan = {
    day: day.day,
    date: day.date ?? null,
    players: players.map((player) => ({
      ...playerPlan(player),
      static: statics.get(player.id) ?? null,
      still: stills.ofPlayer.get(player.id) ?? null,
    })),
    clubs: clubs.map(clubPlan),
    trials: trials.map((trial) => ({
      ...trial,
      role: roles.get(trial.id) ?? trial.role,
      source: trial.source ?? (poses.has(trial.id) ? 'sensors' : null),
      still: poses.has(trial.id)
        ? trial.id
        : (stills.ofTrial.get(trial.id) ?? stills.ofPlayer.get(trial.player) ?? null),
    })),
    compare: comparePlan(day, context),
    ...(day.gates === undefined ? {} : { gates: gateSettings(day.gates) }),
    ...(day.report === undefined ? {} : { report: reportSettings(day.report) }),
    groups: groupPlans(day, trials, context),
  };
  return { plan, notes: unusedNotes(named, day.trials_csv, context.listing) };
}

/** What the names of a player's sheets add to the id: the details, the sensors, a second calibration. */
const SHEET_ENDING = /-(details|sensors(-\d+)?(-details)?)$/;

/** Ids are compared without regard to case, since file names are on some systems. A player's id also names the player's sheets. */
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
    const sheet = list === 'players' ? SHEET_ENDING.exec(key)?.[0] : undefined;
    if (sheet !== undefined && items.some((other) => `${other.id.toLowerCase()}${sheet}` === key)) {
      const what = sheet === '-details' ? 'the details' : 'a sheet';
      const message = `the id ${item.id} would share a file with ${what} of another player; choose another`;
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
  const { entry, index, file, files } = named;
  const player = playerOf(entry, index, day, context);
  const lab = day.lab ?? {};
  return {
    id: entry.id ?? trialIdOf(file),
    file,
    files,
    source: entry.source ?? null,
    player,
    club: entry.club ?? null,
    set: entry.set ?? '',
    role: entry.role ?? 'swing',
    use: isYes(entry.use, true),
    ...(entry.gate === undefined ? {} : { gate: entry.gate }),
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
    gaps: layeredGaps([day.gaps, entry.gaps]),
    ...(day.placement === undefined ? {} : { placement: day.placement }),
    faults: layeredFaults([day.faults, entry.faults]),
    sensors: layeredSensors([day.sensors, entry.sensors]),
    movement: entry.movement ?? null,
    still: null,
  };
}

function checkSensorSettings(day: DayFile, context: PlanContext): void {
  const blocks = [
    { at: ['sensors'], sensors: day.sensors },
    ...(day.trials ?? []).map(({ sensors }, index) => ({ at: ['trials', index, 'sensors'], sensors })),
  ];
  for (const { at, sensors } of blocks) {
    if (sensors === undefined) continue;
    for (const { path, message } of sensorTroubles(sensors)) {
      context.problem(context.place([...at, ...path]), 'bad-value', message);
    }
  }
}

/** What a trial of sensors needs, and what only sensors can be told. */
function checkSensorTrial(trial: TrialPlan, { entry, index }: Named, context: PlanContext): void {
  const say = (key: string | null, code: string, message: string) =>
    context.problem(context.place(key === null ? ['trials', index] : ['trials', index, key]), code, message);
  const { file, role, movement } = trial;
  if (trial.source === 'markers') {
    if (countsAsSensors({ file, source: null })) {
      say('source', 'bad-value', `${file} is no C3D file; markers are read from C3D files`);
    } else if (namesSensors(entry)) {
      say('source', 'bad-value', `${file}: movement, still and sensors are settings of sensors, not of markers`);
    }
    return;
  }
  if (movement !== null && role !== 'functional') {
    say('movement', 'bad-value', `a movement needs role: functional, and this is role: ${role}`);
  }
  if (!countsAsSensors(trial)) return;
  // a movement that is there and wrong is told already
  const wrong = context.place(['trials', index, 'movement'], true).column !== context.place(['trials', index]).column;
  if (role === 'functional' && movement === null && !wrong) {
    say(null, 'missing-key', `a functional trial of sensors needs movement: one of ${MOVEMENTS.join(', ')}`);
  }
  if (role === 'calibration' && trial.club === null) {
    say(null, 'missing-key', 'a calibration trial of sensors is a club that hangs still: it needs club');
  }
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

function playerPlan(player: DayFile['players'][number]): PlayerPlan {
  return {
    id: player.id,
    hand: player.hand ?? null,
    sex: player.sex ?? null,
    mass_kg: player.mass_kg ?? null,
    height_m: player.height_m ?? null,
    static: null,
    still: null,
    ...(player.hip_centre === undefined ? {} : { hipCentre: player.hip_centre }),
    ...(player.shoulder_centre === undefined ? {} : { shoulderCentre: player.shoulder_centre }),
    ...coachWordsOf(player),
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
    ...(club.face_marker_height_mm === undefined ? {} : { faceMarkerHeight_mm: club.face_marker_height_mm }),
    sensorShaft: club.sensor_shaft ?? null,
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
