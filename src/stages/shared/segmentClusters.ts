/** Which landmarks move together as one segment, and how well a cluster of them carries a hidden one. */

import type { LandmarkId } from '../../model/landmarks.ts';
import { symmetricEigen3 } from '../../numeric/svd3.ts';

export interface SegmentCluster {
  readonly segment: string;
  readonly landmarks: readonly LandmarkId[];
}

const MIDLINE: readonly SegmentCluster[] = [
  {
    segment: 'pelvis',
    landmarks: [
      'lead_ASIS', 'trail_ASIS', 'lead_PSIS', 'trail_PSIS', 'SACRUM', 'PELVIS_1', 'PELVIS_2', 'PELVIS_3',
    ], // biome-ignore format: one glance
  },
  // The acromia move with the shoulder girdle, not with the thorax.
  { segment: 'thorax', landmarks: ['IJ', 'PX', 'C7', 'T8', 'T10', 'THORAX_1', 'THORAX_2', 'THORAX_3'] },
  {
    segment: 'head',
    landmarks: [
      'VERTEX', 'HEAD', 'lead_EAR', 'trail_EAR', 'lead_ORBIT', 'trail_ORBIT', 'lead_HEAD_FRONT', 'trail_HEAD_FRONT',
      'lead_HEAD_BACK', 'trail_HEAD_BACK',
    ], // biome-ignore format: one glance
  },
];

const SIDED = [
  ['upper arm', ['EL', 'EM', 'UPPER_ARM_1', 'UPPER_ARM_2', 'UPPER_ARM_3']],
  ['forearm', ['RS', 'US', 'FOREARM_1', 'FOREARM_2', 'FOREARM_3']],
  ['thigh', ['GT', 'FL', 'FM', 'THIGH_1', 'THIGH_2', 'THIGH_3']],
  ['shank', ['LM', 'MM', 'SHANK_1', 'SHANK_2', 'SHANK_3']],
  ['foot', ['HEEL', 'MT1', 'MT5', 'TOE']],
] as const;

/** The epicondyles belong to the bone above the joint, the malleoli and styloids to the bone above theirs. Joint centres of the file belong to none. */
export const SEGMENT_CLUSTERS: readonly SegmentCluster[] = [
  ...MIDLINE,
  ...(['lead', 'trail'] as const).flatMap((side) =>
    SIDED.map(([name, landmarks]) => ({
      segment: `${side} ${name}`,
      landmarks: landmarks.map((landmark): LandmarkId => `${side}_${landmark}`),
    })),
  ),
];

/**
 * Standard deviation per axis of a point carried by a least-squares pose, over that of the markers it rests on (equal, independent per
 * axis): √(1/n + ⅓ Σ |e_k × d|² / I_k), e_k the principal axes of the n markers, I_k their moments about them, d the point from their
 * mean. First order; Infinity for markers on a line. `places` holds x, y, z of each marker; `used` says which count; `at` is the index
 * of the point among them.
 */
export function carriedNoiseGain(places: ArrayLike<number>, used: (marker: number) => boolean, at: number): number {
  const count = places.length / 3;
  const mean = [0, 0, 0];
  let n = 0;
  for (let k = 0; k < count; k++) {
    if (!used(k)) continue;
    n += 1;
    for (let c = 0; c < 3; c++) mean[c] = mean[c]! + places[3 * k + c]!;
  }
  const moment = new Float64Array(9);
  let trace = 0;
  for (let k = 0; k < count; k++) {
    if (!used(k)) continue;
    for (let r = 0; r < 3; r++) {
      for (let c = 0; c < 3; c++) {
        const e = (places[3 * k + r]! - mean[r]! / n) * (places[3 * k + c]! - mean[c]! / n);
        moment[3 * r + c] = moment[3 * r + c]! + e;
        if (r === c) trace += e;
      }
    }
  }
  const values = new Float64Array(3);
  const axes = new Float64Array(9);
  symmetricEigen3(moment, values, axes);
  const d = [0, 1, 2].map((c) => places[3 * at + c]! - mean[c]! / n);
  const square = d[0]! * d[0]! + d[1]! * d[1]! + d[2]! * d[2]!;
  let sum = 1 / n;
  for (let k = 0; k < 3; k++) {
    const along = d[0]! * axes[k]! + d[1]! * axes[3 + k]! + d[2]! * axes[6 + k]!;
    const about = trace - values[k]!;
    sum += (square - along * along) / (3 * about);
  }
  return n > 0 ? Math.sqrt(sum) : Number.POSITIVE_INFINITY;
}
