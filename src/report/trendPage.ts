/** The page of a player's season: what became of the gap, the sheet, and every number by date. Without script, nothing fetched. */
import { quantityById } from '../model/catalogue.ts';
import type { Trend, TrendPoint, TrendSeries } from '../model/trend.ts';
import type { DrawnElement } from './drawing/element.ts';
import { VERDICT_WORDS } from './drawing/signs.ts';
import { type Make, startPage } from './htmlPage.ts';
import { CAUTIONS } from './playerSheet.ts';
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
import { type TrendView, trendSheetFile } from './trendSheet.ts';

/** HTML text of the page. The same view gives the same bytes. */
export function renderTrendPage({ trend, programVersion }: TrendView): string {
  const { body, make, finish } = startPage(trendTitle(trend));
  const sheet = trendSheetFile(trend);
  const headline = trendHeadline(trend);
  const support = trendSupport(trend);
  const notes = [...leftOutTexts(trend), versionText(trend), ...trend.notes].filter((text) => text !== '');
  body.append(
    make(
      'header',
      { class: 'text' },
      make('h1', {}, `${trend.player} over the season`),
      make('p', { class: 'day' }, daysText(trend)),
      make('p', {}, headline),
      ...support.map((text) => make('p', {}, text)),
    ),
    make(
      'main',
      {},
      make(
        'section',
        { class: 'player sheet' },
        make('h2', {}, trendTitle(trend)),
        make('img', { src: sheet, alt: [headline, ...support].join(' '), width: '1123', height: '794' }),
        make(
          'p',
          { class: 'links' },
          make('a', { href: sheet }, `Sheet of ${trend.player}`),
          ' · ',
          make('a', { href: 'tables/trend.csv' }, 'all numbers'),
        ),
      ),
      ...trend.series.map((series) => seriesSection(make, trend, series)),
    ),
    make(
      'footer',
      { class: 'text' },
      ...(notes.length === 0 ? [] : [make('ul', {}, ...notes.map((text) => make('li', {}, text)))]),
      make('p', { class: 'foot' }, CAUTIONS),
      make('p', { class: 'foot' }, programVersion),
    ),
  );
  return finish();
}

function seriesSection(make: Make, { labels }: Trend, series: TrendSeries): DrawnElement {
  const { label } = quantityById(series.quantity);
  const name = series.position === 'swing' ? label : `${label} at ${series.position}`;
  const heads = ['Date', labels.group, labels.reference, 'Gap (95 % interval)', 'Gap since the first day', 'Closed'];
  const margin = marginText(series);
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
        make('tbody', {}, ...series.points.map((point) => pointRow(make, series, point))),
      ),
    ),
  );
}

function pointRow(make: Make, series: TrendSeries, point: TrendPoint): DrawnElement {
  const { change, group, reference, gap, verdict } = point;
  const since =
    change === null ? '' : `${estimateText(change.gap, series, true)}, ${VERDICT_WORDS[change.gap.verdict]}`;
  const closed = change === null || change.closed.value === null ? '' : percent(change.closed.value);
  const cells = [
    `${estimateText(group, series)}, n ${group.n}`,
    `${estimateText(reference, series)}, n ${reference.n}`,
    `${estimateText(gap, series, true)}, ${VERDICT_WORDS[verdict]}`,
    since,
    closed,
  ];
  return make('tr', {}, make('td', { class: 'name' }, point.date), ...cells.map((text) => make('td', {}, text)));
}
