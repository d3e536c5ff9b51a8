/** From a motion and its positions to the table of a swing: quantities at positions, curves, figures, poses. */

import type { Outcome } from '../base/diagnostics.ts';
import type { OrderedRotation } from '../model/analysisPlan.ts';
import type { AngleSet } from '../model/angles.ts';
import type { Avail, Missing } from '../model/availability.ts';
import type { ClubFigures, FoundPositions } from '../model/delivery.ts';
import { jointOf } from '../model/joints.ts';
import { isLimb, type Motion, POINTS, type SegmentId } from '../model/motion.ts';
import type { OrderOfMotion } from '../model/orderOfMotion.ts';
import { POSITIONS, type PositionId } from '../model/positions.ts';
import type { AngleOrder, Quantity, Reading } from '../model/quantity.ts';
import { type Cell, CURVE_STEPS, type CurveRecord, type Figure, type SwingRecord } from '../model/swingRecord.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { curveBase } from './shared/curveBase.ts';
import { displacementValues } from './shared/displacement.ts';
import { headZeroedAtP1 } from './shared/headZero.ts';
import { type MotionView, pointAt, viewAtTimes, viewOfMotion } from './shared/motionView.ts';
import { orderCell } from './shared/orderCells.ts';
import { createPlacedReader, isPlacedReading, type PlacedReader, ruleOf } from './shared/placedReadings.ts';
import { createReader, isMotionReading, isRead, isUnwrapped, type ReadValues } from './shared/readSeries.ts';
import { type PositionSample, type SamplePlan, samplePlan } from './shared/sampling.ts';
import { fillFlags, tracksBehind, tracksBehindRotation } from './shared/sources.ts';
import { swingCell } from './shared/swingCells.ts';
import { targetRule } from './shared/targetRule.ts';
import { continuousFromP1 } from './shared/unwrapping.ts';
import { createReadingSpread, type ReadingSpread } from './spread/readingSpread.ts';

/** The parts of a record that are read from the motion. Everything owns its memory. */
export type SwingReadings = Pick<SwingRecord, 'cells' | 'curveBase' | 'curves' | 'figures' | 'poses'>;

export interface ReadingInput {
  readonly motion: Motion;
  readonly angles: AngleSet;
  readonly found: FoundPositions;
  readonly club: ClubFigures;
  readonly order: OrderOfMotion;
}

const FIGURE_POSITIONS: readonly PositionId[] = ['P1', 'P4', 'P5.5', 'P7'];
const COMPONENTS = ['first', 'second', 'third'] as const;
/** A quantity that is read at samples of the swing, whether a row of the catalogue or an extra order. */
interface Row {
  readonly id: string;
  readonly order: Quantity['order'];
  readonly unit: Quantity['unit'];
  readonly at: readonly PositionId[];
  readonly values: Avail<ReadValues>;
  readonly tracks: ReturnType<typeof tracksBehind>;
  /** What its ± is worked out from, and in which view. */
  readonly reading: Reading;
  readonly view: MotionView;
  readonly sinceP1: boolean;
  readonly flags: readonly string[];
  readonly curve: boolean;
  /** As in Cell. */
  readonly rule?: string | undefined;
  readonly lack?: string | undefined;
}

/**
 * Reads every row of the catalogue at every position, with reasons where it cannot be had. At an instant: rotations through six points
 * in the tangent space, points by the quintic; at P1 and P10 the mean over the moment's window. Displacements are from P1.
 * Turns are continuous from P1; without P1 from the first frame there is, on the branch nearest 0, flagged `unwrapped-without-P1`.
 * `plusMinus` is the noise part of each (`createReadingSpread`).
 * Of sensors the headings are zero at P1 (`zeroHeadings`): what rests on them is missing without P1, and there are no figures.
 * Flags: `target-assumed` (sensors: `heading-zeroed-at-P1`), `near-singular`, `filled`, `rebuilt`, `zeroed-at-P1`, and those of the moment.
 */
export function readQuantities(
  input: ReadingInput,
  catalogue: readonly Quantity[],
  ws: Workspace,
): Outcome<SwingReadings> {
  const { motion, found, club } = input;
  const base = curveBase(found.moments);
  const plan = samplePlan(found.moments, base, motion.clock);
  const full = { ...viewOfMotion(motion, ws), rate: (segment: SegmentId) => input.angles.rates.get(segment)! };
  const view = viewAtTimes(motion, full, plan.times, ws, neededPoses(catalogue, plan));
  const placed = createPlacedReader(motion, plan, ws);
  const rows = rowsOf(input, catalogue, view, plan, placed, ws);
  const spread = createReadingSpread({ motion, view, p1: plan.positions.get('P1') ?? null }, ws);
  const target = targetRule(motion, plan.positions.has('P1'));
  const cells: Cell[] = [];
  for (const row of rows) {
    for (const position of row.at) {
      const moment = found.moments.get(position);
      if (moment === undefined && position === 'P4(arm)') continue;
      cells.push(cellOf(row, position, plan.positions.get(position) ?? null, spread, input));
    }
  }
  for (const quantity of catalogue) {
    if (quantity.at !== 'swing') continue;
    cells.push(orderCell(quantity, input.order) ?? swingCell(quantity, found.moments, club, target.isAssumed));
  }
  return {
    value: {
      cells,
      curveBase: base,
      curves: rows.filter((row) => row.curve).map((row) => curveOf(row, plan)),
      figures: figuresOf(motion, found, plan),
      poses: posesOf(view, plan),
    },
    diagnostics: placed.diagnostics,
  };
}

