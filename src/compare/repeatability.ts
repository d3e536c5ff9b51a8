import { CATALOGUE } from '../model/catalogue.ts';
import type { PositionId } from '../model/positions.ts';
import type { Quantity } from '../model/quantity.ts';
import type { RepeatabilityRow } from '../model/repeatability.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import { toDisplay } from '../model/units.ts';
import { anovaOf, columnsTest, intraclass, intraclassInterval, pairAgreement, swingsFor } from './agreement.ts';
import { minimalDetectableChange } from './effectSize.ts';
import { compareText, partsBy } from './swings.ts';

/** Repeatability of a day: the first iron swings of each player, made one after the other. */

const FEWEST_PLAYERS = 3;
const FEWEST_SWINGS_EACH = 2;

/** Every place of a value: a quantity at a position. A direction of a lean is no number to average. */
const PLACES: readonly Place[] = CATALOGUE.filter(({ reading }) => reading.kind !== 'inclination-direction').flatMap(
  (quantity) =>
    (quantity.at === 'swing' ? (['swing'] as const) : quantity.at).map((position) => ({ quantity, position })),
);

interface Place {
  readonly quantity: Quantity;
  readonly position: PositionId | 'swing';
}

const INDEX: ReadonlyMap<string, number> = new Map(
  PLACES.map(({ quantity, position }, i) => [`${quantity.id}@${position}`, i]),
);

/** What the table takes from one swing: 8 bytes a value. */
export interface RepeatabilitySwing {
  readonly player: string;
  readonly trial: string;
  readonly order: number;
  /** Display units; NaN where there is no number to average. */
  readonly values: Float64Array;
}

/** One entry of an iron swing of markers, none of other swings. */
export function repeatabilitySwing({ head, cells }: SwingRecord): readonly RepeatabilitySwing[] {
  if (head.source === 'sensors' || head.role !== 'swing' || head.kind !== 'iron') return [];
  const values = new Float64Array(PLACES.length).fill(Number.NaN);
  for (const { quantity, position, value, unit, flags } of cells) {
    const index = INDEX.get(`${quantity}@${position}`);
    if (index === undefined || value === null || !Number.isFinite(value) || flags.includes('near-singular')) continue;
    values[index] = toDisplay(value, unit);
  }
  return [{ player: head.player, trial: head.trial, order: head.order, values }];
}

/** Table of players by swings: as many swings as the player with the fewest has, of those with two or more. */
function tableOf(players: readonly (readonly RepeatabilitySwing[])[], index: number): number[][] | null {
  const lists = players.flatMap((swings) => {
    const list = swings.map(({ values }) => values[index]!).filter((value) => !Number.isNaN(value));
    return list.length < FEWEST_SWINGS_EACH ? [] : [list];
  });
  if (lists.length < FEWEST_PLAYERS) return null;
  const k = Math.min(...lists.map(({ length }) => length));
  return lists.map((list) => list.slice(0, k));
}

function rowOf({ quantity, position }: Place, table: readonly (readonly number[])[]): RepeatabilityRow | null {
  const anova = anovaOf(table);
  // zero by definition, or rounding of it
  if (!(anova.error > 1e-20 && anova.between > 1e-20)) return null;
  const { single, mean } = intraclass(anova);
  const [low95, high95] = intraclassInterval(anova, 3);
  const sem = Math.sqrt(anova.error);
  const pair = pairAgreement(table.map((row) => row[row.length - 1]! - row[0]!));
  return {
    quantity: quantity.id,
    position,
    unit: quantity.unit,
    order: quantity.order,
    players: anova.n,
    swings: anova.k,
    single,
    mean,
    low95,
    high95,
    pPlace: columnsTest(table).pCorrected,
    swingsFor90: single[2] > 0 ? Math.ceil(swingsFor(0.9, single[2])) : null,
    sem,
    mdc: minimalDetectableChange(sem),
    mdcOfMean: minimalDetectableChange(sem / Math.sqrt(anova.k)),
    shift: pair.bias,
    shiftLow95: pair.biasInterval[0],
    shiftHigh95: pair.biasInterval[1],
    limitLow: pair.limits[0],
    limitHigh: pair.limits[1],
    repeatability: pair.repeatability,
    typicalError: pair.typicalError,
  };
}

/**
 * Rows in the order of the catalogue, for quantities that three players or more have in two iron swings each. The result does not depend on
 * the order of the swings.
 */
export function repeatabilityOf(swings: readonly RepeatabilitySwing[]): RepeatabilityRow[] {
  const inOrder = [...swings].sort((a, b) => a.order - b.order || compareText(a.trial, b.trial));
  const players = [...partsBy(inOrder.map(({ player }) => player))]
    .sort(([a], [b]) => compareText(a, b))
    .map(([, own]) => own.map((i) => inOrder[i]!));
  if (players.length < FEWEST_PLAYERS) return [];
  return PLACES.flatMap((place, index) => {
    const table = tableOf(players, index);
    const row = table === null ? null : rowOf(place, table);
    return row === null ? [] : [row];
  });
}
