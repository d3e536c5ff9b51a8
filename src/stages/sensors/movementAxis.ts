/** The axis about which a sensor turned in a movement, in its own axes: a bow and a pelvic tilt show the flexion axis, a turn the long one. */

import { type Avail, absent, present } from '../../model/availability.ts';
import type { Vec3 } from '../../model/calibration.ts';
import type { SensorTrack } from '../../model/sensors.ts';
import { symmetricEigen3 } from '../../numeric/svd3.ts';
import { angleBetween, norm } from '../../numeric/vector.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { bodyRates } from './bodyRates.ts';

export interface MovementAxis {
  /** Unit vector: the sensor began to turn about it in the positive sense. */
  readonly axis: Vec3;
  /** Root mean square angle of the rotation's axis about it, weighted by the squared speed, rad. */
  readonly spread_rad: number;
  /** Largest turn about it from where it began, rad. */
  readonly turn_rad: number;
}

/** A knock and noise are shorter, a bow is longer. */
const AVERAGE_s = 0.1;
/** Slower than this is standing; slower than a share of the fastest is turning round. */
const MOVING_radPerS = 0.08;
const MOVING_SHARE = 0.25;

/**
 * Principal direction of the angular velocity less `bias` (averaged over 0.1 s) while the sensor moves. Its sign is that of the first turn
 * that reaches half of the largest: a bow and a tilt begin forward. Absent where the sensor never moved.
 */
export function movementAxis(track: SensorTrack, bias: Vec3, ws: Workspace): Avail<MovementAxis> {
  const raw = bodyRates(track, ws);
  if (raw === null) return absent('no-gyro', `a gyro or orientations of the sensor ${track.name}`);
  const n = track.times_s.length;
  const w = averaged(raw, n, Math.max(1, Math.round(AVERAGE_s * track.rate_Hz)), bias, ws);
  let fastest = 0;
  for (let k = 0; k < n; k++) fastest = Math.max(fastest, speedAt(w, n, k));
  const limit = Math.max(MOVING_radPerS, MOVING_SHARE * fastest);
  const moments = new Float64Array(9);
  for (let k = 0; k < n; k++) {
    if (speedAt(w, n, k) < limit) continue;
    for (let r = 0; r < 3; r++) {
      for (let c = r; c < 3; c++) moments[3 * r + c] = moments[3 * r + c]! + w[r * n + k]! * w[c * n + k]!;
    }
  }
  if (!(moments[0]! + moments[4]! + moments[8]! > 0)) {
    return absent('no-movement', `a movement that turns the sensor ${track.name} faster than 5°/s`);
  }
  const values = new Float64Array(3);
  const vectors = new Float64Array(9);
  symmetricEigen3(moments, values, vectors);
  const axis: Vec3 = [vectors[2]!, vectors[5]!, vectors[8]!];
  const turn = firstTurn(w, track.times_s, axis);
  const sign = turn.first < 0 ? -1 : 1;
  return present({
    axis: [sign * axis[0], sign * axis[1], sign * axis[2]],
    spread_rad: spreadOf(w, n, limit, axis),
    turn_rad: turn.largest,
  });
}

/** 0 where a sample is missing: standing still in every sum. */
function speedAt(w: Float64Array, n: number, k: number): number {
  const x = w[k]!;
  const y = w[n + k]!;
  const z = w[2 * n + k]!;
  const speed = Math.sqrt(x * x + y * y + z * z);
  return Number.isNaN(speed) ? 0 : speed;
}

/** Running mean over `count` samples, less the bias; NaN where all of them are missing. */
function averaged(raw: Float64Array, n: number, count: number, bias: Vec3, ws: Workspace): Float64Array {
  const out = ws.float64(3 * n);
  const before = count >> 1;
  for (let c = 0; c < 3; c++) {
    let sum = 0;
    let present = 0;
    const take = (k: number, sign: 1 | -1): void => {
      const value = k >= 0 && k < n ? raw[c * n + k]! : Number.NaN;
      if (Number.isNaN(value)) return;
      sum += sign * value;
      present += sign;
    };
    for (let k = 0; k < count - before - 1; k++) take(k, 1);
    for (let k = 0; k < n; k++) {
      take(k + count - before - 1, 1);
      take(k - before - 1, -1);
      out[c * n + k] = present === 0 ? Number.NaN : sum / present - bias[c]!;
    }
  }
  return out;
}

function spreadOf(w: Float64Array, n: number, limit: number, axis: Vec3): number {
  let sum = 0;
  let weights = 0;
  for (let k = 0; k < n; k++) {
    const speed = speedAt(w, n, k);
    if (speed < limit) continue;
    const v = [w[k]!, w[n + k]!, w[2 * n + k]!];
    const away = angleBetween(v, axis);
    const angle = Math.min(away, Math.PI - away);
    const weight = norm(v) * norm(v);
    sum += weight * angle * angle;
    weights += weight;
  }
  return Math.sqrt(sum / weights);
}

/** Turn about the axis from the start on: the first that reaches half of the largest, with its sign, and the largest without. */
function firstTurn(w: Float64Array, times_s: Float64Array, axis: Vec3): { first: number; largest: number } {
  const n = times_s.length;
  const rate = (k: number): number => {
    const along = w[k]! * axis[0] + w[n + k]! * axis[1] + w[2 * n + k]! * axis[2];
    return Number.isNaN(along) ? 0 : along;
  };
  const walk = (visit: (turned: number) => boolean): void => {
    let turned = 0;
    for (let k = 1; k < n; k++) {
      turned += 0.5 * (rate(k - 1) + rate(k)) * (times_s[k]! - times_s[k - 1]!);
      if (visit(turned)) return;
    }
  };
  let largest = 0;
  walk((turned) => {
    largest = Math.max(largest, Math.abs(turned));
    return false;
  });
  let first = 0;
  walk((turned) => {
    first = turned;
    return Math.abs(turned) >= largest / 2;
  });
  return { first, largest };
}
