import { compareCodeUnits } from '../base/text.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import { type Column, textColumn } from './csv.ts';

/** The columns that say which swing a row belongs to. */
export function swingColumns<R>(recordOf: (row: R) => SwingRecord): readonly Column<R>[] {
  return [
    textColumn('player', 'id of the player', (row) => recordOf(row).head.player),
    textColumn('club', 'id of the club', (row) => recordOf(row).head.club),
    textColumn('kind', 'kind of the club: driver, wood, hybrid, iron, wedge, putter', (row) => recordOf(row).head.kind),
    textColumn('set', 'set the swing belongs to', (row) => recordOf(row).head.set),
    textColumn('trial', 'id of the trial', (row) => recordOf(row).head.trial),
  ];
}

/** Records by trial id, the order of every table; what is no list is gone through as it comes. */
export function inTrialOrder(records: Iterable<SwingRecord>): Iterable<SwingRecord> {
  if (!Array.isArray(records)) return records;
  return [...(records as readonly SwingRecord[])].sort((a, b) => compareCodeUnits(a.head.trial, b.head.trial));
}
