import { BODY_CENTRE_QUANTITIES } from './quantities/bodyCentre.ts';
import { CLUB_AND_TEMPO_QUANTITIES } from './quantities/clubAndTempo.ts';
import { CLUB_AT_IMPACT_QUANTITIES } from './quantities/clubAtImpact.ts';
import { FORCE_QUANTITIES } from './quantities/forces.ts';
import { LIMB_QUANTITIES } from './quantities/limbs.ts';
import { LINE_QUANTITIES } from './quantities/lines.ts';
import { ORDER_QUANTITIES } from './quantities/orderOfMotion.ts';
import { ORIENTATION_QUANTITIES } from './quantities/orientation.ts';
import { PLACE_QUANTITIES } from './quantities/places.ts';
import type { Quantity } from './quantity.ts';

/** Every quantity the program reports, in the order of tables and reports. */
export const CATALOGUE: readonly Quantity[] = [
  ...ORIENTATION_QUANTITIES,
  ...LIMB_QUANTITIES,
  ...PLACE_QUANTITIES,
  ...LINE_QUANTITIES,
  ...BODY_CENTRE_QUANTITIES,
  ...FORCE_QUANTITIES,
  ...CLUB_AND_TEMPO_QUANTITIES,
  ...CLUB_AT_IMPACT_QUANTITIES,
  ...ORDER_QUANTITIES,
];

const BY_ID: ReadonlyMap<string, Quantity> = new Map(CATALOGUE.map((quantity) => [quantity.id, quantity]));

/** The row of a quantity id. Throws RangeError for an unknown one. */
export function quantityById(id: string): Quantity {
  const quantity = BY_ID.get(id);
  if (quantity === undefined) throw new RangeError(`no quantity is called ${id}`);
  return quantity;
}
