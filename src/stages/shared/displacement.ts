/** How far a point is from its own place at P1. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { Reading } from '../../model/quantity.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import type { MotionView } from './motionView.ts';
import type { ReadValues } from './readSeries.ts';
import type { PositionSample } from './sampling.ts';

/**
 * Displacement in metres, or as a share of standing height, at every sample: to target −Z, to ball +X, rise +Y of G. Missing without P1: no
 * other frame stands in for it.
 */
export function displacementValues(
  view: MotionView,
  reading: Extract<Reading, { kind: 'displacement' }>,
  p1: PositionSample | null,
  height_m: number | null,
  ws: Workspace,
): Avail<ReadValues> {
  const point = view.point(reading.point);
  if (!point.ok) return point;
  if (p1 === null) return absent('position-missing', 'P1, from which displacements are measured');
  if (reading.over === 'height' && height_m === null) {
    return absent(
      'height-unknown',
      'the player’s standing height: height_m in the day file, or a static trial with VERTEX',
    );
  }
  const n = view.samples;
  const column = reading.axis === 'ball' ? 0 : reading.axis === 'rise' ? n : 2 * n;
  const sign = (reading.axis === 'target' ? -1 : 1) / (reading.over === 'height' ? height_m! : 1);
  const start = point.value[column + p1.at]!;
  if (Number.isNaN(start)) return absent('sample-missing', `the markers of ${reading.point} at P1`);
  const values = ws.float64(n);
  for (let i = 0; i < n; i++) values[i] = sign * (point.value[column + i]! - start);
  return present({ values, singular: null });
}
