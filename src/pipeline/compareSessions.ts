/** Several processed days of the same players: every later day against the first. */
import { compareCodeUnits, nearestOf } from '../base/text.ts';
import { compareSessions } from '../compare/sessions.ts';
import { CATALOGUE } from '../model/catalogue.ts';
import { NamedSwingsError, namedSides, type Sides } from '../model/namedSwings.ts';
import { type Reapplication, takesReapplication } from '../model/reapplication.ts';
import type { SessionComparison } from '../model/sessions.ts';
import { type CompareRequest, SelectionError } from './compareStored.ts';
import type { StoredDay } from './storedDay.ts';

export interface SessionRequest extends CompareRequest {
  /** `quantity=value`, comma between, before what the last day's file says; null: that alone. */
  readonly reapplication: string | null;
}

export interface SessionResult {
  /** By player in the order of the first day, then by date. */
  readonly comparisons: readonly SessionComparison[];
  /** What is not alike between the days, said beside the results. */
  readonly notes: readonly string[];
}

/** @throws SelectionError where a day has no date, two have one date, or a name stands for nothing */
export function compareStoredDays(unsorted: readonly StoredDay[], request: SessionRequest): SessionResult {
  const days = datedDays(unsorted);
  const first = days[0]!;
  const last = days[days.length - 1]!;
  const sides = request.named === null ? null : sidesOf(days, request.named);
  const reapplication = {
    ...last.options.reapplication,
    ...reapplicationFrom(request.reapplication, last.options.margins),
  };
  const ids = first.players
    .map(({ id }) => id)
    .filter((id) => days.slice(1).some((day) => day.players.some((player) => player.id === id)));
  const wanted = ids.filter((id) => request.player === null || request.player === id);
  if (wanted.length === 0) throw new SelectionError(noPlayer(days, ids, request.player));
  const comparisons = wanted.flatMap((id) =>
    days.slice(1).flatMap((day) => {
      const player = day.players.find((one) => one.id === id);
      if (player === undefined) return [];
      const named = sides === null ? {} : { group: sides.of, reference: sides.against };
      return [compareSessions(first, day, { player, options: last.options, reapplication, ...named })];
    }),
  );
  return { comparisons, notes: [...unlike(days), ...skipped(days, ids)] };
}

type DatedDay = StoredDay & { readonly date: string };

function datedDays(days: readonly StoredDay[]): readonly DatedDay[] {
  const dated = days.map((day): DatedDay => {
    if (day.date !== null) return { ...day, date: day.date };
    throw new SelectionError(`${day.name} has no date: set date in its day file, as 2026-05-31, and process it again`);
  });
  dated.sort((a, b) => compareCodeUnits(a.date, b.date));
  const twice = dated.findIndex((day, i) => i > 0 && day.date === dated[i - 1]!.date);
  if (twice < 0) return dated;
  const names = `${dated[twice - 1]!.name} and ${dated[twice]!.name}`;
  throw new SelectionError(`${names} are both of ${dated[twice]!.date}: sessions are told apart by their dates`);
}

function sidesOf(days: readonly StoredDay[], { of, against }: NonNullable<CompareRequest['named']>): Sides {
  const clubs = new Map(days.flatMap((day) => day.clubs.map((club) => [club.id, club] as const)));
  const swings = days.flatMap(({ records }) =>
    records.filter(({ head }) => head.role === 'swing').map(({ head }) => head),
  );
  try {
    return namedSides(of, against, { clubs: [...clubs.values()], swings });
  } catch (error) {
    if (error instanceof NamedSwingsError) throw new SelectionError(`--${error.side}: ${error.message}`);
    throw error;
  }
}

function noPlayer(days: readonly DatedDay[], shared: readonly string[], player: string | null): string {
  if (player !== null && shared.length > 0)
    return `--player: ${player} is not in two of the days; these are: ${shared.join(', ')}`;
  const listed = days.map(({ name, players }) => `${name}: ${players.map(({ id }) => id).join(', ')}`);
  return `no player is in two of the days (${listed.join('; ')}): a player keeps the same id from day to day`;
}

function reapplicationFrom(text: string | null, margins: Readonly<Record<string, number>>): Reapplication {
  if (text === null) return {};
  const ids = CATALOGUE.map(({ id }) => id);
  return Object.fromEntries(
    text.split(',').map((entry): [string, number] => {
      const [id = '', value = ''] = entry.split('=').map((part) => part.trim());
      const quantity = CATALOGUE.find((one) => one.id === id);
      if (quantity === undefined) {
        const near = nearestOf(id, ids);
        const meant = near === null ? 'write QUANTITY=VALUE, such as pelvis.turn=2' : `did you mean ${near}?`;
        throw new SelectionError(`--reapplication: no quantity is called "${id}"; ${meant}`);
      }
      if (!/^(\d+\.?\d*|\.\d+)$/.test(value)) {
        throw new SelectionError(`--reapplication: "${entry.trim()}" needs a number from 0 up, such as ${id}=2`);
      }
      if (!takesReapplication(quantity, margins)) {
        throw new SelectionError(
          `--reapplication: the margin of ${id} is a share of the mean; markers put on again add nothing to it`,
        );
      }
      return [id, Number(value)];
    }),
  );
}

/** What differs between the days beside the swings: never mixed silently. */
function unlike(days: readonly DatedDay[]): readonly string[] {
  const notes: string[] = [];
  const said = (what: string, of: (day: DatedDay) => string, wayOut: string): void => {
    const values = new Set(days.map(of));
    if (values.size < 2) return;
    const listed = days.map((day) => `${day.date} ${of(day)}`).join(', ');
    notes.push(`The days differ in ${what} (${listed}); ${wayOut}`);
  };
  said(
    'the version of the program',
    ({ version }) => version,
    'process them with one version before trusting small changes.',
  );
  said('margins', ({ options }) => JSON.stringify(options.margins), 'those of the last day are used.');
  said('re-application', ({ options }) => JSON.stringify(options.reapplication ?? {}), 'that of the last day is used.');
  said('primary comparisons', ({ options }) => options.primary.join(' '), 'those of the last day are used.');
  const smoothing = new Set(
    days.flatMap(({ players }) => players.map((player) => player.smoothing)).filter((text) => text !== ''),
  );
  if (smoothing.size > 1) notes.push(`Smoothing is not the same throughout: ${[...smoothing].join(' | ')}.`);
  if (days.some(({ records }) => records.some(({ head }) => head.source === 'sensors'))) {
    notes.push('Swings of sensors are left out: each calibration has a zero of its own.');
  }
  return notes;
}

function skipped(days: readonly DatedDay[], shared: readonly string[]): readonly string[] {
  const others = [...new Set(days.flatMap(({ players }) => players.map(({ id }) => id)))].filter(
    (id) => !shared.includes(id),
  );
  return others.length === 0 ? [] : [`Not in the first day and a later one: ${others.join(', ')}.`];
}
