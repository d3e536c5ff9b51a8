import { fill } from '../../words/fill.ts';
import type { PageData, PageQuantity, PageRow } from '../pageData.ts';
import { type Choice, rowFinder } from './choices.ts';
import { all, make, one, sign } from './dom.ts';
import { numberText, type UnitChoice } from './units.ts';

/** The table that follows the slider. */

const COLUMNS = ['name', 'solid', 'dashed', 'difference', 'interval', 'verdict'] as const;
type Column = (typeof COLUMNS)[number];

export interface InstantRequest {
  readonly position: number;
  readonly solid: Choice;
  readonly dashed: Choice;
  readonly units: UnitChoice;
  readonly isShown: (quantity: PageQuantity) => boolean;
}

interface Line {
  readonly place: number;
  readonly values: readonly [number, number];
  readonly row: PageRow | null;
  /** |difference| in margins; of what has no margin by itself. */
  readonly size: number;
}

/** The table; `show` fills it. */
export function instantTable(data: PageData): { readonly show: (request: InstantRequest) => void } {
  const table = one<HTMLTableElement>('.instant');
  const body = one<HTMLTableSectionElement>('tbody', table);
  const heads = all<HTMLElement>('th[data-column]', table);
  const rowOf = rowFinder(data);
  let column: Column = 'name';
  let last: InstantRequest | null = null;
  const show = (request: InstantRequest): void => {
    last = request;
    const lines = linesOf(data, request, rowOf).sort((a, b) => compareBy(column, a, b));
    body.replaceChildren(...lines.map((line) => rowElement(line, request, data)));
    heads[1]!.querySelector('button')!.textContent = request.solid.short;
    heads[2]!.querySelector('button')!.textContent = request.dashed.short;
  };
  for (const head of heads) {
    head.querySelector('button')?.addEventListener('click', () => {
      column = head.dataset['column'] as Column;
      for (const other of heads) other.removeAttribute('aria-sort');
      head.setAttribute('aria-sort', column === 'name' ? 'ascending' : 'descending');
      if (last !== null) show(last);
    });
  }
  return { show };
}

function linesOf(data: PageData, request: InstantRequest, rowOf: ReturnType<typeof rowFinder>): Line[] {
  const { position, solid, dashed, isShown } = request;
  return data.quantities.flatMap((quantity, place): Line[] => {
    if (!isShown(quantity)) return [];
    const values = [solid.value(place, position), dashed.value(place, position)] as const;
    if (values.every(Number.isNaN)) return [];
    const row = rowOf(place, position);
    const size = Math.abs(values[0] - values[1]) / (row?.[8] ?? 1);
    return [{ place, values, row: solid.mean === 0 && dashed.mean === 1 ? row : null, size }];
  });
}

/** Largest first; names keep the order of the tables. */
function compareBy(column: Column, a: Line, b: Line): number {
  const largest = (x: number, y: number): number => (Number.isNaN(x) ? 1 : Number.isNaN(y) ? -1 : y - x);
  if (column === 'solid') return largest(a.values[0], b.values[0]);
  if (column === 'dashed') return largest(a.values[1], b.values[1]);
  if (column === 'difference') return largest(a.size, b.size);
  if (column === 'verdict') return (a.row?.[7] ?? 9) - (b.row?.[7] ?? 9) || largest(a.size, b.size);
  return a.place - b.place;
}

function rowElement({ place, values, row }: Line, { units }: InstantRequest, data: PageData): HTMLElement {
  const quantity = data.quantities[place]!;
  const { words } = data;
  const text = numberText(quantity, units, data);
  const name = make('th', '', `${quantity.label.slice(0, 1).toUpperCase()}${quantity.label.slice(1)}`);
  name.setAttribute('scope', 'row');
  if (text.unit !== '') name.append(make('span', 'unit', `,\u00a0${text.unit}`));
  const difference = row === null ? values[0] - values[1] : (row[4] ?? Number.NaN);
  const interval =
    row === null || row[5] === null || row[6] === null
      ? words.noValue
      : fill(words.to, { low: text.signed(row[5]), high: text.signed(row[6]) });
  const verdict = make('td', 'words');
  if (row === null) verdict.append(words.noVerdict);
  else verdict.append(sign(row[7]), data.verdicts[row[7]] ?? '');
  const line = make(
    'tr',
    row?.[7] === 0 ? 'loud' : '',
    name,
    make('td', 'solid', text.plain(values[0]) || words.noValue),
    make('td', 'dashed', text.plain(values[1]) || words.noValue),
    make('td', '', text.signed(difference) || words.noValue),
    make('td', '', interval),
    verdict,
  );
  line.dataset['quantity'] = String(place);
  return line;
}
