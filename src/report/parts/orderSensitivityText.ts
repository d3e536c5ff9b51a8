/** What the order of axes does to the verdicts of a segment or joint, in words. */

import { mainAnglesOf, type OrderSensitivity, type OrderVerdict } from '../../model/orderSensitivity.ts';
import type { AngleOrder } from '../../model/quantity.ts';
import { placedLabel } from '../sentences/words.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';

/** 'Y-X-Z' */
export function orderText(order: AngleOrder): string {
  return [...order].join('-');
}

/** 'lead hip' */
export function rotationText(words: Words, { rotation }: Pick<OrderSensitivity, 'rotation'>): string {
  return words.orders.rotation(rotation);
}

/** One verdict of the main order with what the other orders make of it. */
export interface VerdictOverOrders {
  readonly main: OrderVerdict;
  /** Rows of the counterparts in other orders whose verdict differs, none of their swings near a singular position. */
  readonly changed: readonly OrderVerdict[];
}

/** Every verdict at a position that can be set against other orders, in the order of quantities, then positions. */
export function verdictsOverOrders({ rows, rotation, mainOrder }: OrderSensitivity): readonly VerdictOverOrders[] {
  const values = rows.filter(({ basis }) => basis === 'value');
  return mainAnglesOf(rotation).quantities.flatMap((quantity) => {
    const own = values.filter((row) => quantity !== null && row.inPlaceOf === quantity.id);
    const counterparts = own.filter(({ order, changes }) => order !== mainOrder && changes !== null);
    return own
      .filter(({ order, verdict }) => order === mainOrder && verdict !== 'none')
      .filter(({ position }) => counterparts.some((row) => row.position === position))
      .map((main) => ({
        main,
        changed: counterparts.filter(
          ({ position, changes, nSingular }) => position === main.position && changes === true && nSingular === 0,
        ),
      }));
  });
}

/** Whether one of the two orders finds a departure and the other none. */
export function changesDeparture({ changes, verdict, mainVerdict }: OrderVerdict): boolean {
  return changes === true && (verdict === 'departs') !== (mainVerdict === 'departs');
}

/** How many verdicts at the positions depend on the order, in one sentence without a full stop. */
export function orderSentence(words: Words, check: OrderSensitivity): string {
  const name = rotationText(words, check);
  const { orders } = words;
  if (check.reason !== '') return fill(orders.because, { name, reason: check.reason });
  const all = verdictsOverOrders(check);
  if (all.length === 0) return fill(orders.nothing, { name });
  const changed = all.filter((one) => one.changed.length > 0);
  const order = orderText(check.mainOrder);
  const gained = changed.filter((one) => one.changed.some(changesDeparture)).length;
  const departs = changed.length === 0 ? '' : fill(orders.departs, { n: gained });
  return fill(orders.count, { name, n: changed.length, of: all.length, order, departs });
}

/** The verdicts that depend on the order, one each: 'chest side bend at P4 departs; matches in Z-X-Y, X-Y-Z'. */
export function changeTexts(words: Words, check: OrderSensitivity): readonly string[] {
  return verdictsOverOrders(check)
    .filter(({ changed }) => changed.length > 0)
    .map(({ main, changed }) => {
      const verdicts = [...new Set(changed.map(({ verdict }) => verdict))];
      const others = verdicts.map((verdict) => {
        const orders = changed.filter((row) => row.verdict === verdict).map(({ order }) => orderText(order));
        return fill(words.orders.other, { verdict: words.verdicts[verdict], orders: orders.join(', ') });
      });
      return fill(words.orders.change, {
        what: placedLabel(words, main.inPlaceOf!, main.position),
        verdict: words.verdicts[main.verdict],
        others: others.join('; '),
      });
    });
}
