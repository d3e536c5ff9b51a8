import { fill } from '../../words/fill.ts';
import type { PageData, PageQuantity, PageRow } from '../pageData.ts';
import { rowFinder } from './choices.ts';
import { all, make } from './dom.ts';
import { hasChoice, numberText, type UnitChoice } from './units.ts';

/** The tables that stand on the page already: other units, other rows, sorted by a position, the position of the slider marked. */

export interface StillTables {
  readonly mark: (position: number) => void;
  readonly units: (units: UnitChoice) => void;
  readonly filter: (isShown: (quantity: PageQuantity) => boolean) => void;
}

function placeOf(row: HTMLElement): number {
  return Number(row.dataset['quantity']);
}

export function stillTables(data: PageData): StillTables {
  const rows = all<HTMLTableRowElement>('.positions tbody tr');
  const once = all<HTMLTableRowElement>('.once tbody tr');
  const rowOf = rowFinder(data);
  const heads = all<HTMLElement>('.positions thead th');
  sortable(heads, rows, (place, position) => {
    const row = rowOf(place, position);
    return row === null || row[4] === null ? -1 : Math.abs(row[4]) / (row[8] ?? 1);
  });
  return {
    mark(position) {
      heads.forEach((head, i) => {
        if (i - 1 === position) head.setAttribute('aria-current', 'true');
        else head.removeAttribute('aria-current');
      });
      for (const { cells } of rows) {
        for (let i = 1; i < cells.length; i++) cells[i]!.classList.toggle('at', i - 1 === position);
      }
    },
    units(units) {
      for (const line of rows) rewrite(line, data, units, (i) => rowOf(placeOf(line), i));
      for (const line of once) rewriteOnce(line, data, units, rowOf(placeOf(line), -1));
    },
    filter(isShown) {
      for (const line of rows) line.hidden = !isShown(data.quantities[placeOf(line)]!);
    },
  };
}

/** Headings become buttons: of a position, the largest difference in margins first; of the names, the order of the tables. */
function sortable(
  heads: readonly HTMLElement[],
  rows: readonly HTMLTableRowElement[],
  size: (quantity: number, position: number) => number,
): void {
  heads.forEach((head, i) => {
    const button = make('button', 'sort', ...head.childNodes) as HTMLButtonElement;
    button.type = 'button';
    head.replaceChildren(button);
    button.addEventListener('click', () => {
      for (const other of heads) other.removeAttribute('aria-sort');
      head.setAttribute('aria-sort', i === 0 ? 'ascending' : 'descending');
      const sorted = [...rows].sort((a, b) =>
        i === 0 ? placeOf(a) - placeOf(b) : size(placeOf(b), i - 1) - size(placeOf(a), i - 1),
      );
      rows[0]?.parentElement?.append(...sorted);
    });
  });
}

function rewriteUnit(line: HTMLTableRowElement, unit: string): void {
  const shown = line.querySelector('.unit');
  if (shown !== null) shown.textContent = unit === '' ? '' : `,\u00a0${unit}`;
}

function rewrite(
  line: HTMLTableRowElement,
  data: PageData,
  units: UnitChoice,
  rowAt: (position: number) => PageRow | null,
): void {
  const quantity = data.quantities[placeOf(line)]!;
  if (!hasChoice(quantity.unit)) return;
  const text = numberText(quantity, units, data);
  rewriteUnit(line, text.unit);
  for (let i = 1; i < line.cells.length; i++) {
    const row = rowAt(i - 1);
    const [solid, dashed, difference] = line.cells[i]!.querySelectorAll('b, i, span');
    if (row === null || solid === undefined || dashed === undefined || difference === undefined) continue;
    solid.textContent = text.plain(row[2]);
    dashed.textContent = text.plain(row[3]);
    // the sign of the verdict stands behind it
    if (difference.firstChild instanceof Text) difference.firstChild.data = text.signed(row[4]);
  }
}

function rewriteOnce(line: HTMLTableRowElement, data: PageData, units: UnitChoice, row: PageRow | null): void {
  const quantity = data.quantities[placeOf(line)]!;
  if (row === null || !hasChoice(quantity.unit)) return;
  const text = numberText(quantity, units, data);
  rewriteUnit(line, text.unit);
  const interval =
    row[5] === null || row[6] === null
      ? ''
      : fill(data.words.to, { low: text.signed(row[5]), high: text.signed(row[6]) });
  [text.plain(row[2]), text.plain(row[3]), text.signed(row[4]), interval].forEach((shown, i) => {
    line.cells[i + 1]!.textContent = shown;
  });
}
