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

/** Values of one player's swings by `quantity@position`, in the order of the trials. */
type Values = ReadonlyMap<string, readonly number[]>;

function valuesOf(records: readonly SwingRecord[]): Values {
  const values = new Map<string, number[]>();
  for (const { cells } of records) {
    for (const { quantity, position, value, unit, flags } of cells) {
      if (value === null || !Number.isFinite(value) || flags.includes('near-singular')) continue;
      const key = `${quantity}@${position}`;
      const list = values.get(key) ?? [];
      values.set(key, list);
      list.push(toDisplay(value, unit));
    }
  }
  return values;
}

/** Table of players by swings: as many swings as the player with the fewest has, of those with two or more. */
function tableOf(players: readonly Values[], key: string): number[][] | null {
  const lists = players.flatMap((values) => {
    const list = values.get(key);
    return list === undefined || list.length < FEWEST_SWINGS_EACH ? [] : [list];
  });
  if (lists.length < FEWEST_PLAYERS) return null;
  const k = Math.min(...lists.map(({ length }) => length));
  return lists.map((list) => list.slice(0, k));
}

function rowOf(
  quantity: Quantity,
  position: PositionId | 'swing',
  table: readonly (readonly number[])[],
): RepeatabilityRow | null {
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
 * Rows in the order of the catalogue, for quantities that three players or more have in two iron swings each. Swings of markers alone; a
 * direction of a lean is no number to average and is left out. The result does not depend on the order of the records.
 */
export function repeatabilityRows(records: readonly SwingRecord[]): RepeatabilityRow[] {
  const irons = records
    .filter(({ head }) => head.source !== 'sensors' && head.role === 'swing' && head.kind === 'iron')
    .sort((a, b) => a.head.order - b.head.order || compareText(a.head.trial, b.head.trial));
  const players = [...partsBy(irons.map(({ head }) => head.player))]
    .sort(([a], [b]) => compareText(a, b))
    .map(([, swings]) => valuesOf(swings.map((i) => irons[i]!)));
  if (players.length < FEWEST_PLAYERS) return [];
  return CATALOGUE.filter(({ reading }) => reading.kind !== 'inclination-direction').flatMap((quantity) => {
    const positions: readonly (PositionId | 'swing')[] = quantity.at === 'swing' ? ['swing'] : quantity.at;
    return positions.flatMap((position) => {
      const table = tableOf(players, `${quantity.id}@${position}`);
      const row = table === null ? null : rowOf(quantity, position, table);
      return row === null ? [] : [row];
    });
  });
}
