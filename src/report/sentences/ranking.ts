import { CATALOGUE, quantityById } from '../../model/catalogue.ts';
import type { ComparisonRow } from '../../model/comparison.ts';
import { isLimb } from '../../model/motion.ts';
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

/**
 * What a quantity is about. A finding may be about the trunk (pelvis, chest, head, lines, displacements, set-up) without being primary; arms,
 * legs, forces and the speed of the whole body go with the length of the club and with the trunk that carries them: they are counted on the
 * sheet and told in the details. 'again': a share that says once more what a row in millimetres says.
 */
export function topicOf(quantity: string): 'trunk' | 'limbs' | 'again' {
  const { reading } = quantityById(quantity);
  switch (reading.kind) {
    case 'joint':
      return isLimb(reading.proximal) || isLimb(reading.distal) ? 'limbs' : 'trunk';
    case 'bend':
    case 'direction-in':
    case 'point-speed':
    case 'force':
      return 'limbs';
    case 'ball-place':
      return reading.as === 'share' ? 'again' : 'trunk';
    case 'displacement':
      return reading.over === 'height' ? 'again' : 'trunk';
    default:
      return 'trunk';
  }
}

/** |difference| in margins: how far beyond what counts as equal. */
export function inMargins(row: SaidRow): number {
  return Math.abs(row.difference) / (row.margin !== null && row.margin > 0 ? row.margin : 1);
}

export function capital(text: string): string {
  return text.slice(0, 1).toUpperCase() + text.slice(1);
}
