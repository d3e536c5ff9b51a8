/** The orders of axes that were asked for beside the main ones, in the comparison: described, never judged. */
import type { OrderedRotation, OrderRequest } from '../model/analysisPlan.ts';
import type { ComparisonRow } from '../model/comparison.ts';
import type { CompareOptions } from '../model/dayPlan.ts';
import { COMPONENTS, mainAnglesOf } from '../model/orderSensitivity.ts';
import type { Quantity } from '../model/quantity.ts';
import type { Cell, SwingRecord } from '../model/swingRecord.ts';
import { angleNear } from '../numeric/eulerAngles.ts';
import type { MethodChoice } from './methods.ts';
import { judge, type RowContext, writeRows } from './rows.ts';
import { collectSamples } from './samples.ts';
import type { SwingGroup } from './swings.ts';

export interface OrderRowsContext {
  readonly group: SwingGroup;
  readonly reference: SwingGroup;
  readonly choice: MethodChoice;
  readonly options: Pick<CompareOptions, 'margins' | 'primary'>;
  readonly rows: Omit<RowContext, 'trends'>;
}

const NOT_JUDGED = 'described, not judged: an order beside the main one';

/**
 * Rows of `<segment>.first`, `.second` and `.third` in each order asked for, values and changes since P1, in the order of the requests.
 * They belong to no family, so that no verdict depends on what else is looked at; p-values are those of the row alone.
 */
export function orderRows(orders: readonly OrderRequest[], context: OrderRowsContext): readonly ComparisonRow[] {
  return orders.flatMap((request) => rowsOf(request, context));
}

function rowsOf({ segment, order }: OrderRequest, context: OrderRowsContext): readonly ComparisonRow[] {
  const { group, reference, choice, options } = context;
  const quantities = COMPONENTS.map(
    (component): Quantity => ({ ...model(segment), id: `${segment}.${component}`, order }),
  );
  const ids = new Set(quantities.map(({ id }) => id));
  const all = [...group.records, ...reference.records];
  const cells = together(
    all.map((record) => record.cells.filter((cell) => cell.order === order && ids.has(cell.quantity))),
  );
  const at = new Map<SwingRecord, readonly Cell[]>(all.map((record, i) => [record, cells[i]!]));
  const side = (from: SwingGroup): SwingGroup => ({
    ...from,
    records: from.records.map((record) => ({ ...record, cells: at.get(record)! })),
  });
  const samples = collectSamples(side(group), side(reference), choice, quantities);
  const entries = judge(samples, options, choice).map((entry) => ({ ...entry, family: null, judged: null }));
  return writeRows(entries, { ...context.rows, trends: new Map() }).map((row, i) => {
    const { leftOut } = entries[i]!.sample;
    return { ...row, reason: leftOut === '' ? NOT_JUDGED : `${NOT_JUDGED}; ${leftOut}` };
  });
}

/** What a raw angle has in common with the main ones: unit, positions, margin; it is read from cells, by no rule of its own. */
function model(segment: OrderedRotation): Quantity {
  const main = mainAnglesOf(segment).quantities.find((quantity) => quantity !== null);
  const base = main ?? mainAnglesOf('thorax').quantities[0]!;
  return { ...base, margin: { kind: 'absolute', value: 2 }, reading: { kind: 'inclination', segment: 'thorax' } };
}

/** The cells of all swings with the angles of each quantity and position within half a turn of their mean direction. */
function together(swings: readonly (readonly Cell[])[]): readonly (readonly Cell[])[] {
  const values = new Map<string, number[]>();
  const keyOf = ({ quantity, position }: Cell): string => `${quantity}@${position}`;
  for (const cell of swings.flat()) {
    if (cell.value === null) continue;
    const key = keyOf(cell);
    const list = values.get(key);
    if (list === undefined) values.set(key, [cell.value]);
    else list.push(cell.value);
  }
  const middles = new Map([...values].map(([key, list]) => [key, middleOf(list)]));
  return swings.map((cells) =>
    cells.map((cell) =>
      cell.value === null ? cell : { ...cell, value: angleNear(cell.value, middles.get(keyOf(cell))!) },
    ),
  );
}

/** The mean direction, on the branch nearest the mean of the numbers. */
function middleOf(angles: readonly number[]): number {
  const sum = (of: (angle: number) => number): number => angles.reduce((total, angle) => total + of(angle), 0);
  return angleNear(Math.atan2(sum(Math.sin), sum(Math.cos)), sum((angle) => angle) / angles.length);
}
