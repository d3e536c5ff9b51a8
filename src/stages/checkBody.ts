/** Whether a trial shows the body its player was calibrated with. */

import type { Missing } from '../model/availability.ts';
import type { PlayerCalibration } from '../model/calibration.ts';
import type { MarkerTrial } from '../model/trial.ts';
import { landmarkWords } from './shared/landmarkGroups.ts';
import { BODY_LENGTHS, lengthName, medianDistance } from './shared/medians.ts';

const LARGEST_SHARE = 0.05;
const FEWEST_LENGTHS = 3;

/**
 * Null where the trial fits the calibration; otherwise which lengths differ. Another body: three or more lengths between landmarks
 * (medians over frames) off by more than 5 %.
 */
export function checkBody(trial: MarkerTrial, calibration: PlayerCalibration): Missing | null {
  const off: string[] = [];
  for (const [a, b] of BODY_LENGTHS) {
    const expected = calibration.lengths_m[lengthName(a, b)];
    if (expected === undefined) continue;
    const found = medianDistance(trial, a, b);
    if (found === null || Math.abs(found - expected) <= LARGEST_SHARE * expected) continue;
    const between = [a, b].map((id) => landmarkWords(id, trial.head.facts.hand.value)).join(' to ');
    off.push(`${between} ${Math.round(found * 1000)} mm, calibrated ${Math.round(expected * 1000)} mm`);
  }
  if (off.length < FEWEST_LENGTHS) return null;
  return {
    code: 'another-body',
    needed: `the body of ${calibration.player}: ${off.length} lengths differ by more than 5 % (${off.slice(0, 4).join('; ')})`,
  };
}
