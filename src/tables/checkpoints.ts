import { compareCodeUnits } from '../base/text.ts';
import type { CheckpointBand, CheckpointResult } from '../model/checkpoint.ts';
import type { PlayerComparison } from '../model/comparison.ts';
import { TABLE_DECIMALS } from '../model/units.ts';
import { type Column, numberColumn, type Table, textColumn } from './csv.ts';

export interface CheckedRow {
  readonly of: PlayerComparison;
  readonly result: CheckpointResult;
}

function inUnit(name: string, meaning: string, read: (result: CheckpointResult) => number | null): Column<CheckedRow> {
  return numberColumn(
    name,
    'by row',
    meaning,
    ({ result }) => read(result),
    ({ result }) => (result.unit === 'position' ? 3 : TABLE_DECIMALS[result.unit]),
  );
}

function turn(name: string, meaning: string, read: (result: CheckpointResult) => number | null | undefined) {
  return numberColumn<CheckedRow>(name, 'deg', meaning, ({ result }) => read(result) ?? null, 3);
}

const bandOf = ({ checkpoint: { rule } }: CheckpointResult): CheckpointBand | null =>
  rule.kind === 'band' ? rule : null;

function readingWord({ checkpoint: { reading } }: CheckpointResult): string {
  if (reading.kind === 'change') return reading.withoutTurn ? 'change-without-turn' : 'change';
  if (reading.kind === 'value') return 'value';
  return reading.way === 'falls' ? 'begins-to-fall' : 'begins-to-rise';
}

export const CHECKPOINTS: Table<CheckedRow> = {
  name: 'checkpoints',
  about: 'One rule on the swings of one player (docs/checkpoints.md).',
  columns: [
    textColumn('player', 'id of the player', ({ of }) => of.player),
    textColumn('group', 'the swings it is read in', ({ of }) => of.group.label),
    textColumn('reference', 'the swings beside them', ({ of }) => of.reference.label),
    textColumn('checkpoint', 'name of the rule', ({ result }) => result.checkpoint.name),
    textColumn('quantity', 'name of the quantity (docs/quantities.md)', ({ result }) => result.checkpoint.quantity),
    textColumn('reading', 'value, change, change-without-turn, begins-to-fall, begins-to-rise', ({ result }) =>
      readingWord(result),
    ),
    textColumn('from', 'of a change or a beginning the earlier position', ({ result }) => result.from),
    textColumn('position', 'position, or swing for one value per swing', ({ result }) => result.position),
    textColumn('unit', 'unit of the values; position: number of a position', ({ result }) => result.unit),
    textColumn('rule', 'band, or reference', ({ result }) => result.checkpoint.rule.kind),
    inUnit('low', 'smallest value that meets the band', (result) => bandOf(result)?.low ?? null),
    inUnit('high', 'largest value that meets the band', (result) => bandOf(result)?.high ?? null),
    inUnit('severe_low', 'below it severe', (result) => bandOf(result)?.severeLow ?? null),
    inUnit('severe_high', 'above it severe', (result) => bandOf(result)?.severeHigh ?? null),
    textColumn('state', 'met, not-met, not-measured', ({ result }) => result.state),
    textColumn('severe', 'yes beyond the severe limits', ({ result }) => (result.severe ? 'yes' : '')),
    inUnit('value', 'mean of the group', (result) => result.value),
    inUnit('sd', 'standard deviation of the group', (result) => result.sd),
    inUnit('low95', 'lower end of the 95 % interval of the mean', (result) => result.low95),
    inUnit('high95', 'upper end of the 95 % interval of the mean', (result) => result.high95),
    numberColumn('n', 'swings', 'swings of the group with a value', ({ result }) => result.n, 0),
    numberColumn('swings_met', 'swings', 'of these, swings that meet the band', ({ result }) => result.swingsMet, 0),
    textColumn('within_scatter', 'yes where the interval of the mean reaches across a limit', ({ result }) =>
      result.withinScatter ? 'yes' : '',
    ),
    inUnit('value_reference', 'mean of the reference', (result) => result.valueReference),
    numberColumn('n_reference', 'swings', 'swings of the reference with a value', ({ result }) => result.nReference, 0),
    turn(
      'turn',
      'mean turn of the segment at the position, read with a bend; + toward the target',
      (result) => result.turn?.at,
    ),
    turn('turn_from', 'the same at the earlier position of a change', (result) => result.turn?.from),
    turn('turn_reference', 'the turn of the reference at the position', (result) => result.turn?.referenceAt),
    turn(
      'turn_alone',
      'change that turning alone would give, the long axis fixed in the room',
      (result) => result.turn?.alone,
    ),
    textColumn('note', 'note of the rule', ({ result }) => result.checkpoint.note),
    textColumn('source', 'where the rule is from', ({ result }) => result.checkpoint.source),
    textColumn('remarks', 'what the value must be seen with', ({ result }) => result.remarks.join('; ')),
    textColumn('reason', 'why it is not measured', ({ result }) => result.reason),
    textColumn('datum', 'zero of the angles of the swings', ({ of }) => of.part.datum?.id ?? ''),
  ],
};

/** Rows by player; within a player by part, then in the order of the rules. */
export function* checkpointRows(comparisons: readonly PlayerComparison[]): Generator<CheckedRow> {
  const sorted = [...comparisons].sort((a, b) => compareCodeUnits(a.player, b.player));
  for (const of of sorted) for (const result of of.checkpoints) yield { of, result };
}
