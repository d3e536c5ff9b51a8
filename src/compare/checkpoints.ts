/** Checkpoints on a player's swings: met, not met or not measured, with the values that say so. */
import { quantityById } from '../model/catalogue.ts';
import type { Checkpoint, CheckpointBand, CheckpointResult } from '../model/checkpoint.ts';
import type { ComparisonRow } from '../model/comparison.ts';
import type { ClubPlan } from '../model/dayPlan.ts';
import type { PositionId } from '../model/positions.ts';
import type { Quantity } from '../model/quantity.ts';
import { tQuantile } from '../numeric/distributions.ts';
import {
  beginningOf,
  changeBetween,
  indexSamples,
  type SampleIndex,
  type SwingValues,
  valuesAt,
} from './checkpointReadings.ts';
import { byTurnAlone, turnBeside } from './checkpointTurn.ts';
import { chooseMethods, FEWEST_SWINGS, type MethodChoice } from './methods.ts';
import { collectSamples, type Sample } from './samples.ts';
import { datumOf, partsBy, type SwingGroup } from './swings.ts';
import { summarise } from './twoSamples.ts';

export interface CheckpointContext {
  readonly group: SwingGroup;
  /** May be without swings: rules that need it are then not measured. */
  readonly reference: SwingGroup;
  readonly samples: readonly Sample[];
  readonly rows: readonly ComparisonRow[];
  readonly choice: MethodChoice;
  readonly clubs: readonly Pick<ClubPlan, 'id' | 'kind'>[];
}

/**
 * Every rule in its order. A band is met where the mean of the group's swings lies in it; where the 95 % interval of the mean (t) reaches
 * across a limit, the result says that it is within the scatter. A rule against the reference is not met where the row of the comparison
 * departs, met where it matches or differs slightly, and not measured where these swings cannot tell.
 */
export function checkpointResults(checkpoints: readonly Checkpoint[], context: CheckpointContext): CheckpointResult[] {
  const index = indexSamples(context.samples);
  return checkpoints.map((checkpoint) => resultOf(checkpoint, index, context));
}

/**
 * The rules where there is no comparison: on the group's swings of one datum, the one that most of them have. Empty without swings.
 */
export function checkpointsAlone(
  checkpoints: readonly Checkpoint[],
  side: SwingGroup,
  label: string,
  clubs: readonly Pick<ClubPlan, 'id' | 'kind'>[],
): CheckpointResult[] {
  if (side.records.length === 0) return [];
  const parts = [...partsBy(side.records.map(datumOf)).values()].sort((a, b) => b.length - a.length);
  const of = <T>(list: readonly T[]): T[] => parts[0]!.map((swing) => list[swing]!);
  const group = { ...side, records: of(side.records), clubs: of(side.clubs) };
  const reference: SwingGroup = { label, records: [], clubs: [] };
  const choice = chooseMethods(group, reference);
  const samples = collectSamples(group, reference, choice);
  return checkpointResults(checkpoints, { group, reference, samples, rows: [], choice, clubs });
}

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);

function resultOf(checkpoint: Checkpoint, index: SampleIndex, context: CheckpointContext): CheckpointResult {
  const { group, reference, choice } = context;
  const quantity = quantityById(checkpoint.quantity);
  const { from, position } = positionsOf(checkpoint, choice);
  const { reading } = checkpoint;
  const asked: readonly string[] = reading.kind === 'value' ? [reading.position] : [reading.from, reading.to];
  const { values, why } = read(checkpoint, quantity, from, position, index, context);
  const nGroup = group.records.length;
  const own = summarise(values, 0, nGroup);
  const other = summarise(values, nGroup);
  const half = own.n < 2 ? Number.NaN : (tQuantile(0.975, own.n - 1) * own.sd) / Math.sqrt(own.n);
  const [low95, high95] = [own.mean - half, own.mean + half];
  const turn =
    position === 'swing' || reading.kind === 'begins'
      ? null
      : turnBeside(index, { quantity, from, at: position, values, nGroup });
  const measured: CheckpointResult = {
    checkpoint,
    state: 'not-measured',
    severe: false,
    unit: reading.kind === 'begins' ? 'position' : quantity.unit,
    from,
    position,
    value: finite(own.mean),
    sd: finite(own.sd),
    low95: finite(low95),
    high95: finite(high95),
    n: own.n,
    swingsMet: null,
    valueReference: finite(other.mean),
    nReference: other.n,
    withinScatter: false,
    turn,
    remarks: [],
    reason: '',
  };
  const result = { ...measured, remarks: remarksOf(measured, own.n, nGroup, asked.includes('P4')) };
  const unfit = clubTrouble(checkpoint, context);
  if (unfit !== '') return { ...result, reason: unfit };
  if (own.n === 0) return { ...result, reason: why === '' ? `no swing of the ${group.label} has it` : why };
  const { rule } = checkpoint;
  if (rule.kind === 'band') return byBand(result, rule, values.subarray(0, nGroup));
  return byReference(result, rowOf(checkpoint, position, context.rows), reference.label);
}

