/** The common time base of curves: ten steps from each position to the next, P1 to P9. */

import type { Moments } from '../../model/positions.ts';
import { CURVE_POSITIONS, CURVE_STEPS, type CurveBase } from '../../model/swingRecord.ts';

const STEPS_PER_INTERVAL = 10;

/** Pairs that a late or early set may reverse: both are then left out of the time base. */
const REVERSIBLE = [
  ['P2', 'P3'],
  ['P5', 'P6'],
] as const;

/**
 * 81 times in seconds. Where a position is missing, or P2 and P3 or P5 and P6 come in the other order, the time between the neighbours
 * that stand is shared evenly and the stretch is named in `shared`. NaN before the first and after the last position found.
 */
export function curveBase(moments: Moments): CurveBase {
  const knots: (number | null)[] = CURVE_POSITIONS.map((position) => {
    const moment = moments.get(position);
    return moment?.found === true ? moment.time_s : null;
  });
  for (const [a, b] of REVERSIBLE) {
    const i = CURVE_POSITIONS.indexOf(a);
    const j = CURVE_POSITIONS.indexOf(b);
    const first = knots[i] ?? null;
    const second = knots[j] ?? null;
    if (first !== null && second !== null && second <= first) {
      knots[i] = null;
      knots[j] = null;
    }
  }
  let latest = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < knots.length; i++) {
    const time = knots[i] ?? null;
    if (time === null) continue;
    if (time > latest) latest = time;
    else knots[i] = null;
  }
  const times_s = new Float64Array(CURVE_STEPS).fill(Number.NaN);
  const shared: string[] = [];
  let last = -1;
  knots.forEach((time, i) => {
    if (time === null) return;
    times_s[STEPS_PER_INTERVAL * i] = time;
    if (last >= 0) {
      const from_s = knots[last]!;
      const steps = STEPS_PER_INTERVAL * (i - last);
      for (let s = 1; s < steps; s++) {
        times_s[STEPS_PER_INTERVAL * last + s] = from_s + ((time - from_s) * s) / steps;
      }
      if (i - last > 1) shared.push(`${CURVE_POSITIONS[last]}–${CURVE_POSITIONS[i]}`);
    }
    last = i;
  });
  return { times_s, shared };
}
