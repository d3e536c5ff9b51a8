/** Every angle of the catalogue, frame by frame. */

import type { Outcome } from '../base/diagnostics.ts';
import type { OrderRequest } from '../model/analysisPlan.ts';
import type { AngleSeries, AngleSet } from '../model/angles.ts';
import { type Avail, present } from '../model/availability.ts';
import { CATALOGUE } from '../model/catalogue.ts';
import { isLimb, type Motion, type SegmentId, TRUNK_SEGMENTS } from '../model/motion.ts';
import type { Reading } from '../model/quantity.ts';
import type { Workspace } from '../numeric/workspace.ts';
import { rateWithin, viewOfMotion, viewOfStretch } from './shared/motionView.ts';
import { createReader, isMotionReading, isRead, isUnwrapped } from './shared/readSeries.ts';

const ROWS = CATALOGUE.filter(
  ({ reading }) => isMotionReading(reading) && (isUnwrapped(reading) || !isOfLimb(reading)),
);
const CONTINUOUS = ROWS.filter(({ reading }) => isMotionReading(reading) && isUnwrapped(reading));
const COMPONENTS = ['first', 'second', 'third'] as const;

/**
 * Series over all frames of every row of the catalogue that is read from rotations, lines or angular velocity, and of the extra orders,
 * whose raw intrinsic angles are `<segment>.first`, `.second`, `.third`. Angles lie in (−π, π]: they are made continuous later, from P1.
 * Rows whose segment, line or point is missing are absent with its reason; rows of the reduced form exist only there. Of the limbs only
 * what is made continuous: the rest is read at positions and on the curves' time base alone (`readQuantities`).
 * With a `stretch` of frames [from, to) nothing but what is made continuous, over those frames alone, and rates that are NaN outside of them.
 */
export function jointAngles(
  motion: Motion,
  orders: readonly OrderRequest[],
  ws: Workspace,
  stretch: readonly [number, number] | null = null,
): Outcome<AngleSet> {
  const view = stretch === null ? viewOfMotion(motion, ws) : viewOfStretch(motion, stretch, ws);
  const reader = createReader(view, ws);
  const series = new Map<string, Avail<AngleSeries>>();
  for (const row of stretch === null ? ROWS : CONTINUOUS) {
    const { id, order, reading } = row;
    if (!isMotionReading(reading) || !isRead(row, motion)) continue;
    const read = reader.read(reading);
    series.set(
      id,
      read.ok
        ? present({
            quantity: id,
            order,
            values: read.value.values,
            singular: read.value.singular,
            unwrap: isUnwrapped(reading),
          })
        : read,
    );
  }
  const extra = new Map<string, Avail<AngleSeries>>();
  for (const { segment, order } of orders) {
    const read = reader.ordered(segment, order);
    COMPONENTS.forEach((name, i) => {
      const quantity = `${segment}.${name}`;
      const part = read.ok ? read.value[i]! : null;
      extra.set(
        `${quantity}:${order}`,
        part === null
          ? (read as Avail<never>)
          : present({ quantity, order, values: part.values, singular: part.singular, unwrap: true }),
      );
    });
  }
  const rateOf = (segment: SegmentId): Avail<Float64Array> =>
    stretch === null ? view.rate(segment) : rateWithin(motion, segment, stretch, ws);
  const rates = new Map(TRUNK_SEGMENTS.map((segment) => [segment, rateOf(segment)] as const));
  return { value: { clock: motion.clock, from: stretch?.[0] ?? 0, series, extra, rates }, diagnostics: [] };
}

function isOfLimb(reading: Reading): boolean {
  switch (reading.kind) {
    case 'joint':
      return isLimb(reading.distal);
    case 'bend':
    case 'direction-in':
      return true;
    default:
      return false;
  }
}
