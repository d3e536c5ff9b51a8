import { CATALOGUE, quantityById } from '../../model/catalogue.ts';
import type { ComparisonRow } from '../../model/comparison.ts';
import { LIMB_SEGMENTS, type SegmentId } from '../../model/motion.ts';
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

const isLimb = (segment: SegmentId): boolean => (LIMB_SEGMENTS as readonly SegmentId[]).includes(segment);

/**
 * True for what a finding may be about without being primary: pelvis, chest, head, lines, displacements and the set-up. Arms, legs and
 * forces go with the length of the club and with the trunk that carries them: they are counted on the sheet and told in the details.
 */
export function isOfTrunk(quantity: string): boolean {
  const { reading } = quantityById(quantity);
  switch (reading.kind) {
    case 'joint':
      return !isLimb(reading.proximal) && !isLimb(reading.distal);
    case 'bend':
    case 'direction-in':
    case 'point-speed':
    case 'force':
      return false;
    default:
      return true;
  }
}

/** True for a share that says once more what a row in millimetres says: the ball in the stance, the rise of a shoulder. */
export function isShareOfAnother(quantity: string): boolean {
  const { reading } = quantityById(quantity);
  return (
    (reading.kind === 'ball-place' && reading.as === 'share') ||
    (reading.kind === 'displacement' && reading.over === 'height')
  );
}

/** |difference| in margins: how far beyond what counts as equal. */
export function inMargins(row: SaidRow): number {
  return Math.abs(row.difference) / (row.margin !== null && row.margin > 0 ? row.margin : 1);
}

export function capital(text: string): string {
  return text.slice(0, 1).toUpperCase() + text.slice(1);
}
