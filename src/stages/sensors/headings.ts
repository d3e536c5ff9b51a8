/** Where the headings of sensors are zero: gravity shows them two angles of three, the third is taken from the address. */

import { anglesFromRotation } from '../../numeric/eulerAngles.ts';
import { meanRotation } from '../../numeric/rotation.ts';

/** A limb or shaft nearer to the vertical than this points nowhere. */
const UPRIGHT_rad = (10 * Math.PI) / 180;

/** Frames [from, to] of an address. */
export type Frames = readonly [from: number, to: number];

/** The turn of a segment (first angle of Y-X-Z), rad: of its mean over the frames. NaN where it is not there. */
export function turnOf(R: Float64Array, [from, to]: Frames): number {
  const mean = meanRotation(R.subarray(9 * from, 9 * (to + 1)), to - from + 1);
  if (Number.isNaN(mean[0])) return Number.NaN;
  const angles = new Float64Array(3);
  anglesFromRotation(mean, 0, 'YXZ', angles);
  return angles[0]!;
}

/** The turn that takes +X to the horizontal part of −Y of a segment, rad; 0 where that is within 10° of the vertical, NaN where it is not there. */
export function pointingOf(R: Float64Array, [from, to]: Frames): number {
  const mean = meanRotation(R.subarray(9 * from, 9 * (to + 1)), to - from + 1);
  const x = 0 - mean[1]!;
  const z = 0 - mean[7]!;
  if (Number.isNaN(x + z)) return Number.NaN;
  return Math.sqrt(x * x + z * z) < Math.sin(UPRIGHT_rad) ? 0 : Math.atan2(0 - z, x);
}

/** R ← Ry(−turn) · R for every frame, in place. */
export function takeTurnOff(R: Float64Array, turn: number): void {
  const c = Math.cos(turn);
  const s = Math.sin(turn);
  for (let at = 0; at < R.length; at += 9) {
    for (let i = at; i < at + 3; i++) {
      const x = R[i]!;
      const z = R[i + 6]!;
      R[i] = c * x - s * z;
      R[i + 6] = s * x + c * z;
    }
  }
}

/** The last 0.1 s of a still stretch (seconds of the clock), the stretch a mean at P1 is made of. */
export function addressFrames(still_s: readonly [number, number] | null, rate_Hz: number, frames: number): Frames {
  const last = Math.max(0, frames - 1);
  if (still_s === null) return [0, Math.min(last, Math.round(MEAN_s * rate_Hz))];
  const to = Math.min(last, Math.max(0, Math.floor(still_s[1] * rate_Hz)));
  const from = Math.max(0, Math.ceil(Math.max(still_s[0], still_s[1] - MEAN_s) * rate_Hz));
  return [Math.min(from, to), to];
}

const MEAN_s = 0.1;
