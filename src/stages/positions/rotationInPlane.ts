/** Rotation of a direction about the normal of the plane that its own directions span. */

import type { Track } from '../../model/track.ts';
import { symmetricEigen3 } from '../../numeric/svd3.ts';

const moments = new Float64Array(9);
const values = new Float64Array(3);
const vectors = new Float64Array(9);

/**
 * Normal of the plane through the origin nearest to the directions of frames [from, to] (smallest axis of their second moments), into out.
 * The sign is that about which the direction turns in a positive sense from the first to the last. False with fewer than four present.
 */
export function planeOfDirections(track: Track<3>, from: number, to: number, out: Float64Array): boolean {
  const { frames } = track.clock;
  const d = track.data;
  moments.fill(0);
  let n = 0;
  let turn0 = 0;
  let turn1 = 0;
  let turn2 = 0;
  let last = -1;
  for (let f = Math.max(0, from); f <= Math.min(frames - 1, to); f++) {
    const x = d[f]!;
    const y = d[frames + f]!;
    const z = d[2 * frames + f]!;
    if (Number.isNaN(x + y + z)) continue;
    n += 1;
    moments[0] = moments[0]! + x * x;
    moments[1] = moments[1]! + x * y;
    moments[2] = moments[2]! + x * z;
    moments[4] = moments[4]! + y * y;
    moments[5] = moments[5]! + y * z;
    moments[8] = moments[8]! + z * z;
    if (last >= 0) {
      const px = d[last]!;
      const py = d[frames + last]!;
      const pz = d[2 * frames + last]!;
      turn0 += py * z - pz * y;
      turn1 += pz * x - px * z;
      turn2 += px * y - py * x;
    }
    last = f;
  }
  if (n < 4) return false;
  symmetricEigen3(moments, values, vectors);
  const along = turn0 * vectors[0]! + turn1 * vectors[3]! + turn2 * vectors[6]!;
  const sign = along < 0 ? -1 : 1;
  for (let i = 0; i < 3; i++) out[i] = sign * vectors[3 * i]!;
  return true;
}

/** Unwrapped angle (rad) of the direction about `normal` for frames [from, to] into the same places of `out`; NaN where missing. */
export function anglesAbout(track: Track<3>, normal: Float64Array, from: number, to: number, out: Float64Array): void {
  const { frames } = track.clock;
  const d = track.data;
  const [nx, ny, nz] = [normal[0]!, normal[1]!, normal[2]!];
  // First axis: the world axis least along the normal, made perpendicular; second: normal × first.
  const ax = Math.abs(nx);
  const ay = Math.abs(ny);
  const az = Math.abs(nz);
  let ex = ax <= ay && ax <= az ? 1 : 0;
  let ey = ex === 0 && ay <= az ? 1 : 0;
  let ez = ex === 0 && ey === 0 ? 1 : 0;
  const along = ex * nx + ey * ny + ez * nz;
  ex -= along * nx;
  ey -= along * ny;
  ez -= along * nz;
  const length = Math.sqrt(ex * ex + ey * ey + ez * ez);
  ex /= length;
  ey /= length;
  ez /= length;
  const fx = ny * ez - nz * ey;
  const fy = nz * ex - nx * ez;
  const fz = nx * ey - ny * ex;
  let last = Number.NaN;
  for (let f = from; f <= to; f++) {
    const x = d[f]!;
    const y = d[frames + f]!;
    const z = d[2 * frames + f]!;
    let angle = Math.atan2(x * fx + y * fy + z * fz, x * ex + y * ey + z * ez);
    if (!Number.isNaN(last)) angle -= 2 * Math.PI * Math.round((angle - last) / (2 * Math.PI));
    out[f] = angle;
    if (!Number.isNaN(angle)) last = angle;
  }
}
