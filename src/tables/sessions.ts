import type { Change, DayMean, SessionComparison, SessionRow, Zero } from '../model/sessions.ts';
import { TABLE_DECIMALS } from '../model/units.ts';
import { type Column, numberColumn, type Table, textColumn } from './csv.ts';

const MEASURES = ['group', 'reference', 'gap'] as const;
type Measure = (typeof MEASURES)[number];

export interface SessionLine {
  readonly of: SessionComparison;
  readonly row: SessionRow;
  readonly measure: Measure;
}

function inUnit(name: string, meaning: string, read: (line: SessionLine) => number | null): Column<SessionLine> {
  return numberColumn(name, 'by row', meaning, read, ({ row }) => TABLE_DECIMALS[row.unit]);
}

function probability(name: string, meaning: string, read: (change: Change) => number | null): Column<SessionLine> {
  return numberColumn(name, '', meaning, ({ row, measure }) => read(row[measure]), 5);
}

function meanOf({ row, measure }: SessionLine, when: 'before' | 'after'): DayMean | null {
  return measure === 'gap' ? null : row[when][measure];
}

/** A gap holds the zero of a day twice: nothing is taken off it. */
function zeroOf({ row, measure }: SessionLine): Zero | null {
  return measure === 'gap' ? null : row.zero;
}

function takenOff(line: SessionLine): Zero | null {
  return line.row.basis === 'value' ? zeroOf(line) : null;
}

function shownValue(line: SessionLine, when: 'before' | 'after'): number | null {
  return line.measure === 'gap' ? line.row[when].gap.value : (meanOf(line, when)?.mean ?? null);
}

function percent(name: string, meaning: string, read: (row: SessionRow) => number | null): Column<SessionLine> {
  const shown = ({ row, measure }: SessionLine): number | null => {
    const share = measure === 'gap' ? read(row) : null;
    return share === null ? null : 100 * share;
  };
  return numberColumn(name, '%', meaning, shown, 1);
}

export const SESSIONS: Table<SessionLine> = {
  name: 'sessions',
  about:
    'One quantity at one position on two days of one player: three rows, the change of the group, of the reference, and of the gap between them.',
  columns: [
    textColumn('player', 'id of the player', ({ of }) => of.player),
    textColumn('before', 'date of the earlier day', ({ of }) => of.before),
    textColumn('after', 'date of the later day', ({ of }) => of.after),
    textColumn('measure', 'group, reference, or gap (group − reference)', ({ measure }) => measure),
    textColumn('group', 'what is compared', ({ of }) => of.group.after.label),
    textColumn('reference', 'with what', ({ of }) => of.reference.after.label),
    textColumn('quantity', 'name of the quantity (docs/quantities.md)', ({ row }) => row.quantity),
    textColumn('position', 'position of the swing, or swing for one value per swing', ({ row }) => row.position),
    textColumn('unit', 'unit of the values', ({ row }) => row.unit),
    textColumn('order', 'axis order of an angle', ({ row }) => row.order),
    textColumn('basis', 'value, or change since P1', ({ row }) => row.basis),
    numberColumn(
      'n_before',
      'swings',
      'swings of the earlier day with a value',
      (line) => meanOf(line, 'before')?.n ?? null,
      0,
    ),
    numberColumn(
      'n_after',
      'swings',
      'swings of the later day with a value',
      (line) => meanOf(line, 'after')?.n ?? null,
      0,
    ),
    inUnit('value_before', 'mean, or gap, of the earlier day', (line) => shownValue(line, 'before')),
    inUnit('value_after', 'mean, or gap, of the later day', (line) => shownValue(line, 'after')),
    inUnit('sd_before', 'standard deviation of the earlier day', (line) => meanOf(line, 'before')?.sd ?? null),
    inUnit('sd_after', 'standard deviation of the later day', (line) => meanOf(line, 'after')?.sd ?? null),
    inUnit('change', 'value_after − value_before', ({ row, measure }) => row[measure].value),
    inUnit('low95', 'lower end of the 95 % interval of the change', ({ row, measure }) => row[measure].low95),
    inUnit('high95', 'upper end of the 95 % interval of the change', ({ row, measure }) => row[measure].high95),
    inUnit(
      'margin',
      'largest change without meaning, re-application included',
      ({ row, measure }) => row[measure].margin,
    ),
    inUnit(
      'reapplication',
      'part of the margin that stands for markers put on again',
      ({ row, measure }) => row[measure].reapplication,
    ),
    probability('p', 'change other than 0', ({ p }) => p),
    probability('p_beyond', 'change beyond the margin', ({ pBeyond }) => pBeyond),
    probability('p_within', 'change within the margin', ({ pWithin }) => pWithin),
    probability('p_adjusted', 'p, adjusted over its family', ({ pAdjusted }) => pAdjusted),
    probability('p_beyond_adjusted', 'p_beyond, adjusted over its family', ({ pBeyondAdjusted }) => pBeyondAdjusted),
    textColumn('family', 'family of the adjustment, by itself for each measure', ({ row }) => row.family),
    textColumn(
      'verdict',
      'of the change: departs, matches, differs-slightly, undecided, none',
      ({ row, measure }) => row[measure].verdict,
    ),
    textColumn('verdict_before', 'of the gap of the earlier day', ({ row, measure }) =>
      measure === 'gap' ? row.before.verdict : '',
    ),
    textColumn('verdict_after', 'of the gap of the later day', ({ row, measure }) =>
      measure === 'gap' ? row.after.verdict : '',
    ),
    percent('closed', 'share of the earlier gap that has closed, where that gap departs', ({ closed }) => closed.value),
    percent('closed_low95', 'lower end of its 95 % interval (Fieller)', ({ closed }) => closed.low95),
    percent('closed_high95', 'upper end of its 95 % interval (Fieller)', ({ closed }) => closed.high95),
    textColumn('reason', 'why there is no verdict, or how many swings lacked the value', ({ row }) => row.reason),
    textColumn('zero', 'static trials where value_before and value_after are zeroed on them', (line) =>
      zeroOf(line) === null ? '' : 'static trials',
    ),
    inUnit(
      'static_before',
      'angle of the static trial of the earlier day, taken off value_before',
      (line) => takenOff(line)?.before ?? null,
    ),
    inUnit(
      'static_after',
      'angle of the static trial of the later day, taken off value_after',
      (line) => takenOff(line)?.after ?? null,
    ),
  ],
};

export function* sessionLines(comparisons: readonly SessionComparison[]): Generator<SessionLine> {
  for (const of of comparisons) for (const row of of.rows) for (const measure of MEASURES) yield { of, row, measure };
}
