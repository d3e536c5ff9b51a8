/** A player's days in a row: every later day against the first by the rules of two sessions, laid out by date. */
import { CATALOGUE } from '../model/catalogue.ts';
import { POSITIONS } from '../model/positions.ts';
import type { DayMean, SessionComparison, SessionRow } from '../model/sessions.ts';
import type { Trend, TrendDay, TrendMean, TrendPoint, TrendSeries } from '../model/trend.ts';
import { half95 } from './orderOfMotion.ts';
import { compareSessions, type SessionDay, type SessionPlan } from './sessions.ts';

export interface DatedSession extends SessionDay {
  /** Of the program that processed the day. */
  readonly version: string;
}

/** Days by date, each of one date. Primary comparisons alone: the values, not their changes since P1. */
export function trendOf(days: readonly DatedSession[], plan: SessionPlan): Trend {
  const compared: SessionComparison[] = [];
  let first: DatedSession | null = null;
  for (const day of days) {
    compared.push(compareSessions(first ?? day, first === null ? again(day) : day, plan));
    if (first === null && compared[compared.length - 1]!.reason === '') first = day;
  }
  const at = first === null ? days.length : days.indexOf(first);
  const series = new Map<string, { readonly row: SessionRow; readonly points: TrendPoint[] }>();
  compared.forEach(({ reason, rows }, index) => {
    if (reason !== '') return;
    for (const row of rows.filter((one) => isPrimary(one, plan))) {
      const point = pointOf(row, days[index]!.date, index === at);
      if (point === null) continue;
      const key = `${row.quantity}@${row.position}`;
      const known = series.get(key);
      if (known === undefined) series.set(key, { row, points: [point] });
      else known.points.push(point);
    }
  });
  const later = compared.filter(({ reason }, index) => index > at && reason === '');
  return {
    player: plan.player.id,
    labels: { group: compared[0]!.group.after.label, reference: compared[0]!.reference.after.label },
    days: days.map((day, index) => dayOf(day, compared[index]!, index <= at)),
    first: first?.date ?? null,
    series: [...series.values()].map(seriesOf).sort((a, b) => placeOf(a) - placeOf(b)),
    last: later[later.length - 1] ?? null,
    notes: notesOf(later),
  };
}

/** The same swings once more, so that a day can be laid beside itself. */
function again(day: DatedSession): DatedSession {
  return { ...day, records: day.records.map((record) => ({ ...record })) };
}

function isPrimary({ quantity, position, basis }: SessionRow, { options }: SessionPlan): boolean {
  if (basis !== 'value') return false;
  const key = `${quantity}@${position === 'P4(arm)' ? 'P4' : position}`;
  return options.primary.includes(key) || options.primary.includes(`${quantity}@${position}`);
}

/** The later day of a row, or the first of a day laid beside itself; null where neither side has a value. */
function pointOf(row: SessionRow, date: string, isFirst: boolean): TrendPoint | null {
  const { group, reference, gap, verdict } = isFirst ? row.before : row.after;
  if (group.n + reference.n === 0) return null;
  const onFirst = isFirst || row.zero === null ? 0 : row.zero.before;
  return {
    date,
    group: meanOf(group, onFirst),
    reference: meanOf(reference, onFirst),
    gap,
    verdict,
    margin: row.gap.margin,
    zero: isFirst ? null : row.zero,
    change: isFirst ? null : { group: row.group, reference: row.reference, gap: row.gap, closed: row.closed },
    reason: isFirst ? '' : row.reason,
  };
}

function meanOf({ n, mean, sd }: DayMean, shift: number): TrendMean {
  if (mean === null) return { n, value: null, low95: null, high95: null, sd };
  const value = mean + shift;
  const half = sd === null || n < 2 ? null : half95(sd, n);
  return { n, value, sd, low95: half === null ? null : value - half, high95: half === null ? null : value + half };
}

function dayOf(
  { date, version }: DatedSession,
  { group, reference, reason }: SessionComparison,
  isAlone: boolean,
): TrendDay {
  const when = isAlone ? 'before' : 'after';
  return { date, version, group: group[when], reference: reference[when], reason: told(reason) };
}

/** A day beside itself says twice what it lacks. */
function told(reason: string): string {
  return [...new Set(reason.split('; '))].join('; ');
}

function seriesOf({ row, points }: { readonly row: SessionRow; readonly points: readonly TrendPoint[] }): TrendSeries {
  const { quantity, position, unit, order } = row;
  return { quantity, position, unit, order, points };
}

const QUANTITY_PLACE: ReadonlyMap<string, number> = new Map(CATALOGUE.map(({ id }, index) => [id, index]));

function placeOf({ quantity, position }: TrendSeries): number {
  const inSwing = position === 'swing' ? POSITIONS.length : POSITIONS.indexOf(position);
  return QUANTITY_PLACE.get(quantity)! * (POSITIONS.length + 1) + inSwing;
}

/** What the comparisons of the days note, each once with its dates. */
function notesOf(comparisons: readonly SessionComparison[]): readonly string[] {
  const dates = new Map<string, string[]>();
  for (const { after, notes } of comparisons) {
    for (const note of notes) dates.set(note, [...(dates.get(note) ?? []), after]);
  }
  return [...dates].map(([note, on]) =>
    on.length === comparisons.length && on.length > 1 ? note : `${on.join(', ')}: ${note}`,
  );
}
