/** Postures at address that no player takes: a sensor has moved since the still pose, or its movement was read the wrong way round. */

import { formatFixed } from '../../base/format.ts';
import type { Missing } from '../../model/availability.ts';
import type { TrunkSegmentId } from '../../model/motion.ts';
import { anglesFromRotation } from '../../numeric/eulerAngles.ts';
import { meanRotation } from '../../numeric/rotation.ts';
import type { Frames } from './headings.ts';
import type { Placed } from './placed.ts';

/** Pelvis, chest and head of a player at address lean 10 to 50° (common practice, no source). */
const LARGEST_LEAN_rad = (80 * Math.PI) / 180;
/** Chest and pelvis lean over the ball at address; never back by more than the still pose may be off (common practice, no source). */
const LARGEST_BACK_rad = (15 * Math.PI) / 180;

/** What is impossible in the segment's mean at address, with the number; null where nothing is. Its angles then mean nothing. */
export function impossibleAddress(segment: TrunkSegmentId, { R }: Placed, [from, to]: Frames): Missing | null {
  const mean = meanRotation(R.subarray(9 * from, 9 * (to + 1)), to - from + 1);
  if (Number.isNaN(mean[0])) return null;
  const degrees = (angle: number): string => `${formatFixed((angle * 180) / Math.PI, 0)}°`;
  const moved = (found: string): Missing => ({
    code: 'sensor-moved',
    needed: `a posture that is possible: it ${found}`,
  });
  const lean = Math.atan2(Math.sqrt(mean[1]! * mean[1]! + mean[7]! * mean[7]!), mean[4]!);
  if (lean > LARGEST_LEAN_rad) return moved(`leans ${degrees(lean)} from upright at address, 80° at most is possible`);
  const angles = new Float64Array(3);
  anglesFromRotation(mean, 0, 'YXZ', angles);
  const back = angles[2]!;
  if (segment === 'head' || back <= LARGEST_BACK_rad) return null;
  const wrongWay = segment === 'thorax' ? 'the bow did not begin forward' : 'forward was taken the wrong way';
  return moved(`leans back ${degrees(back)} at address: the sensor moved, or ${wrongWay}`);
}
