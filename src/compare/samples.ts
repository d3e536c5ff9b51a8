import { CATALOGUE } from '../model/catalogue.ts';
import type { Basis } from '../model/comparison.ts';
import { FIGURES_OF_ANY_POINT } from '../model/delivery.ts';
import { POSITIONS, type PositionId } from '../model/positions.ts';
import type { AngleOrder, Quantity } from '../model/quantity.ts';
import type { Cell, SwingRecord } from '../model/swingRecord.ts';
import { fromDisplay, toDisplay } from '../model/units.ts';
import { angleNear } from '../numeric/eulerAngles.ts';
import { calibrationOf } from './calibrationOf.ts';
import { chooseHeadPoint, type MethodChoice, methodClass, positionsBehind } from './methods.ts';
import { ofOneRule } from './oneRule.ts';
import { compareText, type SwingGroup } from './swings.ts';

/** From records to samples: one array of values per quantity, position and basis. */

/** What is needed of a quantity once its values are read; of a table measured elsewhere a column takes its place. */
export type Sampled = Pick<Quantity, 'id' | 'unit' | 'margin' | 'order'> & {
  readonly reading: Quantity['reading'] | { readonly kind: 'column' };
};

export interface Sample {
  readonly quantity: Sampled;
  readonly position: PositionId | 'swing';
  readonly basis: Basis;
  readonly order: AngleOrder | null;
  /** Display units; the group's swings, then the reference's; NaN where a swing is left out. */
  readonly values: Float64Array;
  readonly nGroup: number;
  readonly flags: readonly string[];
  /** Why swings were left out, with counts, or ''. */
  readonly leftOut: string;
  /** Why the two groups may not be compared in this quantity, or ''. */
  readonly refused: string;
}

interface Value {
  readonly value: number;
  readonly flags: readonly string[];
  readonly order: AngleOrder | null;
  readonly rule?: string | undefined;
}

/** Where the cell of a quantity at a position stands among the cells of a record. Records of one day mostly have theirs at the same places. */
class CellIndex {
  readonly #cells: readonly Cell[];
  #places: ReadonlyMap<string, number> | null = null;

  constructor({ cells }: SwingRecord) {
    this.#cells = cells;
  }

  /** −1 where there is none; `likely` is looked at first. */
  find(quantity: string, position: PositionId | 'swing', likely: number): number {
    const there = this.#cells[likely];
    if (there !== undefined && there.quantity === quantity && there.position === position) return likely;
    this.#places ??= new Map(this.#cells.map((cell, i) => [`${cell.quantity}@${cell.position}`, i]));
    return this.#places.get(`${quantity}@${position}`) ?? -1;
  }

  at(place: number): Cell | undefined {
    return this.#cells[place];
  }
}

/** The flags of a position in one swing, or the cause why what rests on it is left out. */
function standingOf(record: SwingRecord, position: PositionId, choice: MethodChoice): readonly string[] | string {
  const wanted = choice.methods[position];
  const found = methodClass(record, position);
  const moment = record.moments[position];
  if (found === null || moment?.found === false) {
    return `${position} not found (needs ${moment?.found === false ? moment.why.needed : 'a moment'})`;
  }
  if (found !== wanted) return `${position} found by ${found}, not by ${wanted ?? 'any'}`;
  return moment?.flags ?? [];
}

/** A swing with what is looked up in it again and again. */
interface Indexed {
  readonly record: SwingRecord;
  readonly cells: CellIndex;
  readonly standing: Readonly<Record<PositionId, readonly string[] | string>>;
}

function indexSwing(record: SwingRecord, choice: MethodChoice): Indexed {
  const standing = Object.fromEntries(POSITIONS.map((position) => [position, standingOf(record, position, choice)]));
  return { record, cells: new CellIndex(record), standing: standing as Indexed['standing'] };
}

const NO_FLAGS: readonly string[] = [];

