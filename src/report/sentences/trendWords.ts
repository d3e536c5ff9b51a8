import { quantityById } from '../../model/catalogue.ts';
import type { Estimate } from '../../model/sessions.ts';
import type { Trend, TrendPoint, TrendSeries } from '../../model/trend.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { counted, decimalsIn, plain, signed, unitText } from './numbers.ts';
import { sessionHeadline, sessionSupport } from './sessionWords.ts';

/** A season in sentences made from the numbers. */

/** 'wren: driver against irons, 2026-05-16 to 2026-09-12' */
export function trendTitle(words: Words, { player, labels, days }: Trend): string {
  const dates = days.map(({ date }) => date);
  const [first = '', last = ''] = [dates[0], dates[dates.length - 1]];
  const span = dates.length < 2 ? first : fill(words.trend.span, { first, last });
  return fill(words.trend.title, { player, ...labels, span });
}

/** What became of the largest certain gap of the first day, by the last day. */
export function trendHeadline(words: Words, { labels, days, first, last }: Trend): string {
  if (first === null) return fill(words.trend.noDay, { ...labels, reason: days[0]?.reason ?? words.trend.noDayReason });
  if (last === null) return fill(words.trend.oneDay, { date: first });
  return sessionHeadline(words, last);
}

export function trendSupport(words: Words, { last, first }: Trend): readonly string[] {
  if (last === null || first === null) return [];
  return [fill(words.trend.lastDay, { last: last.after, first }), ...sessionSupport(words, last)];
}

/** Where the version of the program changes: 'processed by version 0.1.0 until 2026-05-16, by 0.2.0 from 2026-06-30'; '' where it does not. */
export function versionText(words: Words, { days }: Pick<Trend, 'days'>): string {
  const changes = versionChanges({ days });
  if (changes.length === 0) return '';
  const parts = changes.map((change) => fill(words.trend.version, change)).join('; ');
  return fill(words.trend.versions, { parts });
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
  words: Words,
  { value, low95, high95 }: Estimate,
  { quantity, unit }: TrendSeries,
  isSigned = false,
): string {
  if (value === null) return '–';
  const decimals = decimalsIn(quantityById(quantity).decimals, unit);
  const shown = (number: number): string =>
    isSigned ? signed(words, number, decimals) : plain(words, number, decimals);
  const interval =
    low95 === null || high95 === null ? '' : ` (${fill(words.range, { low: shown(low95), high: shown(high95) })})`;
  return `${shown(value)}${unitText(unit)}${interval}`;
}

/** 'margin of a session 8.0°, 5.0° of it for markers put on again' of the last point that has one, or ''. */
export function marginText(words: Words, { points, quantity, unit }: TrendSeries): string {
  const change = [...points].reverse().find((point: TrendPoint) => point.change !== null)?.change?.group;
  if (change === undefined || change.margin === null) return '';
  const decimals = decimalsIn(quantityById(quantity).decimals, unit);
  const shown = (value: number): string => `${plain(words, value, decimals)}${unitText(unit)}`;
  const part = change.reapplication > 0 ? fill(words.trend.marginPart, { part: shown(change.reapplication) }) : '';
  return fill(words.trend.margin, { margin: shown(change.margin), part });
}

/** Days that are not in the series: '2026-06-30: no swing of the driver on 2026-06-30'. */
export function leftOutTexts(words: Words, { days }: Trend): readonly string[] {
  return days
    .filter(({ reason }) => reason !== '')
    .map(({ date, reason }) => fill(words.trend.leftOut, { date, reason }));
}

export function daysText(words: Words, { days, labels }: Trend): string {
  const used = days.filter(({ reason }) => reason === '');
  const sum = (of: 'group' | 'reference'): number => used.reduce((all, day) => all + day[of].trials.length, 0);
  return fill(words.trend.days, {
    days: counted(words, used.length, 'day'),
    ...labels,
    groupSwings: counted(words, sum('group'), 'swing'),
    referenceSwings: counted(words, sum('reference'), 'swing'),
  });
}
