import { absent } from '../../src/model/availability.ts';
import { LINKS, ORDER_METHODS, type OrderOfMotion } from '../../src/model/orderOfMotion.ts';

/** No peak of any link, for tests of what else is read. */
export const NO_ORDER = Object.fromEntries(
  ORDER_METHODS.map((method) => [
    method,
    Object.fromEntries(LINKS.map((link) => [link, absent('not-asked', 'the order of motion')])),
  ]),
) as unknown as OrderOfMotion;