/** Rotations of the trunk are looked at everywhere, those of limbs at the positions and, where a row has a curve, on its time base. */
function neededPoses(
  catalogue: readonly Quantity[],
  plan: SamplePlan,
): (segment: SegmentId, sample: number) => boolean {
  const positions = new Set([...plan.positions.values()].map(({ at }) => at));
  const onCurves = new Set<SegmentId>();
  for (const { curve, reading } of catalogue) {
    if (curve && reading.kind === 'joint') onCurves.add(reading.proximal).add(reading.distal);
  }
  return (segment, sample) =>
    !isLimb(segment) || positions.has(sample) || (sample >= plan.curve && onCurves.has(segment));
}

function rowsOf(
  { motion, angles }: ReadingInput,
  catalogue: readonly Quantity[],
  view: MotionView,
  plan: SamplePlan,
  placed: PlacedReader,
  ws: Workspace,
): Row[] {
  const p1 = plan.positions.get('P1') ?? null;
  const zeroAtP1 = motion.headZeroed === false;
  const plain = createReader(view, ws);
  const zeroed = zeroAtP1 ? headZeroedAtP1(view, p1?.at ?? null, ws) : null;
  const onHead = zeroed === null ? plain : createReader(zeroed.head, ws);
  const onNeck = zeroed === null ? plain : createReader(zeroed.neck, ws);
  const viewed = (isJoint: boolean, flags: readonly string[]): MotionView =>
    zeroed === null || !flags.includes('zeroed-at-P1') ? view : isJoint ? zeroed.neck : zeroed.head;
  const target = targetRule(motion, p1 !== null);
  const rows: Row[] = [];
  for (const quantity of catalogue) {
    const { id, order, unit, at, reading } = quantity;
    if (at === 'swing' || !isRead(quantity, motion)) continue;
    const tracks = tracksBehind(reading, motion);
    const flags = target.flags(quantity);
    let sinceP1 = false;
    let values: Avail<ReadValues>;
    let rule: string | undefined;
    let lack: string | undefined;
    if (isMotionReading(reading)) {
      const usesHead = tracks.length > 0 && tracks.includes(motion.poses.get('head')!);
      const isJoint = reading.kind === 'joint';
      values = (usesHead ? (isJoint ? onNeck : onHead) : plain).read(reading);
      if (usesHead && zeroAtP1) {
        flags.push('zeroed-at-P1');
        sinceP1 = true;
      }
      if (values.ok && isUnwrapped(reading) && !(usesHead && zeroAtP1)) {
        const series = angles.series.get(id);
        if (series?.ok === true) {
          values = { ok: true, value: continuousFromP1(values.value, series.value.values, plan, p1, ws) };
        }
        if (p1 === null) flags.push('unwrapped-without-P1');
      }
    } else if (reading.kind === 'displacement') {
      values = displacementValues(view, reading, p1, motion.height_m, ws);
      ({ rule } = ruleOf(motion, reading.point));
      sinceP1 = true;
    } else if (isPlacedReading(reading)) {
      const read = placed.read(reading);
      ({ values, rule, lack } = read);
      flags.push(...read.flags);
    } else continue;
    values = target.missing(quantity) ?? values;
    const seen = viewed(reading.kind === 'joint', flags);
    rows.push({
      id,
      order,
      unit,
      at,
      values,
      tracks,
      reading,
      view: seen,
      sinceP1,
      flags,
      curve: quantity.curve,
      rule,
      lack,
    });
  }
  for (const series of extraOrders(angles)) {
    const { rotation, order, which } = series;
    const tracks = tracksBehindRotation(rotation, motion);
    const usesHead = rotation === 'head' || rotation === 'neck';
    const read = (rotation === 'head' ? onHead : rotation === 'neck' ? onNeck : plain).ordered(rotation, order);
    const flags = target.flagsOfRotation(rotation);
    if (usesHead && zeroAtP1) flags.push('zeroed-at-P1');
    let values: Avail<ReadValues> =
      target.missingRotation() ?? (read.ok ? { ok: true, value: read.value[which] } : read);
    if (values.ok && series.values !== null && !(usesHead && zeroAtP1)) {
      values = { ok: true, value: continuousFromP1(values.value, series.values, plan, p1, ws) };
    }
    if (p1 === null && values.ok) flags.push('unwrapped-without-P1');
    rows.push({
      id: `${rotation}.${COMPONENTS[which]}`,
      order,
      unit: 'deg',
      at: POSITIONS,
      values,
      tracks,
      reading: readingOf(rotation, order, which),
      view: viewed(rotation === 'neck', flags),
      sinceP1: usesHead && zeroAtP1,
      flags,
      curve: false,
    });
  }
  return rows;
}

