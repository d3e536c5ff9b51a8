/** What the order of axes does to the verdicts of a segment or joint, in words. */
import { quantityById } from '../../model/catalogue.ts';
import { mainAnglesOf, type OrderSensitivity, type OrderVerdict } from '../../model/orderSensitivity.ts';
import type { AngleOrder } from '../../model/quantity.ts';
import { VERDICT_WORDS } from '../drawing/signs.ts';

/** 'Y-X-Z' */
export function orderText(order: AngleOrder): string {
  return [...order].join('-');
}

/** 'lead hip' */
export function rotationText({ rotation }: Pick<OrderSensitivity, 'rotation'>): string {
  return rotation.replaceAll('_', ' ');
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
export function orderSentence(check: OrderSensitivity): string {
  const name = rotationText(check);
  if (check.reason !== '') return `order of axes of ${name}: ${check.reason}`;
  const all = verdictsOverOrders(check);
  if (all.length === 0) return `order of axes of ${name}: no verdict that could be set against other orders`;
  const changed = all.filter((one) => one.changed.length > 0);
  const which = orderText(check.mainOrder);
  const gained = changed.filter((one) => one.changed.some(changesDeparture)).length;
  const departs = changed.length === 0 ? '' : `, ${gained} of them with departs gained or lost`;
  return `order of axes of ${name}: ${changed.length} of ${all.length} verdicts at the positions (${which}) would be another in some other order away from its singular position${departs}`;
}

/** The verdicts that depend on the order, one each: 'chest side bend at P4 departs; matches in Z-X-Y, X-Y-Z'. */
export function changeTexts(check: OrderSensitivity): readonly string[] {
  return verdictsOverOrders(check)
    .filter(({ changed }) => changed.length > 0)
    .map(({ main, changed }) => {
      const verdicts = [...new Set(changed.map(({ verdict }) => verdict))];
      const others = verdicts.map((verdict) => {
        const orders = changed.filter((row) => row.verdict === verdict).map(({ order }) => orderText(order));
        return `${VERDICT_WORDS[verdict]} in ${orders.join(', ')}`;
      });
      const { label } = quantityById(main.inPlaceOf!);
      return `${label} at ${main.position} ${VERDICT_WORDS[main.verdict]}; ${others.join('; ')}`;
    });
}
