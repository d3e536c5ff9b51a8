/** Segments and joints in all twelve orders of axes: their angles, and what the order does to the verdicts. Written with --order-check. */
import { compareCodeUnits } from '../base/text.ts';
import type { PlayerComparison } from '../model/comparison.ts';
import { COMPONENTS, type Component, type OrderAngles, type OrderVerdict } from '../model/orderSensitivity.ts';
import { toDisplay } from '../model/units.ts';
import { type Column, numberColumn, type Table, textColumn } from './csv.ts';

function angle<R>(name: string, meaning: string, read: (row: R) => number | null): Column<R> {
  return numberColumn(name, 'deg', meaning, read, 3);
}

function angleOf(component: Component): Column<OrderAngles> {
  const ordinal = COMPONENTS[component];
  const range = component === 1 ? '−90 to 90, or 0 to 180 where first and third axis are the same' : '−180 to 180';
  return angle(ordinal, `${ordinal} angle, raw: ${range}`, ({ angles }) =>
    angles === null ? null : toDisplay(angles[component], 'deg'),
  );
}

const SEGMENT = 'segment against the player frame, or joint, distal against proximal segment';
const ORDER = 'axis order of the angles, in the axes of the segment';

export const ORDERS: Table<OrderAngles> = {
  name: 'orders',
  about:
    'One segment or joint at one position of one swing in one of the twelve orders of axes; written with --order-check.',
  columns: [
    textColumn('player', 'id of the player', ({ head }) => head.player),
    textColumn('club', 'id of the club', ({ head }) => head.club),
    textColumn('kind', 'kind of the club: driver, wood, hybrid, iron, wedge, putter', ({ head }) => head.kind),
    textColumn('set', 'set the swing belongs to', ({ head }) => head.set),
    textColumn('trial', 'id of the trial', ({ head }) => head.trial),
    textColumn('segment', SEGMENT, ({ rotation }) => rotation),
    textColumn('position', 'position of the swing', ({ position }) => position),
    textColumn('order', ORDER, ({ order }) => order),
    angleOf(0),
    angleOf(1),
    angleOf(2),
    angle('singular_distance', 'of the second angle from the singular position of the order', ({ singularDistance }) =>
      singularDistance === null ? null : toDisplay(singularDistance, 'deg'),
    ),
    textColumn('flags', 'near-singular within 10 degrees of it; doubts as in angles.csv; joined by ;', ({ flags }) =>
      flags.join(';'),
    ),
  ],
};

export interface OrderVerdictRow {
  readonly of: PlayerComparison;
  readonly mainOrder: string;
  readonly verdict: OrderVerdict;
}

const ofVerdict = (name: string, meaning: string, read: (verdict: OrderVerdict) => number | null) =>
  angle<OrderVerdictRow>(name, meaning, ({ verdict }) => read(verdict));

const text = (name: string, meaning: string, read: (verdict: OrderVerdict) => string | null) =>
  textColumn<OrderVerdictRow>(name, meaning, ({ verdict }) => read(verdict));

const count = (name: string, meaning: string, read: (verdict: OrderVerdict) => number) =>
  numberColumn<OrderVerdictRow>(name, 'swings', meaning, ({ verdict }) => read(verdict), 0);

export const ORDER_VERDICTS: Table<OrderVerdictRow> = {
  name: 'order_verdicts',
  about:
    'One angle of one order of axes at one position, judged as if its order were the main one, beside the verdict of the main order; written with --order-check.',
  columns: [
    textColumn('player', 'id of the player', ({ of }) => of.player),
    textColumn('group', 'what is compared', ({ of }) => of.group.label),
    textColumn('reference', 'with what', ({ of }) => of.reference.label),
    text('segment', SEGMENT, ({ rotation }) => rotation),
    text('position', 'position of the swing', ({ position }) => position),
    text('basis', 'value, or change since P1', ({ basis }) => basis),
    text('order', ORDER, ({ order }) => order),
    text('component', 'first, second or third angle of the order', ({ component }) => COMPONENTS[component]),
    text('axis', 'axis of the segment it turns about', ({ order, component }) => order[component] ?? null),
    count('n_group', 'swings of the group with a value', ({ nGroup }) => nGroup),
    count('n_reference', 'swings of the reference with a value', ({ nReference }) => nReference),
    ofVerdict('mean_group', 'mean of the group, raw angle', ({ meanGroup }) => meanGroup),
    ofVerdict('mean_reference', 'mean of the reference', ({ meanReference }) => meanReference),
    ofVerdict('difference', 'mean of the group − mean of the reference', ({ difference }) => difference),
    ofVerdict('low95', 'lower end of the 95 % interval of the difference', ({ low95 }) => low95),
    ofVerdict('high95', 'its upper end', ({ high95 }) => high95),
    ofVerdict(
      'margin',
      'largest difference without meaning: that of the quantity whose place it takes',
      (row) => row.margin,
    ),
    text(
      'verdict',
      'departs, matches, differs-slightly, undecided, none: with this order as the main one',
      ({ verdict }) => verdict,
    ),
    textColumn('main_order', 'order of the main quantities of the segment or joint', ({ mainOrder }) => mainOrder),
    text('in_place_of', 'main quantity whose place it takes; empty: not judged', ({ inPlaceOf }) => inPlaceOf),
    text('main_verdict', 'verdict of that quantity (comparison.csv)', ({ mainVerdict }) => mainVerdict),
    text(
      'changes',
      'yes where the two verdicts differ, no where they do not; empty where they are no counterparts or one is none',
      ({ changes }) => (changes === null ? null : changes ? 'yes' : 'no'),
    ),
    count(
      'near_singular',
      'swings within 10 degrees of the singular position of the order',
      ({ nSingular }) => nSingular,
    ),
    text('reason', 'why there is no verdict, or how many swings lacked the value', ({ reason }) => reason),
  ],
};

/** Rows of every comparison, by segment or joint as asked for, then by order, position, basis and component. */
export function* orderVerdictRows(comparisons: readonly PlayerComparison[]): Generator<OrderVerdictRow> {
  for (const of of [...comparisons].sort((a, b) => compareCodeUnits(a.player, b.player))) {
    for (const { mainOrder, rows } of of.orderChecks ?? []) {
      for (const verdict of rows) yield { of, mainOrder, verdict };
    }
  }
}
