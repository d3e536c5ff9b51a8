import type { ComparisonRow, PlayerComparison } from '../../model/comparison.ts';
import { plain, signed, unitText } from '../sentences/numbers.ts';
import { capital } from '../sentences/ranking.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { isValue, type ListedQuantity } from './collectData.ts';
import { join, type Markup, tag } from './markup.ts';
import type { PagePosition } from './pageData.ts';
import { signKey, signOf, VERDICTS } from './verdicts.ts';

/** Tables of the page: quantities by positions, and what a swing has once. The script changes units, sorts and chooses rows. */

function nameCell(words: Words, { quantity, unit: own }: ListedQuantity): Markup {
  const unit = unitText(own).trim();
  const said = words.quantities.of(quantity.id);
  return tag(
    'th',
    { scope: 'row' },
    capital(said.label),
    tag('span', { class: 'unit' }, unit === '' ? '' : `,\u00a0${unit}`),
    tag('small', {}, `+ ${said.plus}`),
  );
}

/** The table that follows the slider: filled by the script. */
export function instantTable(comparison: PlayerComparison, { page }: Words): Markup {
  const heads = [
    ['name', page.quantity],
    ['solid', comparison.group.label],
    ['dashed', comparison.reference.label],
    ['difference', page.difference],
    ['interval', page.interval],
    ['verdict', page.verdict],
  ] as const;
  return tag(
    'div',
    { class: 'live wide', hidden: true, tabindex: 0, role: 'region', 'aria-label': page.atPosition },
    tag(
      'table',
      { class: 'instant' },
      tag('caption', {}, page.atPosition),
      tag(
        'thead',
        {},
        tag('tr', {}, join(heads.map(([column, text]) => sortHead(column, text, column === 'interval')))),
      ),
      tag('tbody', {}),
    ),
  );
}

function sortHead(column: string, text: string, plainHead = false): Markup {
  return tag(
    'th',
    { scope: 'col', 'data-column': column },
    plainHead ? text : tag('button', { type: 'button', class: 'sort' }, text),
  );
}

/** Every listed quantity at every position. */
export function positionsTable(
  comparison: PlayerComparison,
  listed: readonly ListedQuantity[],
  positions: readonly PagePosition[],
  words: Words,
): Markup {
  const { page } = words;
  const cells = new Map(comparison.rows.filter(isValue).map((row) => [`${row.quantity}@${row.position}`, row]));
  const rows = listed.flatMap((entry, place) => {
    if (!positions.some(({ id }) => cells.has(`${entry.quantity.id}@${id}`))) return [];
    return [
      tag(
        'tr',
        { 'data-quantity': place },
        nameCell(words, entry),
        join(positions.map(({ id }) => valueCell(words, cells.get(`${entry.quantity.id}@${id}`), entry.decimals))),
      ),
    ];
  });
  return tag(
    'div',
    { class: 'wide coach', tabindex: 0, role: 'region', 'aria-label': page.allPositions },
    tag(
      'table',
      { class: 'positions' },
      tag('caption', {}, page.allPositions),
      tag(
        'thead',
        {},
        tag(
          'tr',
          {},
          tag('th', { scope: 'col', 'data-column': 'name' }, page.quantity),
          join(
            positions.map(({ id, name }) => tag('th', { scope: 'col', 'data-column': id }, id, tag('small', {}, name))),
          ),
        ),
      ),
      tag('tbody', {}, join(rows)),
    ),
  );
}

/** Means of both, below them the difference and its sign. */
function valueCell(words: Words, row: ComparisonRow | undefined, decimals: number): Markup {
  if (row === undefined) return tag('td', {});
  const shown = (value: number | null): string => (value === null ? '' : plain(words, value, decimals));
  return tag(
    'td',
    {},
    tag('b', {}, shown(row.meanGroup)),
    ' ',
    tag('i', {}, shown(row.meanReference)),
    ' ',
    tag('span', {}, row.difference === null ? '' : signed(words, row.difference, decimals), signOf(words, row.verdict)),
  );
}

/** What a swing has once. */
export function onceTable(comparison: PlayerComparison, listed: readonly ListedQuantity[], words: Words): Markup {
  const { page } = words;
  const rows = listed.flatMap((entry, place) => {
    const row = comparison.rows.find(
      (one) => isValue(one) && one.quantity === entry.quantity.id && one.position === 'swing',
    );
    return row === undefined ? [] : [onceRow(words, entry, place, row, page.script.to)];
  });
  if (rows.length === 0) return join([]);
  const heads = [
    page.quantity,
    comparison.group.label,
    comparison.reference.label,
    page.difference,
    page.interval,
    page.verdict,
  ];
  return tag(
    'div',
    { class: 'wide coach', tabindex: 0, role: 'region', 'aria-label': page.once },
    tag(
      'table',
      { class: 'once' },
      tag('caption', {}, page.once),
      tag('thead', {}, tag('tr', {}, join(heads.map((text) => tag('th', { scope: 'col' }, text))))),
      tag('tbody', {}, join(rows)),
    ),
  );
}

function onceRow(words: Words, entry: ListedQuantity, place: number, row: ComparisonRow, between: string): Markup {
  const { decimals } = entry;
  const shown = (value: number | null, text: (v: number, d: number) => string): string =>
    value === null ? '' : text(value, decimals);
  const interval =
    row.low95 === null || row.high95 === null
      ? ''
      : fill(between, { low: signed(words, row.low95, decimals), high: signed(words, row.high95, decimals) });
  const said = words.verdicts[row.verdict];
  const reason = row.verdict === 'none' && row.reason !== '' ? row.reason : said;
  return tag(
    'tr',
    { 'data-quantity': place },
    nameCell(words, entry),
    tag(
      'td',
      { class: 'solid' },
      shown(row.meanGroup, (value, decimals) => plain(words, value, decimals)),
    ),
    tag(
      'td',
      { class: 'dashed' },
      shown(row.meanReference, (value, decimals) => plain(words, value, decimals)),
    ),
    tag(
      'td',
      {},
      shown(row.difference, (value, decimals) => signed(words, value, decimals)),
    ),
    tag('td', {}, interval),
    tag('td', { class: 'words' }, row.verdict === 'none' ? null : plainSign(row), reason),
  );
}

/** A sign beside its words, which are read out already. */
function plainSign(row: ComparisonRow): Markup {
  const place = VERDICTS.indexOf(row.verdict);
  return tag('svg', { class: 'sign', 'aria-hidden': 'true' }, { html: `<use href="#sign-${place}"/>` });
}

/** The key under the tables. */
export function tableKey(comparison: PlayerComparison, words: Words): Markup {
  const { page } = words;
  return tag(
    'div',
    { class: 'key' },
    signKey(words),
    tag(
      'p',
      { class: 'coach' },
      fill(page.allPositionsHint, { group: comparison.group.label, reference: comparison.reference.label }),
    ),
  );
}
