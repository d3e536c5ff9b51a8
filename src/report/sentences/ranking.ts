import { CATALOGUE } from '../../model/catalogue.ts';
import type { ComparisonRow } from '../../model/comparison.ts';
import { positionOrder, type SaidRow } from './words.ts';

/** What is told first: orders of rows, and what counts as primary. */

const CATALOGUE_ORDER: ReadonlyMap<string, number> = new Map(CATALOGUE.map((quantity, index) => [quantity.id, index]));

export function byPosition(a: ComparisonRow, b: ComparisonRow): number {
  return positionOrder(a.position) - positionOrder(b.position) || catalogueOrder(a) - catalogueOrder(b);
}

export function catalogueOrder(row: { readonly quantity: string }): number {
  return CATALOGUE_ORDER.get(row.quantity) ?? CATALOGUE.length;
}

/** Quantities of the primary family, at whatever position. */
export function primaryOf(rows: readonly ComparisonRow[]): ReadonlySet<string> {
  return new Set(
    rows.filter((row) => row.family === 'primary' || row.family === 'change-primary').map((row) => row.quantity),
  );
}

/** |difference| in margins: how far beyond what counts as equal. */
export function inMargins(row: SaidRow): number {
  return Math.abs(row.difference) / (row.margin !== null && row.margin > 0 ? row.margin : 1);
}

export function capital(text: string): string {
  return text.slice(0, 1).toUpperCase() + text.slice(1);
}
