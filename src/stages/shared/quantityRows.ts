/** Every quantity of the catalogue and every extra order as values at the samples of a plan: at positions, on the curves' time base or at every frame. */

import type { OrderedRotation } from '../../model/analysisPlan.ts';
import type { AngleSet } from '../../model/angles.ts';
import type { Avail } from '../../model/availability.ts';
import { jointOf } from '../../model/joints.ts';
import type { Motion, SegmentId } from '../../model/motion.ts';
import { POSITIONS, type PositionId } from '../../model/positions.ts';
import type { AngleOrder, Quantity, Reading } from '../../model/quantity.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { displacementValues } from './displacement.ts';
import { headZeroedAtP1 } from './headZero.ts';
import type { MotionView } from './motionView.ts';
import { isPlacedReading, type PlacedReader, ruleOf } from './placedReadings.ts';
import { createReader, isMotionReading, isRead, isUnwrapped, type ReadValues } from './readSeries.ts';
import type { SamplePlan } from './sampling.ts';
import { tracksBehind, tracksBehindRotation } from './sources.ts';
import { targetRule } from './targetRule.ts';
import { continuousFromP1 } from './unwrapping.ts';

const COMPONENTS = ['first', 'second', 'third'] as const;

/** A quantity that is read at samples of the swing, whether a row of the catalogue or an extra order. */
export interface QuantityRow {
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
 * The rows of a motion that are read at more than one moment; `view` and `placed` are at the samples of the plan. Turns are continuous
 * from P1; without P1 from the first frame there is, on the branch nearest 0, flagged `unwrapped-without-P1`.
 */
export function quantityRows(
  { motion, angles }: { readonly motion: Motion; readonly angles: AngleSet },
  catalogue: readonly Quantity[],
  view: MotionView,
  plan: SamplePlan,
  placed: PlacedReader,
  ws: Workspace,
): QuantityRow[] {
  const p1 = plan.positions.get('P1') ?? null;
  const zeroAtP1 = motion.headZeroed === false;
  const plain = createReader(view, ws);
  const zeroed = zeroAtP1 ? headZeroedAtP1(view, p1?.at ?? null, ws) : null;
  const onHead = zeroed === null ? plain : createReader(zeroed.head, ws);
  const onNeck = zeroed === null ? plain : createReader(zeroed.neck, ws);
  const viewed = (isJoint: boolean, flags: readonly string[]): MotionView =>
    zeroed === null || !flags.includes('zeroed-at-P1') ? view : isJoint ? zeroed.neck : zeroed.head;
  const target = targetRule(motion, p1 !== null);
  const rows: QuantityRow[] = [];
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
          values = { ok: true, value: continuousFromP1(values.value, series.value.values, angles.from, plan, p1, ws) };
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
      values = { ok: true, value: continuousFromP1(values.value, series.values, angles.from, plan, p1, ws) };
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
