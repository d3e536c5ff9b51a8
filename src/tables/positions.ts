import { formatFixed } from '../base/format.ts';
import { type Moment, POSITIONS, type PositionId } from '../model/positions.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import { TABLE_DECIMALS } from '../model/units.ts';
import { numberColumn, type Table, textColumn } from './csv.ts';
import { inTrialOrder, swingColumns } from './swingColumns.ts';

export interface PositionRow {
  readonly record: SwingRecord;
  readonly position: PositionId;
  readonly moment: Moment;
}

function found<T>(row: PositionRow, read: (moment: Moment & { found: true }) => T): T | null {
  return row.moment.found ? read(row.moment) : null;
}

function reasonOf({ moment }: PositionRow): string {
  if (!moment.found) return moment.why.needed;
  const offset = moment.eventOffset_s;
  const event =
    offset === null ? [] : [`stored event ${formatFixed(Math.abs(offset), 5)} s ${offset < 0 ? 'earlier' : 'later'}`];
  return [...moment.flags, ...event].join('; ');
}

export const POSITION_TABLE: Table<PositionRow> = {
  name: 'positions',
  about: 'One position of one swing: when, how found, or why not.',
  columns: [
    ...swingColumns<PositionRow>((row) => row.record),
    textColumn('position', 'position of the swing', (row) => row.position),
    numberColumn(
      'time_s',
      's',
      'time from the first stored frame',
      (row) => found(row, (m) => m.time_s),
      TABLE_DECIMALS.s,
    ),
    numberColumn(
      'plus_minus_s',
      's',
      'half-width of the 95 % interval of the time',
      (row) => found(row, (m) => 1.96 * m.sd_s),
      TABLE_DECIMALS.s,
    ),
    numberColumn(
      'frame',
      'frames',
      'the same time in frames from 0, with fraction',
      (row) => found(row, (m) => m.time_s * row.record.head.facts.rate_Hz.value),
      3,
    ),
    textColumn('method', 'how it was found', (row) => found(row, (m) => m.method)),
    numberColumn('confidence', '', '0 to 1', (row) => found(row, (m) => m.confidence), 2),
    textColumn('reason', 'why it is missing, or doubts about it; the distance to a stored event', reasonOf),
  ],
};

/** Rows by trial id, then in the order of time. */
export function* positionRows(records: Iterable<SwingRecord>): Generator<PositionRow> {
  for (const record of inTrialOrder(records)) {
    for (const position of POSITIONS) {
      const moment = record.moments[position];
      if (moment !== undefined) yield { record, position, moment };
    }
  }
}
