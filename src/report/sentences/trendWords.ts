import { quantityById } from '../../model/catalogue.ts';
import type { Estimate } from '../../model/sessions.ts';
import type { Trend, TrendPoint, TrendSeries } from '../../model/trend.ts';
import { counted, plain, signed, unitText } from './numbers.ts';
import { sessionHeadline, sessionSupport } from './sessionWords.ts';

/** A season in sentences made from the numbers. */

/** 'wren: driver against irons, 2026-05-16 to 2026-09-12' */
export function trendTitle({ player, labels, days }: Trend): string {
  const dates = days.map(({ date }) => date);
  const span = dates.length < 2 ? (dates[0] ?? '') : `${dates[0]} to ${dates[dates.length - 1]}`;
  return `${player}: ${labels.group} against ${labels.reference}, ${span}`;
}

/** What became of the largest certain gap of the first day, by the last day. */
export function trendHeadline({ labels, days, first, last }: Trend): string {
  if (first === null)
    return `No day has swings of the ${labels.group} and of the ${labels.reference}: ${days[0]?.reason ?? 'no day'}.`;
  if (last === null) return `One day so far, ${first}: a trend needs a second one.`;
  return sessionHeadline(last);
}

export function trendSupport({ last, first }: Trend): readonly string[] {
  if (last === null || first === null) return [];
  return [`The last day, ${last.after}, against the first, ${first}.`, ...sessionSupport(last)];
}

/** Where the version of the program changes: 'processed by version 0.1.0 until 2026-05-16, by 0.2.0 from 2026-06-30'; '' where it does not. */
export function versionText({ days }: Pick<Trend, 'days'>): string {
  const changes = versionChanges({ days });
  if (changes.length === 0) return '';
  const parts = changes.map(({ from, to, before, after }) => `version ${from} until ${before}, ${to} from ${after}`);
  return `Processed by ${parts.join('; ')}: a step there may be of the program. Process all days with one version before trusting small changes.`;
}

/** Pairs of neighbouring days that programs of two versions processed. */
export function versionChanges({ days }: Pick<Trend, 'days'>) {
  return days.flatMap((day, index) => {
    const before = days[index - 1];
    return before === undefined || before.version === day.version
      ? []
      : [{ from: before.version, to: day.version, before: before.date, after: day.date }];
  });
}

/** '17.4° (16.9 to 17.9)' */
export function estimateText(
  { value, low95, high95 }: Estimate,
  { quantity, unit }: TrendSeries,
  isSigned = false,
): string {
  if (value === null) return '–';
  const { decimals } = quantityById(quantity);
  const shown = (number: number): string => (isSigned ? signed(number, decimals) : plain(number, decimals));
  const interval = low95 === null || high95 === null ? '' : ` (${shown(low95)} to ${shown(high95)})`;
  return `${shown(value)}${unitText(unit)}${interval}`;
}

/** 'margin of a session 8.0°, 5.0° of it for markers put on again' of the last point that has one, or ''. */
export function marginText({ points, quantity, unit }: TrendSeries): string {
  const change = [...points].reverse().find((point: TrendPoint) => point.change !== null)?.change?.group;
  if (change === undefined || change.margin === null) return '';
  const { decimals } = quantityById(quantity);
  const shown = (value: number): string => `${plain(value, decimals)}${unitText(unit)}`;
  const part = change.reapplication > 0 ? `, ${shown(change.reapplication)} of it for markers put on again` : '';
  return `margin of a session ${shown(change.margin)}${part}`;
}

/** Days that are not in the series: '2026-06-30: no swing of the driver on 2026-06-30'. */
export function leftOutTexts({ days }: Trend): readonly string[] {
  return days
    .filter(({ reason }) => reason !== '')
    .map(({ date, reason }) => `${date} is not in the series: ${reason}`);
}

export function daysText({ days, labels }: Trend): string {
  const used = days.filter(({ reason }) => reason === '');
  const sum = (of: 'group' | 'reference'): number => used.reduce((all, day) => all + day[of].trials.length, 0);
  return `${counted(used.length, 'day')}, ${labels.group} ${counted(sum('group'), 'swing')}, ${labels.reference} ${counted(sum('reference'), 'swing')}`;
}
