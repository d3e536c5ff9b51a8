import type { Cell, SwingRecord } from '../model/swingRecord.ts';
import { TABLE_DECIMALS, toDisplay } from '../model/units.ts';
import { numberColumn, type Table, textColumn } from './csv.ts';
import { inTrialOrder, swingColumns } from './swingColumns.ts';

export interface AngleRow {
  readonly record: SwingRecord;
  readonly cell: Cell;
}

function shown({ cell }: AngleRow, value: number | null): number | null {
  return value === null ? null : toDisplay(value, cell.unit);
}

const decimals = (row: AngleRow) => TABLE_DECIMALS[row.cell.unit];

/** Most cells have none. */
function doubtsOf({ cell: { flags, why } }: AngleRow): string {
  if (why === null && flags.length < 2) return flags[0] ?? '';
  return [...new Set([...flags, ...(why === null ? [] : [why.code])])].join(';');
}

export const ANGLES: Table<AngleRow> = {
  name: 'angles',
  about: 'One quantity at one position of one swing.',
  columns: [
    ...swingColumns<AngleRow>((row) => row.record),
    textColumn('quantity', 'name of the quantity (docs/quantities.md)', (row) => row.cell.quantity),
    textColumn('position', 'position of the swing, or swing for one value per swing', (row) => row.cell.position),
    numberColumn('value', 'by row', 'the value; empty where missing', (row) => shown(row, row.cell.value), decimals),
    textColumn('unit', 'unit of value and plus_minus', (row) => row.cell.unit),
    textColumn('order', 'axis order of an angle, in the axes of the segment', (row) => row.cell.order),
    numberColumn(
      'plus_minus',
      'by row',
      'half-width of the 95 % interval: noise and placement by the sum of squares (docs/uncertainty.md); empty where the noise cannot be worked out',
      (row) => shown(row, wholeSpread(row.cell)),
      decimals,
    ),
    textColumn(
      'flags',
      'doubts about the value and, where it is missing, the code of the reason; joined by ;',
      doubtsOf,
    ),
    numberColumn(
      'plus_minus_noise',
      'by row',
      'its part of measuring noise, another in every swing',
      (row) => shown(row, row.cell.plusMinus),
      decimals,
    ),
    numberColumn(
      'plus_minus_placement',
      'by row',
      'its part of landmarks and skin, alike in all swings of a session; empty where there is no allowance',
      (row) => shown(row, row.cell.placement ?? null),
      decimals,
    ),
  ],
};

/** Half-width of the 95 % interval of noise and placement together, SI; null where the noise is not known. */
export function wholeSpread({ plusMinus, placement }: Cell): number | null {
  return plusMinus === null ? null : Math.hypot(plusMinus, placement ?? 0);
}

/** Rows by trial id; within a trial in the order of the catalogue. */
export function* angleRows(records: Iterable<SwingRecord>): Generator<AngleRow> {
  for (const record of inTrialOrder(records)) for (const cell of record.cells) yield { record, cell };
}
