/** Swings that stand apart from the others of their group: pointed out, never dropped. */
import { quantityById } from '../model/catalogue.ts';
import type { Departing, Outlying } from '../model/outlying.ts';
import type { Quantity } from '../model/quantity.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import { toDisplay } from '../model/units.ts';
import { mean, median } from '../numeric/statistics.ts';
import { marginOf, marginSetting } from './margins.ts';
import { FEWEST_SWINGS } from './methods.ts';
import { present, robustDistances } from './robustDistance.ts';
import { compareText, datumOf, partsBy } from './swings.ts';

/** Without P1, or without the shaft and P5.5 with it, nine of the twelve are left; of fewer the limits below do not hold. */
const FEWEST_VALUES = 9;
/** Values that are named of an outlying swing. */
const MOST_NAMED = 3;

/**
 * Distances that the farthest swing of a clean group passes in at most one group of twenty, by the number of swings from 5 on (of more
 * than 12 the last): the largest 95 % quantile over normal swings of 9 and 12 values, independent, correlated up to 0.9, and with
 * spreads unlike by a factor of six (2,500 seeded groups each; tests/long/outliers.test.ts counts again).
 */
const LIMITS = [4, 3.1, 3.1, 2.7, 2.7, 2.65, 2.65, 2.65] as const;

export function outlyingLimit(swings: number): number {
  if (swings < FEWEST_SWINGS) throw new RangeError(`a group has ${FEWEST_SWINGS} swings or more, not ${swings}`);
  return LIMITS[Math.min(swings - FEWEST_SWINGS, LIMITS.length - 1)]!;
}

/**
 * By trial id, the swings of a player that lie farther from the middle of their group than a clean group would let one expect, and beyond
 * the margin in a value at least. A group is the player's swings of one kind of club, set and zero of the angles, five or more; the values
 * are the primary ones, each held by five swings or more. `primary` as `quantity@position`; `margins` of the day file, display units.
 */
export function outlyingSwings(
  records: readonly SwingRecord[],
  primary: readonly string[],
  margins: Readonly<Record<string, number>>,
): ReadonlyMap<string, Outlying> {
  const swings = records
    .filter(({ head }) => head.role === 'swing')
    .sort((a, b) => compareText(a.head.trial, b.head.trial));
  const out = new Map<string, Outlying>();
  for (const part of partsBy(swings.map(groupKey)).values()) {
    if (part.length < FEWEST_SWINGS) continue;
    const group = part.map((index) => swings[index]!);
    for (const [trial, outlying] of outlyingOf(group, primary, margins)) out.set(trial, outlying);
  }
  return out;
}

function groupKey(record: SwingRecord): string {
  const { player, kind, set } = record.head;
  return JSON.stringify([player, kind, set, datumOf(record)]);
}

/** One primary value over the swings of a group, display units. */
interface Column {
  readonly quantity: Quantity;
  readonly position: Departing['position'];
  readonly values: Float64Array;
  readonly margin: number;
}

function outlyingOf(
  group: readonly SwingRecord[],
  primary: readonly string[],
  margins: Readonly<Record<string, number>>,
): readonly (readonly [string, Outlying])[] {
  const columns = primary.flatMap((key) => columnOf(group, key, margins));
  if (columns.length < FEWEST_VALUES) return [];
  const distances = robustDistances(
    columns.map(({ values }) => values),
    columns.map(({ margin }) => margin),
  );
  const limit = outlyingLimit(group.length);
  return group.flatMap(({ head }, swing): [string, Outlying][] => {
    const distance = distances[swing]!;
    const values = distance > limit ? departingValues(columns, swing) : [];
    const name = [head.kind ?? '', head.set === '' ? '' : `set ${head.set}`].filter((text) => text !== '').join(', ');
    return values.length === 0 ? [] : [[head.trial, { group: name, swings: group.length, distance, limit, values }]];
  });
}

function columnOf(
  group: readonly SwingRecord[],
  key: string,
  margins: Readonly<Record<string, number>>,
): readonly Column[] {
  const at = key.indexOf('@');
  const quantity = quantityById(key.slice(0, at));
  const position = key.slice(at + 1) as Column['position'];
  const values = Float64Array.from(group, ({ cells }) => {
    const cell = cells.find((one) => one.quantity === quantity.id && one.position === position);
    return cell?.value == null ? Number.NaN : toDisplay(cell.value, quantity.unit);
  });
  const own = present(values);
  if (own.length < FEWEST_SWINGS) return [];
  const margin = marginOf(marginSetting(quantity, margins), mean(own), mean(own));
  return margin > 0 ? [{ quantity, position, values, margin }] : [];
}

/** What of a swing lies beyond its margin from the median, the largest in margins first. */
function departingValues(columns: readonly Column[], swing: number): readonly Departing[] {
  return columns
    .map(({ quantity, position, values, margin }) => {
      const deviation = values[swing]! - median(present(values));
      return {
        quantity: quantity.id,
        position,
        unit: quantity.unit,
        deviation,
        inMargins: Math.abs(deviation) / margin,
      };
    })
    .filter(({ inMargins }) => inMargins > 1)
    .sort((a, b) => b.inMargins - a.inMargins)
    .slice(0, MOST_NAMED)
    .map(({ inMargins: _inMargins, ...departing }) => departing);
}
