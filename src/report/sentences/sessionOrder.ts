import type { SessionRow } from '../../model/sessions.ts';
import { catalogueOrder } from './ranking.ts';
import { positionOrder } from './words.ts';

/** By quantity as in the catalogue, then by position, values before changes. */
export function byPlace(a: SessionRow, b: SessionRow): number {
  return (
    catalogueOrder(a) - catalogueOrder(b) ||
    positionOrder(a.position) - positionOrder(b.position) ||
    Number(a.basis === 'change') - Number(b.basis === 'change')
  );
}
