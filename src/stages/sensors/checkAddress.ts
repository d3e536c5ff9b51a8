/** Postures at address that no player takes: a sensor has moved since the still pose, or its movement was read the wrong way round. */

import type { Diagnostic } from '../../base/diagnostics.ts';
import { formatFixed } from '../../base/format.ts';
import type { SegmentId } from '../../model/motion.ts';
import { anglesFromRotation } from '../../numeric/eulerAngles.ts';
import { meanRotation } from '../../numeric/rotation.ts';
import { sensorDiagnostic } from './diagnosticCodes.ts';
import type { Frames } from './headings.ts';
import type { Placed } from './placed.ts';
import { placeWords } from './places.ts';

/** Pelvis, chest and head of a player at address lean 10 to 50° (common practice, no source). */
const LARGEST_LEAN_rad = (80 * Math.PI) / 180;
/** The chest leans over the ball by 20 to 50°; never back by more than the still pose may be off. */
const LARGEST_BACK_rad = (15 * Math.PI) / 180;

/** A diagnostic where the segment's mean at address is impossible. */
export function checkAddress(segment: SegmentId, { R }: Placed, [from, to]: Frames, diagnostics: Diagnostic[]): void {
  const mean = meanRotation(R.subarray(9 * from, 9 * (to + 1)), to - from + 1);
  if (Number.isNaN(mean[0])) return;
  const degrees = (angle: number): string => `${formatFixed((angle * 180) / Math.PI, 0)}°`;
  const lean = Math.atan2(Math.sqrt(mean[1]! * mean[1]! + mean[7]! * mean[7]!), mean[4]!);
  if (lean > LARGEST_LEAN_rad) {
    const words = `${placeWords(segment)} leans ${degrees(lean)} from upright at address, 80° at most is possible`;
    diagnostics.push(sensorDiagnostic('sensor-moved', words));
    return;
  }
  const angles = new Float64Array(3);
  anglesFromRotation(mean, 0, 'YXZ', angles);
  const back = angles[2]!;
  if (segment === 'thorax' && back > LARGEST_BACK_rad) {
    const words = `the thorax leans back ${degrees(back)} at address: it moved, or the bow did not begin forward`;
    diagnostics.push(sensorDiagnostic('sensor-moved', words));
  }
}
