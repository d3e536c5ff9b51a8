/** From a motion and its positions to the table of a swing: quantities at positions, curves, figures, poses. */

import type { Outcome } from '../base/diagnostics.ts';
import type { OrderedRotation } from '../model/analysisPlan.ts';
import type { AngleSet } from '../model/angles.ts';
import type { Missing } from '../model/availability.ts';
import type { ClubFigures, FoundPositions } from '../model/delivery.ts';
import { isLimb, type Motion, POINTS, type SegmentId } from '../model/motion.ts';
import type { OrderOfMotion } from '../model/orderOfMotion.ts';
import type { PositionId } from '../model/positions.ts';
import type { Quantity } from '../model/quantity.ts';
import { type Cell, CURVE_STEPS, type CurveRecord, type Figure, type SwingRecord } from '../model/swingRecord.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { curveBase } from './shared/curveBase.ts';
import { type MotionView, pointAt, viewAtTimes, viewOfMotion } from './shared/motionView.ts';
import { orderCell } from './shared/orderCells.ts';
import { createPlacedReader } from './shared/placedReadings.ts';
import { type QuantityRow, quantityRows } from './shared/quantityRows.ts';
import { rotationsAtPositions } from './shared/rotationsAtPositions.ts';
import { type PositionSample, type SamplePlan, samplePlan } from './shared/sampling.ts';
import { fillFlags } from './shared/sources.ts';
import { swingCell } from './shared/swingCells.ts';
import { targetRule } from './shared/targetRule.ts';
import { createReadingSpread, type ReadingSpread } from './spread/readingSpread.ts';

/** The parts of a record that are read from the motion. Everything owns its memory. */
export type SwingReadings = Pick<SwingRecord, 'cells' | 'curveBase' | 'curves' | 'figures' | 'poses' | 'rotations'>;

export interface ReadingInput {
  readonly motion: Motion;
  readonly angles: AngleSet;
  readonly found: FoundPositions;
  readonly club: ClubFigures;
  readonly order: OrderOfMotion;
  /** Rotations to keep at the positions beside pelvis and thorax. */
  readonly rotations?: readonly OrderedRotation[];
}

const FIGURE_POSITIONS: readonly PositionId[] = ['P1', 'P4', 'P5.5', 'P7'];

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
  const plan = samplePlan(found.moments, base, motion.clock, ws);
  const full = { ...viewOfMotion(motion, ws), rate: (segment: SegmentId) => input.angles.rates.get(segment)! };
  const view = viewAtTimes(motion, full, plan, ws, neededPoses(catalogue, plan));
  const placed = createPlacedReader(motion, plan, ws);
  const rows = quantityRows(input, catalogue, view, plan, placed, ws);
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
      ...(input.rotations === undefined
        ? {}
        : { rotations: rotationsAtPositions(input.rotations, motion, view, plan, ws) }),
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

function sourceOf({ motion }: ReadingInput): string {
  return motion.head.source === 'sensors' ? 'sensor' : 'marker';
}

function cellOf(
  row: QuantityRow,
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
  if (Number.isNaN(value)) {
    return missing(
      { code: 'sample-missing', needed: `${row.lack ?? `the ${sourceOf(input)}s of ${id}`} around ${position}` },
      [...row.flags, ...sample.moment.flags],
    );
  }
  const { before, after, span_s } = sample.beside;
  const plusMinus = spread(row, sample, (values[after]! - values[before]!) / span_s);
  // with room for the allowance, which is the record's: a key that is added later costs more than the cell
  const why = null;
  const placement = null;
  const flags = flagsOf(row, sample, singular);
  const half = Number.isFinite(plusMinus) ? plusMinus : null;
  return row.rule === undefined
    ? { quantity: id, position, value, plusMinus: half, order, unit, flags, why, placement }
    : { quantity: id, position, value, plusMinus: half, order, unit, flags, why, rule: row.rule, placement };
}

/** Flags of a value, each once. */
function flagsOf(row: QuantityRow, sample: PositionSample, singular: Uint8Array | null): readonly string[] {
  const isSingular = singular?.[sample.at] === 1;
  const [from, to] = sample.time.window ?? [sample.time.t_frames - 1, sample.time.t_frames + 1];
  const filled = fillFlags(row.tracks, Math.floor(from), Math.ceil(to));
  const count = row.flags.length + sample.moment.flags.length + filled.length;
  if (count === 0) return isSingular ? SINGULAR : NO_FLAGS;
  const flags = [...row.flags, ...sample.moment.flags, ...(isSingular ? SINGULAR : NO_FLAGS), ...filled];
  return flags.length > 1 ? [...new Set(flags)] : flags;
}

const NO_FLAGS: readonly string[] = [];
const SINGULAR: readonly string[] = ['near-singular'];

function curveOf(row: QuantityRow, plan: SamplePlan): CurveRecord {
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
