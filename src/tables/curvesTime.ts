import type { SwingRecord } from '../model/swingRecord.ts';
import { FILLED, type QuantitySeries, REBUILT, type SeriesOf } from '../model/swingSeries.ts';
import { TABLE_DECIMALS, toDisplay } from '../model/units.ts';
import { numberColumn, type Table, textColumn } from './csv.ts';
import { inTrialOrder, swingColumns } from './swingColumns.ts';

export interface TimeCurveRow {
  readonly record: SwingRecord;
  readonly series: QuantitySeries;
  readonly frame: number;
  readonly rate_Hz: number;
}

/** Doubts about one value, each said once. */
function flagsOf({ series: { flags, singular, filled }, frame }: TimeCurveRow): string {
  const how = filled?.[frame] ?? 0;
  const own = [
    ...(singular?.[frame] === 1 ? ['near-singular'] : []),
    ...((how & FILLED) === 0 ? [] : ['filled']),
    ...((how & REBUILT) === 0 ? [] : ['rebuilt']),
  ];
  return own.length === 0 ? flags.join(';') : [...flags, ...own].join(';');
}

export const CURVES_TIME: Table<TimeCurveRow> = {
  name: 'curves_time',
  about:
    'One quantity at one frame of one swing: every quantity that varies, from the first frame to the last. Written with --curves.',
  columns: [
    ...swingColumns<TimeCurveRow>((row) => row.record),
    textColumn('quantity', 'name of the quantity (docs/quantities.md)', (row) => row.series.quantity),
    numberColumn('frame', 'frames', 'number of the frame, from 0', (row) => row.frame, 0),
    numberColumn('time_s', 's', 'time from the first stored frame', (row) => row.frame / row.rate_Hz, TABLE_DECIMALS.s),
    numberColumn(
      'value',
      'by row',
      'the value; empty where missing',
      (row) => toDisplay(row.series.values[row.frame] ?? Number.NaN, row.series.unit),
      (row) => TABLE_DECIMALS[row.series.unit],
    ),
    textColumn('unit', 'unit of the value', (row) => row.series.unit),
    textColumn('order', 'axis order of an angle, in the axes of the segment', (row) => row.series.order),
    textColumn(
      'flags',
      'doubts about the value: near-singular, filled or rebuilt at this frame, and what holds for all of the quantity (as in angles.csv); joined by ;',
      flagsOf,
    ),
  ],
};

/** Rows by trial id, then in the order of the catalogue, then by time; one swing is held at a time. */
export function* timeCurveRows(records: Iterable<SwingRecord>, seriesOf: SeriesOf): Generator<TimeCurveRow> {
  for (const record of inTrialOrder(records)) {
    const swing = seriesOf(record.head.trial);
    if (swing === null) continue;
    const { rate_Hz, frames } = swing.clock;
    for (const series of swing.quantities) {
      for (let frame = 0; frame < frames; frame++) yield { record, series, frame, rate_Hz };
    }
  }
}
