/** The sheet of a player's season: for each primary comparison driver and irons by date, and the gap between them under it. */

import { DEFAULT_REPORT, type ReportSettings } from '../model/reportSettings.ts';
import type { Trend } from '../model/trend.ts';
import { add, finishSheet, rule, type Sheet, startSheet, write } from './drawing/draw.ts';
import { balanceText, wrapText } from './drawing/textMetrics.ts';
import { COLOUR, IRONS_DASH, LEADING, PAGE, SIZE } from './drawing/theme.ts';
import { drawTrendPanel } from './parts/trendPanel.ts';
import {
  daysText,
  leftOutTexts,
  trendHeadline,
  trendSupport,
  trendTitle,
  versionText,
} from './sentences/trendWords.ts';
import { spokenTrend } from './spoken.ts';
import { fill } from './words/fill.ts';
import { wordsOf } from './words/languages.ts';
import type { Words } from './words/words.ts';

export interface TrendView {
  /** Language; absent: English. */
  readonly settings?: ReportSettings;
  readonly trend: Trend;
  readonly programVersion: string;
}

const WIDTH = PAGE.right - PAGE.left;
const COLUMNS = 4;
const GUTTER = 16;
const PANEL = { width: (WIDTH - GUTTER * (COLUMNS - 1)) / COLUMNS, least: 108, most: 150 };

/** File of the sheet below the output folder. */
export function trendSheetFile({ player }: Trend): string {
  return `players/${player}-trend.svg`;
}

/** A4 landscape pages as SVG text, one below the other. The same view gives the same bytes. */
export function renderTrendSheet(given: TrendView): string {
  const words = wordsOf((given.settings ?? DEFAULT_REPORT).language);
  const trend = spokenTrend(words, given.trend);
  const view = { ...given, trend };
  const headline = trendHeadline(words, trend);
  const support = trendSupport(words, trend);
  const headLines = balanceText(headline, WIDTH, 'large');
  const supportLines = support.flatMap((text) => wrapText(text, WIDTH, 'middle', 'regular', 2));
  const foot = footLines(words, view);
  const top = PAGE.top + 34 + LEADING.large * headLines.length + LEADING.middle * supportLines.length + 4;
  const bottom = PAGE.bottom - LEADING.small * foot.length - 18;
  const { places, pages } = placesOf(trend.series.length, top, bottom);
  const title = trendTitle(words, trend);
  const sheet = startSheet(words, title, [headline, ...support].join(' '), pages);
  write(sheet, sheet.root, title, PAGE.left, PAGE.top + 7, { size: 'middle', weight: 'bold', width: WIDTH });
  headLines.forEach((text, i) => {
    write(sheet, sheet.root, text, PAGE.left, PAGE.top + 34 + LEADING.large * i, { size: 'large' });
  });
  supportLines.forEach((text, i) => {
    const y = PAGE.top + 34 + LEADING.large * headLines.length + LEADING.middle * i;
    write(sheet, sheet.root, text, PAGE.left, y, { size: 'middle', fill: COLOUR.grey });
  });
  trend.series.forEach((series, i) => {
    drawTrendPanel(sheet, trend, series, places[i]!);
  });
  drawFoot(sheet, view, foot);
  return finishSheet(sheet);
}

/** Where the panels stand: four in a row, as high as there is room for; what is more goes to further pages. */
function placesOf(count: number, top: number, bottom: number) {
  const rowsOn = (height: number): number => Math.max(1, Math.floor(height / PANEL.least));
  const rows = Math.ceil(count / COLUMNS);
  const onFirst = Math.min(rows, rowsOn(bottom - top));
  const onOthers = rowsOn(PAGE.bottom - PAGE.top);
  const pages = 1 + Math.ceil((rows - onFirst) / onOthers);
  const places = Array.from({ length: count }, (_, i) => {
    const row = Math.floor(i / COLUMNS);
    const isFirst = row < onFirst;
    const page = isFirst ? 0 : 1 + Math.floor((row - onFirst) / onOthers);
    const height = Math.min(PANEL.most, isFirst ? (bottom - top) / onFirst : (PAGE.bottom - PAGE.top) / onOthers);
    const inPage = isFirst ? row : (row - onFirst) % onOthers;
    const from = isFirst ? top : page * PAGE.height + PAGE.top;
    const x = PAGE.left + (PANEL.width + GUTTER) * (i % COLUMNS);
    return { x, y: from + height * inPage, width: PANEL.width, height: height - 8 };
  });
  return { places, pages };
}

function footLines(words: Words, { trend, programVersion }: TrendView): readonly string[] {
  const texts = [
    words.trend.foot,
    [daysText(words, trend), ...leftOutTexts(words, trend), versionText(words, trend), ...trend.notes, programVersion]
      .filter((text) => text !== '')
      .join(' · '),
    words.cautions,
  ];
  return texts.flatMap((text) => wrapText(text, WIDTH, 'small', 'regular', 5));
}

function drawFoot(sheet: Sheet, { trend }: TrendView, lines: readonly string[]): void {
  const top = PAGE.bottom - LEADING.small * lines.length;
  lines.forEach((text, i) => {
    const y = top + SIZE.small + LEADING.small * i;
    write(sheet, sheet.root, text, PAGE.left, y, { size: 'small', fill: COLOUR.grey });
  });
  rule(sheet.root, PAGE.left, top - 3, PAGE.right, top - 3, { stroke: COLOUR.hairline, 'stroke-width': 0.5 });
  drawKey(sheet, trend, top - 8);
}

/** Line and mark of each side, told by form as well as by colour. */
function drawKey(sheet: Sheet, { labels }: Trend, y: number): void {
  let x: number = PAGE.left;
  for (const side of ['group', 'reference', 'gap'] as const) {
    const stroke = side === 'group' ? COLOUR.driver : side === 'reference' ? COLOUR.irons : COLOUR.ink;
    const dash = side === 'reference' ? { 'stroke-dasharray': IRONS_DASH } : {};
    rule(sheet.root, x, y - 2.5, x + 16, y - 2.5, { stroke, 'stroke-width': 1, ...dash });
    if (side === 'reference') add(sheet.root, 'rect', { x: x + 6, y: y - 4.5, width: 4, height: 4, fill: stroke });
    else add(sheet.root, 'circle', { cx: x + 8, cy: y - 2.5, r: 2, fill: stroke });
    const text = side === 'gap' ? fill(sheet.words.trend.gap, labels) : labels[side];
    const width = WIDTH / 3 - 34;
    const box = write(sheet, sheet.root, text, x + 20, y, { size: 'small', fill: COLOUR.grey, width });
    x = box.x + box.width + 14;
  }
}
