/** Which verdicts of a comparison change with the order of axes: the same comparison with the angles of another order in the place of the main ones. */
import type { OrderedRotation } from '../model/analysisPlan.ts';
import type { Verdict } from '../model/comparison.ts';
import type { CompareOptions } from '../model/dayPlan.ts';
import {
  ALL_COMPONENTS,
  COMPONENTS,
  type Component,
  type MainAngles,
  mainAnglesOf,
  type OrderSensitivity,
  type OrderVerdict,
  placesOf,
} from '../model/orderSensitivity.ts';
import { POSITIONS, type PositionId } from '../model/positions.ts';
import { ANGLE_ORDERS, type AngleOrder, type Quantity } from '../model/quantity.ts';
import type { Cell, SwingRecord } from '../model/swingRecord.ts';
import { angleNear } from '../numeric/eulerAngles.ts';
import { CORRECTION, FAMILIES, judgeFamily } from './families.ts';
import type { MethodChoice } from './methods.ts';
import {
  type Apart,
  holdsRotation,
  isNearSingular,
  mainCells,
  rotationAt,
  sharedFlags,
  takenApart,
} from './orderAngles.ts';
import { interval, type Judgement, judge, reasonOf } from './rows.ts';
import { collectSamples, type Sample } from './samples.ts';
import type { SwingGroup } from './swings.ts';

export interface SensitivityContext {
  readonly group: SwingGroup;
  readonly reference: SwingGroup;
  readonly choice: MethodChoice;
  readonly options: Pick<CompareOptions, 'margins' | 'primary'>;
  /** Those of the comparison itself. */
  readonly judgements: readonly Judgement[];
}

/**
 * A segment or joint in all twelve orders. Each order is judged as if it were the main one: its three angles take the places of the main
 * angles (`placesOf`), with their margins, in their families, everything else staying as it is; what `collectSamples` leaves out is left
 * out here. First and third angles lie within half a turn of their mean over all swings. An angle in whose place the catalogue has
 * no quantity is described, not judged.
 */
export function orderSensitivity(rotation: OrderedRotation, context: SensitivityContext): OrderSensitivity {
  const main = mainAnglesOf(rotation);
  const records = [...context.group.records, ...context.reference.records];
  const base = { rotation, mainOrder: main.order };
  if (!records.some((record) => holdsRotation(record, rotation))) {
    const reason = `the records hold no rotations of ${rotation}; process the day with --order-check ${rotation}`;
    return { ...base, rows: [], reason };
  }
  const swings = records.map((record) => ({ record, cells: mainCells(record, rotation) }));
  const verdicts = new Map<string, Verdict>(
    context.judgements.map((entry) => [keyOf(entry.sample), entry.judged?.verdict ?? 'none']),
  );
  const rows = ANGLE_ORDERS.flatMap((order) => {
    const apart = swings.map(({ record, cells }) => apartAtPositions(record, rotation, order, cells));
    return rowsOf(order, main, swings, apart, verdicts, rotation, context);
  });
  return { ...base, rows: sorted(rows), reason: '' };
}

type Swing = { readonly record: SwingRecord; readonly cells: ReadonlyMap<PositionId, readonly Cell[]> };
type ApartAt = ReadonlyMap<PositionId, Apart>;

const keyOf = ({ quantity, position, basis }: Sample): string => `${quantity.id}@${position}@${basis}`;

function apartAtPositions(
  record: SwingRecord,
  rotation: OrderedRotation,
  order: AngleOrder,
  cells: Swing['cells'],
): ApartAt {
  const out = new Map<PositionId, Apart>();
  for (const position of POSITIONS) {
    if ((cells.get(position) ?? []).some(({ value }) => value === null)) continue;
    const apart = takenApart(rotationAt(record, rotation, position), order);
    if (apart !== null) out.set(position, apart);
  }
  return out;
}

/** What stands in the place of a main angle: the catalogue's quantity, or one that is only described. */
function standIns(main: MainAngles, rotation: OrderedRotation, order: AngleOrder): readonly Quantity[] {
  const model = main.quantities.find((quantity) => quantity !== null) ?? DESCRIBED;
  return ALL_COMPONENTS.map((component) => {
    const quantity = main.quantities[component];
    return { ...(quantity ?? { ...model, id: `${rotation}.${COMPONENTS[component]}` }), order };
  });
}

/** Of a segment that the catalogue has no angle of. */
const DESCRIBED: Quantity = {
  ...mainAnglesOf('thorax').quantities[0]!,
  reading: { kind: 'inclination', segment: 'thorax' },
};