/** The value of one swing, or the cause why it is left out. `cell` and `behind` are of the quantity at the position. */
function readValue(
  { record, standing }: Indexed,
  quantity: Quantity,
  cell: Cell | undefined,
  behind: readonly PositionId[],
  headPoint: string | null,
): Value | string {
  let flags = NO_FLAGS;
  for (const position of behind) {
    const stands = standing[position];
    if (typeof stands === 'string') return stands;
    if (stands.length > 0) flags = [...flags, ...stands];
  }
  if (cell === undefined) return 'not in the record';
  if (cell.value === null || !Number.isFinite(cell.value)) {
    return cell.why === null ? 'no value' : `needs ${cell.why.needed}`;
  }
  if (isOfHeadPoint(quantity) && headPoint !== null && record.headPoint?.id !== headPoint) {
    return `head point is ${record.headPoint?.id ?? 'not known'}, not ${headPoint}`;
  }
  if (cell.flags.length > 0) flags = [...flags, ...cell.flags];
  return { value: toDisplay(cell.value, quantity.unit), flags, order: cell.order, rule: cell.rule };
}

/** Whether another point of the same club would read otherwise. */
function isOfHeadPoint({ reading }: Quantity): boolean {
  return reading.kind === 'club' && !FIGURES_OF_ANY_POINT.has(reading.figure);
}

/** Causes with how many of the group's and of the reference's swings each left out. */
class LeftOut {
  readonly #causes = new Map<string, [number, number]>();

  add(cause: string, inGroup: boolean): void {
    const counts = this.#causes.get(cause) ?? [0, 0];
    counts[inGroup ? 0 : 1] += 1;
    this.#causes.set(cause, counts);
  }

