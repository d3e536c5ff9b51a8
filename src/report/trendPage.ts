/** The page of a player's season: what became of the gap, the sheet, and every number by date. Without script, nothing fetched. */

import { DEFAULT_REPORT } from '../model/reportSettings.ts';
import type { Trend, TrendPoint, TrendSeries } from '../model/trend.ts';
import type { DrawnElement } from './drawing/element.ts';
import { make, pageFoot, startPage } from './htmlPage.ts';
import { percent } from './sentences/numbers.ts';
import { capital } from './sentences/ranking.ts';
import {
  daysText,
  estimateText,
  leftOutTexts,
  marginText,
  trendHeadline,
  trendSupport,
  trendTitle,
  versionText,
} from './sentences/trendWords.ts';
import { placedLabel } from './sentences/words.ts';
import { spokenTrend } from './spoken.ts';
import { type TrendView, trendSheetFile } from './trendSheet.ts';
import { fill } from './words/fill.ts';
import { wordsOf } from './words/languages.ts';
import type { Words } from './words/words.ts';

/** HTML text of the page. The same view gives the same bytes. */
export function renderTrendPage({ trend: given, programVersion, settings }: TrendView): string {
  const words = wordsOf((settings ?? DEFAULT_REPORT).language);
  const trend = spokenTrend(words, given);
  const { body, finish } = startPage(words, trendTitle(words, trend));
  const sheet = trendSheetFile(trend);
  const headline = trendHeadline(words, trend);
  const support = trendSupport(words, trend);
  const notes = [...leftOutTexts(words, trend), versionText(words, trend), ...trend.notes].filter(
    (text) => text !== '',
  );
  body.append(
    make(
      'header',
      { class: 'text' },
      make('h1', {}, fill(words.trend.heading, { player: trend.player })),
      make('p', { class: 'day' }, daysText(words, trend)),
      make('p', {}, headline),
      ...support.map((text) => make('p', {}, text)),
    ),
    make(
      'main',
      {},
      make(
        'section',
        { class: 'player sheet' },
        make('h2', {}, trendTitle(words, trend)),
        make('img', { src: sheet, alt: [headline, ...support].join(' '), width: '1123', height: '794' }),
        make(
          'p',
          { class: 'links' },
          make('a', { href: sheet }, fill(words.trend.sheetOf, { name: trend.player })),
          ' · ',
          make('a', { href: 'tables/trend.csv' }, words.trend.allNumbers),
        ),
      ),
      ...trend.series.map((series) => seriesSection(words, trend, series)),
    ),
    pageFoot(words, notes, programVersion),
  );
  return finish();
}

function seriesSection(words: Words, { labels }: Trend, series: TrendSeries): DrawnElement {
  const name = placedLabel(words, series.quantity, series.position);
  const said = words.trend.heads;
  const heads = [said.date, labels.group, labels.reference, said.gap, said.since, said.closed];
  const margin = marginText(words, series);
  return make(
    'section',
    { class: 'text' },
    make('h2', {}, capital(name)),
    ...(margin === '' ? [] : [make('p', { class: 'day' }, `${capital(margin)}.`)]),
    make(
      'div',
      { class: 'rows' },
      make(
        'table',
        {},
        make('thead', {}, make('tr', {}, ...heads.map((text) => make('th', { scope: 'col' }, text)))),
        make('tbody', {}, ...series.points.map((point) => pointRow(words, series, point))),
      ),
    ),
  );
}

function pointRow(words: Words, series: TrendSeries, point: TrendPoint): DrawnElement {
  const { change, group, reference, gap, verdict } = point;
  const since =
    change === null ? '' : `${estimateText(words, change.gap, series, true)}, ${words.verdicts[change.gap.verdict]}`;
  const closed = change === null || change.closed.value === null ? '' : percent(words, change.closed.value);
  const cells = [
    ...[group, reference].map((own) => fill(words.trend.mean, { mean: estimateText(words, own, series), n: own.n })),
    `${estimateText(words, gap, series, true)}, ${words.verdicts[verdict]}`,
    since,
    closed,
  ];
  return make('tr', {}, make('td', { class: 'name' }, point.date), ...cells.map((text) => make('td', {}, text)));
}