function rowsOf(
  order: AngleOrder,
  main: MainAngles,
  swings: readonly Swing[],
  apart: readonly ApartAt[],
  verdicts: ReadonlyMap<string, Verdict>,
  rotation: OrderedRotation,
  context: SensitivityContext,
): OrderVerdict[] {
  const places = placesOf(order, main.order);
  const quantities = standIns(main, rotation, order);
  const cells = cellsOf(
    order,
    quantities,
    places.map(({ component }) => component),
    swings,
    apart,
  );
  const nGroup = context.group.records.length;
  const side = (from: SwingGroup, first: number): SwingGroup => ({
    ...from,
    records: from.records.map((record, i) => ({ ...record, cells: cells[first + i]! })),
  });
  const samples = collectSamples(side(context.group, 0), side(context.reference, nGroup), context.choice, quantities);
  const entries = judge(samples, context.options, context.choice);
  const judged = judgedInFamilies(entries, main, context.judgements);
  const labels = { group: context.group.label, reference: context.reference.label };
  return entries.map((entry): OrderVerdict => {
    const { sample, group, reference, difference, tests } = entry;
    const position = sample.position as PositionId;
    const place = quantities.findIndex(({ id }) => id === sample.quantity.id);
    const component = ALL_COMPONENTS.find((one) => places[one].component === place)!;
    const inPlaceOf = main.quantities[place as Component]?.id ?? null;
    const { isCounterpart } = places[component];
    const verdict = judged.get(keyOf(sample)) ?? 'none';
    const mainVerdict = inPlaceOf === null ? null : (verdicts.get(keyOf(sample)) ?? 'none');
    const isSettled = verdict !== 'none' && mainVerdict !== null && mainVerdict !== 'none';
    const [low95, high95] = tests === null ? [null, null] : interval(difference, 0.95);
    const compared = group.n > 0 && reference.n > 0;
    return {
      rotation,
      position,
      basis: sample.basis,
      order,
      component,
      inPlaceOf,
      isCounterpart: isCounterpart && inPlaceOf !== null,
      nGroup: group.n,
      nReference: reference.n,
      meanGroup: finite(group.mean),
      meanReference: finite(reference.mean),
      difference: compared ? finite(difference.difference) : null,
      low95,
      high95,
      margin: compared && inPlaceOf !== null ? finite(entry.margin) : null,
      verdict,
      mainVerdict,
      changes: isCounterpart && isSettled ? verdict !== mainVerdict : null,
      nSingular: countSingular(sample, apart),
      reason:
        inPlaceOf === null ? NOT_JUDGED : reasonOf({ ...entry, judged: judgedOrNull(entry, verdict) }, { labels }),
    };
  });
}

const NOT_JUDGED = 'described, not judged: no quantity stands in this place of the main order';

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);

function judgedOrNull(entry: Judgement, verdict: Verdict): Judgement['judged'] {
  return verdict === 'none' ? null : entry.judged;
}

/** The cells of every swing with the angles of the order in place of the main ones. */
function cellsOf(
  order: AngleOrder,
  quantities: readonly Quantity[],
  placeOfComponent: readonly Component[],
  swings: readonly Swing[],
  apart: readonly ApartAt[],
): Cell[][] {
  const out: Cell[][] = swings.map(() => []);
  for (const position of POSITIONS) {
    for (const component of ALL_COMPONENTS) {
      const mean = meanDirection(apart.flatMap((at) => at.get(position)?.angles[component] ?? []));
      const quantity = quantities[placeOfComponent[component]!]!;
      swings.forEach(({ cells }, i) => {
        const main = cells.get(position) ?? [];
        const found = apart[i]!.get(position);
        if (main.length === 0 && found === undefined) return;
        const lost = main.find(({ value }) => value === null)?.why ?? null;
        const base = { quantity: quantity.id, position, plusMinus: null, order, unit: 'deg' as const };
        const flags = [
          ...sharedFlags(main),
          ...(found !== undefined && isNearSingular(found) ? ['near-singular'] : []),
        ];
        out[i]!.push(
          found === undefined
            ? { ...base, value: null, flags, why: lost ?? { code: 'rotation-missing', needed: 'the rotation' } }
            : { ...base, value: angleNear(found.angles[component], mean), flags, why: null },
        );
      });
    }
  }
  return out;
}

/** Direction of the sum of unit vectors at the angles; 0 of none. */
function meanDirection(angles: readonly number[]): number {
  const x = angles.reduce((sum, angle) => sum + Math.cos(angle), 0);
  const y = angles.reduce((sum, angle) => sum + Math.sin(angle), 0);
  return Math.atan2(y, x);
}

/** Verdicts where the entries stand in the families of the comparison in place of those with the same key. */
function judgedInFamilies(
  entries: readonly Judgement[],
  main: MainAngles,
  judgements: readonly Judgement[],
): ReadonlyMap<string, Verdict> {
  const judgedIds = new Set(main.quantities.map((quantity) => quantity?.id));
  const fresh = entries.filter(({ sample }) => judgedIds.has(sample.quantity.id));
  const replaced = new Set(fresh.map(({ sample }) => keyOf(sample)));
  const others = judgements.filter(({ sample }) => !replaced.has(keyOf(sample)));
  const out = new Map<string, Verdict>();
  for (const family of FAMILIES) {
    const own = fresh.filter((entry) => entry.family === family);
    if (own.length === 0) continue;
    const all = [...own, ...others.filter((entry) => entry.family === family)];
    const results = judgeFamily(
      all.map(({ tests }) => tests!),
      CORRECTION[family],
    );
    own.forEach(({ sample }, i) => {
      out.set(keyOf(sample), results[i]!.verdict);
    });
  }
  return out;
}

/** Swings with a value that are near the singular position, of a change also those that are near it at P1. */
function countSingular({ values, position, basis }: Sample, apart: readonly ApartAt[]): number {
  const at = basis === 'change' ? ([position, 'P1'] as const) : ([position] as const);
  return apart.filter((one, i) => {
    const isNear = (place: PositionId | 'swing'): boolean => {
      const found = place === 'swing' ? undefined : one.get(place);
      return found !== undefined && isNearSingular(found);
    };
    return !Number.isNaN(values[i]!) && at.some(isNear);
  }).length;
}

function sorted(rows: readonly OrderVerdict[]): readonly OrderVerdict[] {
  const rank = (row: OrderVerdict): number =>
    ((ANGLE_ORDERS.indexOf(row.order) * POSITIONS.length + POSITIONS.indexOf(row.position)) * 2 +
      (row.basis === 'value' ? 0 : 1)) *
      3 +
    row.component;
  return [...rows].sort((a, b) => rank(a) - rank(b));
}
