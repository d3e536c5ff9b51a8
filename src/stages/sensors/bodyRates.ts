/** Angular velocity of a sensor in its own axes, from its gyro or, for a suit that stores orientations alone, from those. */

import type { SensorTrack } from '../../model/sensors.ts';
import { isRotationPresent, logRotation, mulT3 } from '../../numeric/rotation.ts';
import type { Workspace } from '../../numeric/workspace.ts';

/** rad/s, planar 3 × samples of the track, NaN where missing; null where the sensor has neither gyro nor orientation. */
export function bodyRates(track: SensorTrack, ws: Workspace): Float64Array | null {
  if (track.gyro !== null) return track.gyro;
  if (!track.orientation.ok) return null;
  const R = track.orientation.value;
  const n = track.times_s.length;
  const out = ws.float64(3 * n);
  out.fill(Number.NaN);
  const between = new Float64Array(9);
  const turn = new Float64Array(3);
  for (let k = 0; k < n; k++) {
    const a = Math.max(0, k - 1);
    const b = Math.min(n - 1, k + 1);
    if (a === b || !isRotationPresent(R, 9 * a) || !isRotationPresent(R, 9 * b)) continue;
    // The turn from a to b lies along the same axis in both their axes; halfway between them it is that of sample k.
    mulT3(R, 9 * a, R, 9 * b, between, 0);
    logRotation(between, 0, turn);
    const span_s = track.times_s[b]! - track.times_s[a]!;
    for (let c = 0; c < 3; c++) out[c * n + k] = turn[c]! / span_s;
  }
  return out;
}
