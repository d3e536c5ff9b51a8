import { compareCodeUnits } from '../base/text.ts';
import type { Fault } from '../model/faults.ts';
import type { DayOutcome } from '../model/swingRecord.ts';
import type { TrialHead } from '../model/trial.ts';
import { TABLE_DECIMALS } from '../model/units.ts';
import { numberColumn, type Table, textColumn } from './csv.ts';

export interface FaultRow {
  readonly of: Pick<TrialHead, 'player' | 'trial'>;
  /** Null where the recording was not taken in. */
  readonly rate_Hz: number | null;
  readonly fault: Fault;
  /** Null where the fault has no frames. */
  readonly frames: readonly [number, number] | null;
}

const seconds = ({ rate_Hz }: FaultRow, frame: number | undefined): number | null =>
  frame === undefined || rate_Hz === null ? null : frame / rate_Hz;

export const FAULT_TABLE: Table<FaultRow> = {
  name: 'faults',
  about:
    'One stretch of one fault of a recording, or one fault without frames: what it is and what was done (faults.md).',
  columns: [
    textColumn('player', 'id of the player', ({ of }) => of.player),
    textColumn('trial', 'id of the trial', ({ of }) => of.trial),
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

/** Of the swings, and of trials without a record: used static trials, refused ones. By trial id. */
export function* faultRows(outcomes: readonly DayOutcome[]): Generator<FaultRow> {
  const all = outcomes
    .map((one) => {
      const { head = null, faults } = one.record ?? one;
      return { of: one, head, faults };
    })
    .sort((a, b) => compareCodeUnits(a.of.trial, b.of.trial));
  for (const { of, head, faults } of all) {
    const rate_Hz = head?.facts.rate_Hz.value ?? null;
    for (const fault of faults ?? []) {
      if (fault.frames.length === 0) yield { of, rate_Hz, fault, frames: null };
      for (const frames of fault.frames) yield { of, rate_Hz, fault, frames };
    }
  }
}
