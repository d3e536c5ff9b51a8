import { CURVE_POSITIONS, type CurveBase, type CurveRecord, type SwingRecord } from '../model/swingRecord.ts';
import { TABLE_DECIMALS, toDisplay } from '../model/units.ts';
import { numberColumn, type Table, textColumn } from './csv.ts';
import { inTrialOrder, swingColumns } from './swingColumns.ts';

/** Steps from one position to the next. */
const STEPS = 10;

export interface CurveRow {
  readonly record: SwingRecord;
  readonly curve: CurveRecord;
  readonly step: number;
}

export const CURVES: Table<CurveRow> = {
  name: 'curves',
  about: 'One step of one curve of one swing: steps 0 to 80 from P1 to P9, ten per interval. Written with --curves.',
  columns: [
    ...swingColumns<CurveRow>((row) => row.record),
    textColumn('quantity', 'name of the quantity (docs/quantities.md)', (row) => row.curve.quantity),
    numberColumn('step', '', '0 to 80', (row) => row.step, 0),
    textColumn('position', 'position at steps 0, 10 … 80', (row) =>
      row.step % STEPS === 0 ? (CURVE_POSITIONS[row.step / STEPS] ?? '') : '',
    ),
    numberColumn(
      'time_s',
      's',
      'time from the first stored frame',
      (row) => row.record.curveBase.times_s[row.step] ?? null,
      TABLE_DECIMALS.s,
    ),
    numberColumn(
      'value',
      'by row',
      'the value; empty where missing',
      (row) => toDisplay(row.curve.values[row.step] ?? Number.NaN, row.curve.unit),
      (row) => TABLE_DECIMALS[row.curve.unit],
    ),
    textColumn('unit', 'unit of the value', (row) => row.curve.unit),
    textColumn('order', 'axis order of an angle', (row) => row.curve.order),
    textColumn(
      'flags',
      'time-shared: a position in this stretch is missing or reversed, so its time is shared evenly',
      (row) => (isShared(row.record.curveBase, row.step) ? 'time-shared' : ''),
    ),
  ],
};

/** True strictly inside a stretch whose time was shared evenly, as 'P2–P4'. */
function isShared({ shared }: CurveBase, step: number): boolean {
  return shared.some((stretch) => {
    const [from, to] = stretch.split('–').map((name) => (CURVE_POSITIONS as readonly string[]).indexOf(name));
    return from !== undefined && to !== undefined && step > STEPS * from && step < STEPS * to;
  });
}

export function* curveRows(records: Iterable<SwingRecord>): Generator<CurveRow> {
  for (const record of inTrialOrder(records)) {
    for (const curve of record.curves) {
      for (let step = 0; step < curve.values.length; step++) yield { record, curve, step };
    }
  }
}