interface Positions {
  readonly from: PositionId | null;
  readonly position: PositionId | 'swing';
}

/** P4(arm) stands in for P4 where it does so in the comparison. */
function positionsOf({ reading }: Checkpoint, { top }: MethodChoice): Positions {
  const settled = <P extends string>(position: P): P | MethodChoice['top'] => (position === 'P4' ? top : position);
  if (reading.kind === 'value') return { from: null, position: settled(reading.position) };
  if (reading.kind === 'change') return { from: settled(reading.from), position: settled(reading.to) };
  return { from: reading.from, position: reading.to };
}

function read(
  { reading }: Checkpoint,
  quantity: Quantity,
  from: PositionId | null,
  position: PositionId | 'swing',
  index: SampleIndex,
  { group, reference, choice }: CheckpointContext,
): SwingValues {
  const records = [...group.records, ...reference.records];
  if (reading.kind === 'value') return valuesAt(index, records.length, quantity.id, position);
  if (reading.kind === 'change' && from !== null && position !== 'swing') {
    const change = changeBetween(index, records.length, quantity.id, from, position);
    if (!reading.withoutTurn) return change;
    const alone = byTurnAlone(index, quantity, from, position, records.length);
    const why = change.why === '' ? `its bends at ${from} and its turn are needed` : change.why;
    return { values: change.values.map((value, swing) => value - alone[swing]!), why };
  }
  if (reading.kind !== 'begins') throw new RangeError(`a change of ${quantity.id} needs two positions`);
  const found = records.map((record) => beginningOf(record, quantity.id, reading, choice));
  return {
    values: Float64Array.from(found, (one) => (typeof one === 'number' ? one : Number.NaN)),
    why: [...new Set(found.filter((one) => typeof one === 'string'))].join('; '),
  };
}

function clubTrouble({ clubs }: Checkpoint, { group, clubs: plans }: CheckpointContext): string {
  if (clubs === null) return '';
  const kinds = new Map(plans.map(({ id, kind }) => [id, kind]));
  const swung = new Set(
    group.records.map(({ head }) => (head.club === null ? null : kinds.get(head.club)) ?? head.kind),
  );
  const isMeant = [...swung].every((kind) => kind !== null && clubs.includes(kind));
  return isMeant ? '' : `the rule is for ${clubs.join(', ')} only`;
}

/** What the reading of `n` of `all` swings must be seen with. */
function remarksOf({ from, position, turn }: CheckpointResult, n: number, all: number, standsIn: boolean): string[] {
  const remarks: string[] = [];
  if (n === 0) return remarks;
  if (n < all) remarks.push(`${all - n} of ${all} swings lack it`);
  if (n === 1) remarks.push('one swing: its scatter is not known');
  else if (n < FEWEST_SWINGS) remarks.push(`only ${n} swings`);
  if (standsIn && [from, position].includes('P4(arm)')) remarks.push('the top is that of the lead arm, P4(arm)');
  if (turn !== null && turn.at === null) remarks.push('its turn is not measured: a bend alone may be turn');
  return remarks;
}

const meets = (value: number, { low, high }: CheckpointBand): boolean =>
  (low === null || value >= low) && (high === null || value <= high);

function byBand(result: CheckpointResult, band: CheckpointBand, values: Float64Array): CheckpointResult {
  const value = result.value!;
  const met = meets(value, band);
  const { low95, high95 } = result;
  const crosses = (limit: number | null): boolean =>
    limit !== null && low95 !== null && high95 !== null && low95 <= limit && limit <= high95;
  return {
    ...result,
    state: met ? 'met' : 'not-met',
    severe:
      (band.severeLow !== null && value < band.severeLow) || (band.severeHigh !== null && value > band.severeHigh),
    swingsMet: values.filter((one) => meets(one, band)).length,
    withinScatter: crosses(band.low) || crosses(band.high),
  };
}

function rowOf(
  { quantity, reading }: Checkpoint,
  position: PositionId | 'swing',
  rows: readonly ComparisonRow[],
): ComparisonRow | null {
  const basis = reading.kind === 'change' ? 'change' : 'value';
  return rows.find((row) => row.quantity === quantity && row.position === position && row.basis === basis) ?? null;
}

function byReference(result: CheckpointResult, row: ComparisonRow | null, reference: string): CheckpointResult {
  if (row === null) return { ...result, reason: `no comparison with the ${reference}` };
  switch (row.verdict) {
    case 'departs':
      return { ...result, state: 'not-met' };
    case 'matches':
      return { ...result, state: 'met' };
    case 'differs-slightly':
      return { ...result, state: 'met', remarks: [...result.remarks, 'differs slightly'] };
    case 'undecided':
      return { ...result, reason: `these swings cannot tell it from the ${reference} yet` };
    case 'none':
      return { ...result, reason: row.reason === '' ? `no verdict against the ${reference}` : row.reason };
  }
}
