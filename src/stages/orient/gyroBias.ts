/** A gyro's constant error: from the address, from the still pose, or from both by their variances. */

import type { Vec3 } from '../../model/calibration.ts';
import type { StillFigures } from '../shared/stillFigures.ts';

const DEG = Math.PI / 180;

/**
 * Standard deviation of the still pose's bias, where none is given: sway of someone who stands for two seconds, and what a gyro wanders in the
 * minutes until the swing (choice of this program: 0.1°/s).
 */
const POSE_SD_radPerS = 0.1 * DEG;
/** A shorter address tells sway from bias too badly. */
const SHORTEST_s = 0.5;
/** Two estimates that differ by four standard deviations and by this are not of one bias. */
const DIFFER_radPerS = 0.5 * DEG;

export interface GyroBias {
  readonly bias: Vec3;
  /** Per axis, rad/s. */
  readonly sd: number;
  readonly from: 'address' | 'still pose' | 'both';
  /** The two do not agree. */
  readonly differs: boolean;
}

/** `pose`: bias of the still pose, or null (or NaN) where there is none. Null where neither is there. */
export function gyroBias(address: StillFigures, pose: Vec3 | null, poseSd_radPerS?: number): GyroBias | null {
  const known = pose !== null && Number.isFinite(pose[0] + pose[1] + pose[2]) ? pose : null;
  const here = address.rate_radPerS;
  if (here === null) return null;
  const sd = address.rateMeanSd_radPerS;
  if (known === null) return { bias: here, sd, from: 'address', differs: false };
  const poseSd = poseSd_radPerS ?? POSE_SD_radPerS;
  const apart = Math.max(...here.map((v, c) => Math.abs(v - known[c]!)));
  const differs = apart > Math.max(DIFFER_radPerS, 4 * Math.sqrt(sd * sd + poseSd * poseSd));
  if (address.duration_s < SHORTEST_s) return { bias: known, sd: poseSd, from: 'still pose', differs: false };
  const share = (poseSd * poseSd) / (sd * sd + poseSd * poseSd);
  const bias = here.map((v, c) => share * v + (1 - share) * known[c]!) as unknown as Vec3;
  return {
    bias,
    sd: Math.sqrt(share) * sd,
    from: share > 0.9 ? 'address' : share < 0.1 ? 'still pose' : 'both',
    differs,
  };
}