  text(group: SwingGroup, reference: SwingGroup): string {
    const of = (n: number, side: SwingGroup): string[] =>
      n === 0 ? [] : [`${n} of ${side.records.length} ${side.label}`];
    return [...this.#causes]
      .map(([cause, [a, b]]) => `${[...of(a, group), ...of(b, reference)].join(' and ')} left out: ${cause}`)
      .join('; ');
  }
}

function sampleOf(
  group: SwingGroup,
  reference: SwingGroup,
  base: Pick<Sample, 'quantity' | 'position' | 'basis' | 'refused'>,
  read: (swing: number) => Value | string,
): Sample {
  const nGroup = group.records.length;
  const values = new Float64Array(nGroup + reference.records.length).fill(Number.NaN);
  const leftOut = new LeftOut();
  const flags = new Set<string>();
  let order: AngleOrder | null = base.quantity.order;
  let first = true;
  for (let swing = 0; swing < values.length; swing++) {
    const result = read(swing);
    if (typeof result === 'string') {
      leftOut.add(result, swing < nGroup);
      continue;
    }
    if (first) order = result.order;
    first = false;
    if (result.order !== order) {
      leftOut.add(`angles in order ${result.order ?? 'none'}, not ${order ?? 'none'}`, swing < nGroup);
      continue;
    }
    values[swing] = result.value;
    for (const flag of result.flags) flags.add(flag);
  }
  return {
    ...base,
    order,
    values,
    nGroup,
    flags: [...flags].sort(compareText),
    leftOut: leftOut.text(group, reference),
  };
}

/** Whether any record has a cell of this quantity at this position. */
function isRecorded(swings: readonly Indexed[], quantity: Quantity, position: PositionId | 'swing'): boolean {
  return swings.some(({ cells }) => cells.find(quantity.id, position, -1) >= 0);
}

function hasMixedHeadPoints(side: SwingGroup): boolean {
  return new Set(side.records.flatMap(({ headPoint }) => (headPoint === null ? [] : [headPoint.id]))).size > 1;
}

/** A head zeroed at P1 has no values of its own (definitions 1): only its changes since P1 are compared. */
function asValue(result: Value | string): Value | string {
  if (typeof result === 'string' || !result.flags.includes('zeroed-at-P1')) return result;
  return 'no static trial zeroes the head: only its change since P1 is compared';
}

const ZERO_AT_P1 = 'zero by definition: headings of the sensors are zero at P1';

/**
 * Whether the headings of the swing's sensors make the quantity zero at P1, whatever the player does: the turn of a segment whose heading is
 * zeroed by itself, and of the pelvis where all headings are turned alike.
 */
function isZeroAtP1({ reading }: Quantity, record: SwingRecord): boolean {
  const headings = calibrationOf(record.datum.id, null)?.headings;
  if (record.head.source !== 'sensors' || headings === undefined) return false;
  if (reading.kind === 'turn-difference') return headings === 'address';
  const isTurn = reading.kind === 'orientation' && reading.order === 'YXZ' && reading.component === 0;
  return isTurn && (headings === 'address' || reading.segment === 'pelvis');
}

/** A direction of a lean means nothing while the body is nearly upright. */
function asDirection(result: Value | string): Value | string {
  if (typeof result === 'string' || !result.flags.includes('near-singular')) return result;
  return 'nearly upright: the direction of a lean means nothing there';
}

/** Directions in degrees on the branch nearest their mean direction, so that those on both sides of ±180° lie together. */
function onOneBranch(results: readonly (Value | string)[]): (Value | string)[] {
  let x = 0;
  let y = 0;
  for (const result of results) {
    if (typeof result === 'string') continue;
    const angle = fromDisplay(result.value, 'deg');
    x += Math.cos(angle);
    y += Math.sin(angle);
  }
  const mean = Math.atan2(y, x);
  return results.map((result) =>
    typeof result === 'string'
      ? result
      : { ...result, value: toDisplay(angleNear(fromDisplay(result.value, 'deg'), mean), 'deg') },
  );
}

/** What stands in for P4 is tabulated, the other top is not; a quantity without any cell is not either. */
function isTabulated(position: PositionId | 'swing', choice: MethodChoice): boolean {
  return (position !== 'P4' && position !== 'P4(arm)') || position === choice.top;
}

/**
 * All samples of a comparison in the order of the catalogue, each position's value followed by its change since P1 where the catalogue
 * asks for it; `quantities`: others than those of the catalogue. A change is of one swing: its value less its own value at P1, and both positions must be found by the chosen methods.
 * Values of a head zeroed at P1 are left out, its changes are not; so are directions of a lean while nearly upright.
 */
export function collectSamples(
  group: SwingGroup,
  reference: SwingGroup,
  choice: MethodChoice,
  quantities: readonly Quantity[] = CATALOGUE,
): Sample[] {
  const records = [...group.records, ...reference.records];
  const swings = records.map((record) => indexSwing(record, choice));
  const headPoint = chooseHeadPoint(group, reference);
  const samples: Sample[] = [];
  for (const quantity of quantities) {
    const refused =
      isOfHeadPoint(quantity) && headPoint === null
        ? 'the clubs share no head point: figures of different points of the head are not compared'
        : '';
    const mixed = refused === '' ? [] : [group, reference].filter(hasMixedHeadPoints);
    const isDirection = quantity.reading.kind === 'inclination-direction';
    const readAll = (position: PositionId | 'swing'): (Value | string)[] => {
      const behind = positionsBehind(quantity, position);
      let place = -1;
      return swings.map((swing, i) => {
        const side = i < group.records.length ? group : reference;
        if (mixed.includes(side)) return `head points differ among the ${side.label}`;
        const found = swing.cells.find(quantity.id, position, place);
        if (found >= 0) place = found;
        const result = readValue(swing, quantity, swing.cells.at(found), behind, headPoint);
        return isDirection ? asDirection(result) : result;
      });
    };
    const settled = isDirection ? onOneBranch : (results: readonly (Value | string)[]) => results;
    const positions: readonly (PositionId | 'swing')[] = quantity.at === 'swing' ? ['swing'] : quantity.at;
    const atP1 = quantity.change ? readAll('P1') : [];
    for (const position of positions) {
      if (!isTabulated(position, choice) || !isRecorded(swings, quantity, position)) continue;
      const here = ofOneRule(readAll(position), group.records.length);
      const shown = here.map((value, swing) =>
        position === 'P1' && typeof value !== 'string' && isZeroAtP1(quantity, records[swing]!) ? ZERO_AT_P1 : value,
      );
      const values = settled(shown.map(asValue));
      samples.push(
        sampleOf(group, reference, { quantity, position, basis: 'value', refused }, (swing) => values[swing]!),
      );
      if (!quantity.change || position === 'P1' || position === 'swing') continue;
      const changes = settled(
        here.map((now, swing): Value | string => {
          const start = atP1[swing]!;
          if (typeof now === 'string') return now;
          if (typeof start === 'string') return `change since P1: ${start.startsWith('P1') ? start : `P1 ${start}`}`;
          return { value: now.value - start.value, flags: [...start.flags, ...now.flags], order: now.order };
        }),
      );
      samples.push(
        sampleOf(group, reference, { quantity, position, basis: 'change', refused }, (swing) => changes[swing]!),
      );
    }
  }
  return samples;
}
