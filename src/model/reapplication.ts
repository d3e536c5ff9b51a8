import type { Quantity } from './quantity.ts';

/** What markers put on again may move, by quantity, display units. */
export type Reapplication = Readonly<Record<string, number>>;

/** True where the margin is an amount, so that one for re-application can be added to it; a share of the mean is none. */
export function takesReapplication(quantity: Quantity, margins: Readonly<Record<string, number>>): boolean {
  return quantity.margin.kind === 'absolute' || Object.hasOwn(margins, quantity.id);
}