/** A component of an extra order as a row of the catalogue would be read. */
function readingOf(rotation: OrderedRotation, order: AngleOrder, component: 0 | 1 | 2): Reading {
  const joint = jointOf(rotation);
  const part = { order, component, sign: 1, unwrap: true } as const;
  return joint === null
    ? { kind: 'orientation', segment: rotation as SegmentId, ...part }
    : { kind: 'joint', ...joint, ...part };
}

function extraOrders(angles: AngleSet) {
  return [...angles.extra.entries()].map(([key, series]) => {
    const [name, order] = key.split(':') as [string, NonNullable<Quantity['order']>];
    const [rotation, component] = name.split('.') as [OrderedRotation, (typeof COMPONENTS)[number]];
    const which = COMPONENTS.indexOf(component) as 0 | 1 | 2;
    return { rotation, order, which, values: series.ok ? series.value.values : null };
  });
}

function sourceOf({ motion }: ReadingInput): string {
  return motion.head.source === 'sensors' ? 'sensor' : 'marker';
}

function cellOf(
  row: Row,
  position: PositionId,
  sample: PositionSample | null,
  spread: ReadingSpread,
  input: ReadingInput,
): Cell {
  const { id, order, unit } = row;
  const missing = (why: Missing, flags: readonly string[] = row.flags): Cell => ({
    quantity: id,
    position,
    value: null,
    plusMinus: null,
    order,
    unit,
    flags,
    why,
  });
  if (!row.values.ok) return missing(row.values.why);
  if (sample === null) {
    const moment = input.found.moments.get(position);
    if (moment?.found === false) return missing(moment.why);
    return missing({ code: 'position-missing', needed: `the moment of ${position}` });
  }
  const { values, singular } = row.values.value;
  const value = values[sample.at]!;
  const flags = [...row.flags, ...sample.moment.flags];
  if (Number.isNaN(value)) {
    return missing(
      { code: 'sample-missing', needed: `${row.lack ?? `the ${sourceOf(input)}s of ${id}`} around ${position}` },
      flags,
    );
  }
  if (singular?.[sample.at] === 1) flags.push('near-singular');
  const [from, to] = sample.time.window ?? [sample.time.t_frames - 1, sample.time.t_frames + 1];
  const [first, last] = [Math.floor(from), Math.ceil(to)];
  flags.push(...fillFlags(row.tracks, first, last));
  const { before, after, span_s } = sample.beside;
  const plusMinus = spread(row, sample, (values[after]! - values[before]!) / span_s);
  return {
    quantity: id,
    position,
    value,
    plusMinus: Number.isFinite(plusMinus) ? plusMinus : null,
    order,
    unit,
    flags: [...new Set(flags)],
    why: null,
    ...(row.rule === undefined ? {} : { rule: row.rule }),
  };
}

function curveOf(row: Row, plan: SamplePlan): CurveRecord {
  const values = new Float64Array(CURVE_STEPS).fill(Number.NaN);
  if (row.values.ok) values.set(row.values.value.values.subarray(plan.curve, plan.curve + CURVE_STEPS));
  return { quantity: row.id, unit: row.unit, order: row.order, values };
}

/** Joint lines; none where there are no places. */
function figuresOf(motion: Motion, found: FoundPositions, plan: SamplePlan): Figure[] {
  if (motion.head.source === 'sensors') return [];
  const figures: Figure[] = [];
  for (const position of FIGURE_POSITIONS) {
    const sample = plan.positions.get(position);
    if (sample === undefined) continue;
    const points: Record<string, readonly [number, number, number]> = {};
    for (const id of POINTS) {
      const at = pointAt(motion, id, sample.time, found.impact);
      if (at !== null) points[id] = at;
    }
    figures.push({ position, points });
  }
  return figures;
}

function posesOf(view: MotionView, plan: SamplePlan): SwingRecord['poses'] {
  const poses: Partial<Record<PositionId, { pelvis: readonly number[] | null; thorax: readonly number[] | null }>> = {};
  const at = (segment: 'pelvis' | 'thorax', sample: number): readonly number[] | null => {
    const R = view.pose(segment);
    if (!R.ok || Number.isNaN(R.value[9 * sample])) return null;
    return Array.from(R.value.subarray(9 * sample, 9 * sample + 9));
  };
  for (const [position, sample] of plan.positions) {
    poses[position] = { pelvis: at('pelvis', sample.at), thorax: at('thorax', sample.at) };
  }
  return poses;
}
