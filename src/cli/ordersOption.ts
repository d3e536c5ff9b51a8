import type { OrderedRotation, OrderRequest } from '../model/analysisPlan.ts';
import { parseOrderCheck, parseOrders } from '../pipeline/orders.ts';
import { UsageError } from './exit.ts';

/** The value of --orders. @throws UsageError */
export function ordersOf(text: string | undefined): readonly OrderRequest[] {
  return parsed('--orders', text, parseOrders);
}

/** The value of --order-check. @throws UsageError */
export function orderCheckOf(text: string | undefined): readonly OrderedRotation[] {
  return parsed('--order-check', text, parseOrderCheck);
}

function parsed<T>(option: string, text: string | undefined, parse: (text: string) => T): T {
  try {
    return parse(text ?? '');
  } catch (error) {
    if (error instanceof RangeError) throw new UsageError(`${option}: ${error.message}`);
    throw error;
  }
}
