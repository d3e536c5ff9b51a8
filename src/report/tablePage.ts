/**
 * The page of comparisons of a table measured elsewhere: what each found, then the columns that depart, differ or match with their
 * intervals. Undecided columns are counted, never listed. One HTML file without script, nothing fetched.
 */
import type { ComparisonRow } from '../model/comparison.ts';
import type { TableComparison } from '../model/swingTable.ts';
import type { DrawnElement } from './drawing/element.ts';
import { type Make, startPage } from './htmlPage.ts';
import { CAUTIONS } from './playerSheet.ts';
import { counted, plain, signed } from './sentences/numbers.ts';
import {
  decimalsFor,
  decimalsOf,
  differingRows,
  hasMargin,
  meanText,
  tableFinding,
  tableName,
} from './sentences/tableWords.ts';

export interface TableView {
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
  const [first] = view.comparisons;
  const title = first === undefined ? 'no swings to compare' : `${first.group.label} against ${first.reference.label}`;
  const { body, make, finish } = startPage(`${view.file}: ${title}`);
  const players = new Set(view.comparisons.map(({ player }) => player)).size;
  const apart = view.by.length === 0 ? '' : ` · kept apart by ${view.by.join(', ')}`;
  body.append(
    make(
      'header',
      { class: 'text' },
      make('h1', {}, `What differs: ${title}`),
      make('p', { class: 'day' }, `${view.file} · ${counted(players, 'player')}${apart}`),
      make(
        'dl',
        {},
        ...view.comparisons.flatMap((comparison, index) => [
          make('dt', {}, make('a', { href: `#c${index + 1}` }, tableName(comparison))),
          make('dd', {}, tableFinding(comparison)),
        ]),
      ),
    ),
    make('main', {}, ...view.comparisons.map((comparison, index) => section(make, comparison, index))),
    make(
      'footer',
      { class: 'text' },
      make('h2', {}, 'Method'),
      ...METHOD.map((text) => make('p', {}, text)),
      make('h2', {}, 'The table'),
      make('ul', {}, ...view.notes.map((text) => make('li', {}, text))),
      make('p', { class: 'foot' }, CAUTIONS),
      make('p', { class: 'foot' }, view.programVersion),
    ),
  );
  return finish();
}

const METHOD: readonly string[] = [
  'The unit is the swing; the reference is the same player’s own swings, never a norm. It is a benchmark, not a target. What the numbers mean and how well they were measured is not known to this program.',
  'A column departs when its difference is beyond the margin by a minimum-effect test (adjusted p below 0.05), matches when two one-sided tests put it inside the margin, differs slightly when only the difference from zero is certain. Where no margin is set a column can only differ: how much a difference matters must be said beforehand. Standard errors and degrees of freedom are Welch’s; columns named as primary are adjusted by Holm, all others by Benjamini–Hochberg at 5 %. Fewer than five values on a side: numbers, no verdict.',
];

function section(make: Make, comparison: TableComparison, index: number): DrawnElement {
  const { group, reference, rows, missing, values, familySizes } = comparison;
  const shown = [...differingRows(comparison), ...rows.filter(({ verdict }) => verdict === 'matches')];
  const facts = [
    `${group.label} ${counted(group.swings, 'swing')}, ${reference.label} ${counted(reference.swings, 'swing')}`,
    `${missing} of ${values} values missing`,
    ...(rows.length === 0 ? [] : [`tests: primary ${familySizes.primary}, screening ${familySizes.screening}`]),
  ];
  return make(
    'section',
    { class: 'text', id: `c${index + 1}` },
    make('h2', {}, tableName(comparison)),
    make('p', {}, tableFinding(comparison)),
    make('p', { class: 'day' }, `${facts.join(' · ')}.`),
    ...(shown.length === 0 ? [] : [make('div', { class: 'rows' }, rowsTable(make, comparison, shown))]),
  );
}

function rowsTable(make: Make, { group, reference }: TableComparison, rows: readonly ComparisonRow[]): DrawnElement {
  const heads = ['Column', group.label, reference.label, 'Difference', '95 % interval', '', 'Margin', 'Verdict'];
  return make(
    'table',
    {},
    make('thead', {}, make('tr', {}, ...heads.map((text) => make('th', { scope: 'col' }, text)))),
    make('tbody', {}, ...rows.map((row) => rowOf(make, row))),
  );
}

function rowOf(make: Make, row: ComparisonRow): DrawnElement {
  const decimals = decimalsOf(row);
  const verdict = hasMargin(row) ? row.verdict.replace('-', ' ') : 'differs';
  return make(
    'tr',
    {},
    make('td', { class: 'name' }, row.quantity),
    make('td', {}, meanText(row.meanGroup, row.sdGroup, row.nGroup, decimals)),
    make('td', {}, meanText(row.meanReference, row.sdReference, row.nReference, decimals)),
    make('td', {}, signed(row.difference ?? 0, decimals)),
    make('td', {}, `${signed(row.low95 ?? 0, decimals)} to ${signed(row.high95 ?? 0, decimals)}`),
    make('td', {}, intervalPicture(make, row)),
    make('td', {}, row.margin === null ? 'none' : plain(row.margin, Math.max(decimals, decimalsFor(row.margin)))),
    make('td', {}, verdict),
  );
}

/** Zero as a line, the margin as a band, the difference as a point on its interval; each row on a scale of its own. */
function intervalPicture(make: Make, { low95, high95, difference, margin }: ComparisonRow): DrawnElement {
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
      'aria-label': 'difference with its interval; grey: within the margin',
    },
    ...band,
    make('line', { x1: x(0), x2: x(0), y1: '0', y2: '16', stroke: '#1a1a1a', 'stroke-width': '0.8' }),
    make('line', { x1: x(low), x2: x(high), y1: '8', y2: '8', stroke: '#005a8e', 'stroke-width': '2' }),
    make('circle', { cx: x(difference ?? 0), cy: '8', r: '3.2', fill: '#005a8e' }),
  );
}

function plainNumber(value: number): string {
  return plain(value, 2).replace('−', '-');
}
