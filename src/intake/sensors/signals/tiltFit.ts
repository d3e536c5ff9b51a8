/** Gyro against gravity: how well turning by the gyro foretells the direction of gravity in the sensor. Settles units and signs. */

import { apply3, mulT3 } from '../../../numeric/rotationKernels.ts';
import { median } from '../../../numeric/statistics.ts';
import { angleBetween } from '../../../numeric/vector.ts';
import { missingBefore, turningOf } from './calm.ts';

/** Angles in rad between gravity as measured and as foretold, one a pair of moments about half a second apart. */
export interface TiltFit {
  /** Without any turning: how far gravity moved in the sensor. */
  readonly still: readonly number[];
  /** The gyro in rad/s, in deg/s, and with each sign reversed. */
  readonly rad: readonly number[];
  readonly deg: readonly number[];
  readonly radReversed: readonly number[];
  readonly degReversed: readonly number[];
}

export const DEG = Math.PI / 180;
const PAIR_s = 0.4;
const ANCHOR_s = 0.05;
/** The specific force is taken for gravity where its length is that at rest within this share. */
const NEAR_REST = 0.04;
/** Pairs whose gravity neither moves nor is foretold to move by this much say nothing. */
const TELLING_rad = 4 * DEG;

/** Pairs of moments at which the specific force is as long as at rest. `rest` is its length there, unit as given. */
export function tiltFit(
  gyro: Float64Array,
  acc: Float64Array,
  times_s: Float64Array,
  rate_Hz: number,
  rest: number,
): TiltFit {
  const rows = times_s.length;
  const turnings = [1, DEG, -1, -DEG].map((factor) => turningOf(gyro, times_s, factor));
  const missing = missingBefore(gyro, rows);
  const half = Math.max(1, Math.round(0.01 * rate_Hz));
  const anchors: { readonly at: number; readonly up: readonly number[] }[] = [];
  for (let at = half; at < rows - half; at += Math.max(1, Math.round(ANCHOR_s * rate_Hz))) {
    const up = [0, 0, 0];
    for (let i = at - half; i <= at + half; i += 1) {
      for (let axis = 0; axis < 3; axis += 1) up[axis]! += acc[axis * rows + i]! / (2 * half + 1);
    }
    if (Math.abs(Math.hypot(...up) / rest - 1) < NEAR_REST) anchors.push({ at, up });
  }
  const fit = { still: [] as number[], all: turnings.map(() => [] as number[]) };
  const turn = new Float64Array(9);
  const foretold = [0, 0, 0];
  let ahead = 0;
  for (const { at, up } of anchors) {
    while (ahead < anchors.length && times_s[anchors[ahead]!.at]! < times_s[at]! + PAIR_s) ahead += 1;
    const later = anchors[ahead];
    if (later === undefined) break;
    if (times_s[later.at]! > times_s[at]! + 2 * PAIR_s || missing[later.at + 1]! !== missing[at]!) continue;
    const still = angleBetween(up, later.up);
    const angles: number[] = [];
    let telling = still > TELLING_rad;
    for (const turning of turnings) {
      mulT3(turning, 9 * later.at, turning, 9 * at, turn, 0);
      apply3(turn, 0, up, foretold);
      angles.push(angleBetween(foretold, later.up));
      if (angleBetween(foretold, up) > TELLING_rad) telling = true;
    }
    if (!telling) continue;
    fit.still.push(still);
    angles.forEach((angle, i) => {
      fit.all[i]!.push(angle);
    });
  }
  const [rad, deg, radReversed, degReversed] = fit.all as [number[], number[], number[], number[]];
  return { still: fit.still, rad, deg, radReversed, degReversed };
}

/** Fewest pairs that decide. */
const TELLING_PAIRS = 8;

/** The unit whose foretelling is at least twice as good, with its median miss and the other's in rad; null where the data do not tell. */
export function unitByTilt(fits: readonly TiltFit[]): {
  readonly unit: 'rad/s' | 'deg/s';
  readonly miss_rad: number;
  readonly other_rad: number;
  readonly pairs: number;
} | null {
  const rad = fits.flatMap((fit) => [...fit.rad].map((angle, i) => Math.min(angle, fit.radReversed[i]!)));
  const deg = fits.flatMap((fit) => [...fit.deg].map((angle, i) => Math.min(angle, fit.degReversed[i]!)));
  if (rad.length < TELLING_PAIRS) return null;
  const a = median(rad);
  const b = median(deg);
  if (a < 0.5 * b && a < 15 * DEG && b > 3 * DEG)
    return { unit: 'rad/s', miss_rad: a, other_rad: b, pairs: rad.length };
  if (b < 0.5 * a && b < 15 * DEG && a > 3 * DEG)
    return { unit: 'deg/s', miss_rad: b, other_rad: a, pairs: rad.length };
  return null;
}

/** Median miss of the gyro as it is and with its sign reversed, where reversed is clearly the better; null otherwise. */
export function reversedByTilt(
  fit: TiltFit,
  unit: 'rad/s' | 'deg/s',
): { readonly miss_rad: number; readonly reversed_rad: number } | null {
  const own = unit === 'rad/s' ? fit.rad : fit.deg;
  const other = unit === 'rad/s' ? fit.radReversed : fit.degReversed;
  if (own.length < TELLING_PAIRS || median(fit.still) < TELLING_rad) return null;
  const miss_rad = median(own);
  const reversed_rad = median(other);
  return reversed_rad < 0.4 * miss_rad && miss_rad > 10 * DEG ? { miss_rad, reversed_rad } : null;
}
