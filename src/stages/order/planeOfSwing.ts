/** The swing plane before impact: its normal, about which turning is counted. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { FoundPositions } from '../../model/delivery.ts';
import type { Motion } from '../../model/motion.ts';
import { fitPlane } from '../../numeric/planeFit.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { planeOfDirections } from '../positions/rotationInPlane.ts';

export interface SwingPlane {
  /** Unit; the club turns about it in a positive sense on the way down. */
  readonly normal: Float64Array;
  /** 'plane-of-shaft' where it is made of the shaft's directions and not of the head's path. */
  readonly flags: readonly string[];
}

/** Fewest samples, and least breadth of the path against its length: a quarter circle has 0.2. */
const FEWEST = 5;
const LEAST_BREADTH = 0.05;

/**
 * Plane of least squares through the path of the head point from P6 to the last frame before impact (definitions 5); without a head point
 * that of the shaft's directions over the same frames. Absent without P6 or impact, or with fewer than five samples.
 */
export function planeOfSwing(motion: Motion, found: FoundPositions, ws: Workspace): Avail<SwingPlane> {
  const p6 = found.moments.get('P6');
  if (p6?.found !== true)
    return p6 === undefined ? absent('position-missing', 'the moment of P6') : { ok: false, why: p6.why };
  if (!found.impact.ok) return found.impact;
  const { rate_Hz } = motion.clock;
  const from = Math.floor(p6.time_s * rate_Hz);
  const to = found.impact.value.before;
  const shaft = motion.directions.get('shaft');
  const normal = ws.float64(3);
  if (shaft?.ok !== true || !planeOfDirections(shaft.value, from, to, normal)) {
    return absent('too-few-samples', 'the shaft between P6 and impact');
  }
  const head = motion.points.get('head_point');
  const fitted = head?.ok === true ? normalOfPath(head.value.data, motion.clock.frames, from, to, ws) : null;
  if (fitted === null) return present({ normal, flags: ['plane-of-shaft'] });
  const along = fitted[0]! * normal[0]! + fitted[1]! * normal[1]! + fitted[2]! * normal[2]!;
  for (let c = 0; c < 3; c++) normal[c] = along < 0 ? -fitted[c]! : fitted[c]!;
  return present({ normal, flags: [] });
}

function normalOfPath(
  data: Float64Array,
  frames: number,
  from: number,
  to: number,
  ws: Workspace,
): Float64Array | null {
  const points = ws.float64(3 * (to - from + 1));
  let n = 0;
  for (let f = Math.max(0, from); f <= to; f++) {
    if (Number.isNaN(data[f]!)) continue;
    for (let c = 0; c < 3; c++) points[3 * n + c] = data[c * frames + f]!;
    n += 1;
  }
  const plane = n < FEWEST ? null : fitPlane(points, n);
  return plane === null || !(plane.breadth > LEAST_BREADTH) ? null : plane.normal;
}
