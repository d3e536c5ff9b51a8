import type { Fault } from '../model/faults.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import { TABLE_DECIMALS } from '../model/units.ts';
import { numberColumn, type Table, textColumn } from './csv.ts';
import { inTrialOrder } from './swingColumns.ts';

export interface FaultRow {
  readonly record: SwingRecord;
  readonly fault: Fault;
  /** Null where the fault has no frames. */
  readonly frames: readonly [number, number] | null;
}

const seconds = ({ record }: FaultRow, frame: number | undefined): number | null =>
  frame === undefined ? null : frame / record.head.facts.rate_Hz.value;

export const FAULT_TABLE: Table<FaultRow> = {
  name: 'faults',
  about:
    'One stretch of one fault of a recording, or one fault without frames: what it is and what was done (faults.md).',
  columns: [
    textColumn('player', 'id of the player', (row) => row.record.head.player),
    textColumn('trial', 'id of the trial', (row) => row.record.head.trial),
    textColumn('code', 'kind of fault', (row) => row.fault.code),
    textColumn('markers', 'landmarks concerned, joined by ;', (row) => row.fault.markers.join(';')),
    numberColumn('first_frame', 'frame', 'first frame, from 0', (row) => row.frames?.[0] ?? null, 0),
    numberColumn('last_frame', 'frame', 'last frame, from 0', (row) => row.frames?.[1] ?? null, 0),
    numberColumn(
      'first_s',
      's',
      'first frame from the first stored frame',
      (row) => seconds(row, row.frames?.[0]),
      TABLE_DECIMALS.s,
    ),
    numberColumn(
      'last_s',
      's',
      'last frame from the first stored frame',
      (row) => seconds(row, row.frames?.[1]),
      TABLE_DECIMALS.s,
    ),
    textColumn(
      'action',
      'repaired: put right; removed: counts as missing; kept: as recorded; refused: the trial is not used',
      (row) => row.fault.action,
    ),
    textColumn('detail', 'what was found, with its number and the limit', (row) => row.fault.detail),
  ],
};

export function* faultRows(records: readonly SwingRecord[]): Generator<FaultRow> {
  for (const record of inTrialOrder(records)) {
    for (const fault of record.faults ?? []) {
      if (fault.frames.length === 0) yield { record, fault, frames: null };
      for (const frames of fault.frames) yield { record, fault, frames };
    }
  }
}
