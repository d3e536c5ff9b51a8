/** How fast a segment turns, frame by frame: size, part about its own long axis, part about a fixed direction. */

import { fineAngularVelocity } from '../../numeric/rotation.ts';
import type { Workspace } from '../../numeric/workspace.ts';

/** Speeds of some frames in a row. */
export interface Speeds {
  readonly n: number;
  /** Angular velocity in the player frame, planar, rad/s. */
  readonly w: Float64Array;
  readonly size: Float64Array;
  /** About the segment's Y. */
  readonly own: Float64Array;
  /** About `normal`; null without one. */
  readonly plane: Float64Array | null;
}

/** Speeds over the frames [from, to) of a segment whose rotations are R_player_segment; NaN where frames are missing. */
export function speedsOf(
  R: Float64Array,
  clock: { readonly frames: number; readonly rate_Hz: number },
  from: number,
  to: number,
  normal: ArrayLike<number> | null,
  ws: Workspace,
): Speeds {
  const n = to - from;
  const w = ws.float64(3 * n);
  fineAngularVelocity(R, clock.frames, clock.rate_Hz, from, to, w);
  const size = ws.float64(n);
  const own = ws.float64(n);
  const plane = normal === null ? null : ws.float64(n);
  for (let i = 0; i < n; i++) {
    const x = w[i]!;
    const y = w[n + i]!;
    const z = w[2 * n + i]!;
    const o = 9 * (from + i);
    size[i] = Math.sqrt(x * x + y * y + z * z);
    own[i] = x * R[o + 1]! + y * R[o + 4]! + z * R[o + 7]!;
    if (plane !== null) plane[i] = x * normal![0]! + y * normal![1]! + z * normal![2]!;
  }
  return { n, w, size, own, plane };
}

/**
 * The same from angular velocities in the segment's own axes, planar columns of all frames. About `normal` only where the rotations `R` carry them
 * into the player frame; `w` then is in the player frame, otherwise in the segment's.
 */
export function ratesAsSpeeds(
  rates: Float64Array,
  R: Float64Array | null,
  clock: { readonly frames: number },
  from: number,
  to: number,
  normal: ArrayLike<number> | null,
  ws: Workspace,
): Speeds {
  const n = to - from;
  const { frames } = clock;
  const w = ws.float64(3 * n);
  const size = ws.float64(n);
  const own = ws.float64(n);
  const plane = normal === null || R === null ? null : ws.float64(n);
  for (let i = 0; i < n; i++) {
    const f = from + i;
    const x = rates[f]!;
    const y = rates[frames + f]!;
    const z = rates[2 * frames + f]!;
    size[i] = Math.sqrt(x * x + y * y + z * z);
    own[i] = y;
    let along = 0;
    for (let c = 0; c < 3; c++) {
      const o = 9 * f + 3 * c;
      const out = R === null ? rates[c * frames + f]! : R[o]! * x + R[o + 1]! * y + R[o + 2]! * z;
      w[c * n + i] = out;
      if (normal !== null) along += out * normal[c]!;
    }
    if (plane !== null) plane[i] = along;
  }
  return { n, w, size, own, plane };
}

/** What `fineAngularVelocity` takes of the angles at the frames −2 … 2, times the rate. */
export const STENCIL = [1 / 12, -8 / 12, 0, 8 / 12, -1 / 12] as const;
