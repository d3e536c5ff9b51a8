/**
 * The page of comparisons of a table measured elsewhere: what each found, then the columns that depart, differ or match with their
 * intervals. Undecided columns are counted, never listed. One HTML file without script, nothing fetched.
 */

import { formatFixed } from '../base/format.ts';
import type { ComparisonRow } from '../model/comparison.ts';
import { DEFAULT_REPORT, type ReportSettings } from '../model/reportSettings.ts';
import type { TableComparison } from '../model/swingTable.ts';
import type { DrawnElement } from './drawing/element.ts';
import { make, startPage } from './htmlPage.ts';
import { counted, plain, signed } from './sentences/numbers.ts';
import {
  decimalsFor,
  decimalsOf,
  differingRows,
  hasMargin,
  meanText,
  sizesText,
  tableFinding,
  tableName,
} from './sentences/tableWords.ts';
import { fill } from './words/fill.ts';
import { wordsOf } from './words/languages.ts';
import type { Words } from './words/words.ts';

export interface TableView {
  /** Language; absent: English. */
  readonly settings?: ReportSettings;
  /** Name of the file. */
  readonly file: string;
  /** Columns that keep swings apart. */
  readonly by: readonly string[];
  readonly comparisons: readonly TableComparison[];
  /** What was recognised, counted and left out. */
  readonly notes: readonly string[];
  readonly programVersion: string;
}

/** HTML text of the page. The same view gives the same bytes. */
export function renderTablePage(view: TableView): string {
  const words = wordsOf((view.settings ?? DEFAULT_REPORT).language);
  const { table } = words;
  const [first] = view.comparisons;
  const title =
    first === undefined
      ? table.noSwings
      : fill(words.against, { group: first.group.label, reference: first.reference.label });
  const { body, finish } = startPage(words, fill(table.pageTitle, { file: view.file, title }));
  const players = new Set(view.comparisons.map(({ player }) => player)).size;
  const apart = view.by.length === 0 ? '' : fill(table.keptApart, { columns: view.by.join(', ') });
  body.append(
    make(
      'header',
      { class: 'text' },
      make('h1', {}, fill(table.heading, { title })),
      make('p', { class: 'day' }, `${view.file} · ${counted(words, players, 'player')}${apart}`),
      make(
        'dl',
        {},
        ...view.comparisons.flatMap((comparison, index) => [
          make('dt', {}, make('a', { href: `#c${index + 1}` }, tableName(words, comparison))),
          make('dd', {}, tableFinding(words, comparison)),
        ]),
      ),
    ),
    make('main', {}, ...view.comparisons.map((comparison, index) => section(words, comparison, index))),
    make(
      'footer',
      { class: 'text' },
      make('h2', {}, table.methodHeading),
      ...table.method.map((text) => make('p', {}, text)),
      make('h2', {}, table.tableHeading),
      make('ul', {}, ...view.notes.map((text) => make('li', {}, text))),
      make('p', { class: 'foot' }, words.cautions),
      make('p', { class: 'foot' }, view.programVersion),
    ),
  );
  return finish();
}

function section(words: Words, comparison: TableComparison, index: number): DrawnElement {
  const { rows, missing, values, familySizes } = comparison;
  const { table } = words;
  const shown = [...differingRows(comparison), ...rows.filter(({ verdict }) => verdict === 'matches')];
  const facts = [
    sizesText(words, comparison),
    fill(table.missing, { n: missing, of: values }),
    ...(rows.length === 0
      ? []
      : [fill(table.tests, { primary: familySizes.primary, screening: familySizes.screening })]),
  ];
  return make(
    'section',
    { class: 'text', id: `c${index + 1}` },
    make('h2', {}, tableName(words, comparison)),
    make('p', {}, tableFinding(words, comparison)),
    make('p', { class: 'day' }, `${facts.join(' · ')}.`),
    ...(shown.length === 0 ? [] : [make('div', { class: 'rows' }, rowsTable(words, comparison, shown))]),
  );
}

function rowsTable(
  words: Words,

  { group, reference }: TableComparison,
  rows: readonly ComparisonRow[],
): DrawnElement {
  const { column, difference, interval, margin, verdict } = words.table.heads;
  const heads = [column, group.label, reference.label, difference, interval, '', margin, verdict];
  return make(
    'table',
    {},
    make('thead', {}, make('tr', {}, ...heads.map((text) => make('th', { scope: 'col' }, text)))),
    make('tbody', {}, ...rows.map((row) => rowOf(words, row))),
  );
}

function rowOf(words: Words, row: ComparisonRow): DrawnElement {
  const decimals = decimalsOf(row);
  const verdict = hasMargin(row) ? words.verdicts[row.verdict] : words.table.differsWord;
  return make(
    'tr',
    {},
    make('td', { class: 'name' }, row.quantity),
    make('td', {}, meanText(words, row.meanGroup, row.sdGroup, row.nGroup, decimals)),
    make('td', {}, meanText(words, row.meanReference, row.sdReference, row.nReference, decimals)),
    make('td', {}, signed(words, row.difference ?? 0, decimals)),
    make(
      'td',
      {},
      fill(words.range, {
        low: signed(words, row.low95 ?? 0, decimals),
        high: signed(words, row.high95 ?? 0, decimals),
      }),
    ),
    make('td', {}, intervalPicture(words, row)),
    make(
      'td',
      {},
      row.margin === null
        ? words.table.noMargin
        : plain(words, row.margin, Math.max(decimals, decimalsFor(row.margin))),
    ),
    make('td', {}, verdict),
  );
}

/** Zero as a line, the margin as a band, the difference as a point on its interval; each row on a scale of its own. */
function intervalPicture(words: Words, { low95, high95, difference, margin }: ComparisonRow): DrawnElement {
  const low = low95 ?? 0;
  const high = high95 ?? 0;
  const half = 1.08 * Math.max(Math.abs(low), Math.abs(high), margin ?? 0);
  const x = (value: number): string => plainNumber(half === 0 ? 75 : 75 + (70 * value) / half);
  const band =
    margin === null || half === 0
      ? []
      : [
          make('rect', {
            x: x(-margin),
            y: '1',
            width: plainNumber((140 * margin) / half),
            height: '14',
            fill: '#e4e4e4',
          }),
        ];
  return make(
    'svg',
    {
      width: '150',
      height: '16',
      viewBox: '0 0 150 16',
      role: 'img',
      'aria-label': words.table.picture,
    },
    ...band,
    make('line', { x1: x(0), x2: x(0), y1: '0', y2: '16', stroke: '#1a1a1a', 'stroke-width': '0.8' }),
    make('line', { x1: x(low), x2: x(high), y1: '8', y2: '8', stroke: '#005a8e', 'stroke-width': '2' }),
    make('circle', { cx: x(difference ?? 0), cy: '8', r: '3.2', fill: '#005a8e' }),
  );
}

/** A coordinate. */
function plainNumber(value: number): string {
  return formatFixed(value, 2);
}
