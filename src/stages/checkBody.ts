/** Whether a trial shows the body its player was calibrated with. */

import type { Missing } from '../model/availability.ts';
import type { PlayerCalibration } from '../model/calibration.ts';
import type { Fault } from '../model/faults.ts';
import type { LandmarkId } from '../model/landmarks.ts';
import type { MarkerTrial } from '../model/trial.ts';
import { fileName, landmarkWords } from './shared/landmarkGroups.ts';
import { BODY_LENGTHS, lengthName, medianDistance } from './shared/medians.ts';

const LARGEST_SHARE = 0.05;
const FEWEST_LENGTHS = 3;

export interface BodyCheck {
  /** Another body: three or more lengths between landmarks (medians over frames) off by more than 5 %, that no one landmark has in common. */
  readonly other: Missing | null;
  /** The landmark that as many lengths that are off have in common: it sits elsewhere, the body is the same. */
  readonly moved: Fault | null;
}

interface Off {
  readonly pair: readonly [LandmarkId, LandmarkId];
  readonly text: string;
}

/** Both null where the trial fits the calibration. */
export function checkBody(trial: MarkerTrial, calibration: PlayerCalibration): BodyCheck {
  const off = lengthsOff(trial, calibration);
  if (off.length < FEWEST_LENGTHS) return { other: null, moved: null };
  const said = `${off.length} lengths differ by more than 5 % (${off
    .slice(0, 4)
    .map(({ text }) => text)
    .join('; ')})`;
  const shared = off[0]!.pair.find((id) => off.every(({ pair }) => pair.includes(id)));
  if (shared === undefined) {
    return { other: { code: 'another-body', needed: `the body of ${calibration.player}: ${said}` }, moved: null };
  }
  const markers = [fileName(shared, trial.head.facts.hand.value)];
  const detail = `sits elsewhere than on the static trial: ${said}, all of them from it`;
  return { other: null, moved: { code: 'marker-moved', markers, frames: [], action: 'kept', detail } };
}

function lengthsOff(trial: MarkerTrial, calibration: PlayerCalibration): readonly Off[] {
  const off: Off[] = [];
  for (const [a, b] of BODY_LENGTHS) {
    const expected = calibration.lengths_m[lengthName(a, b)];
    if (expected === undefined) continue;
    const found = medianDistance(trial, a, b);
    if (found === null || Math.abs(found - expected) <= LARGEST_SHARE * expected) continue;
    const between = [a, b].map((id) => landmarkWords(id, trial.head.facts.hand.value)).join(' to ');
    const text = `${between} ${Math.round(found * 1000)} mm, calibrated ${Math.round(expected * 1000)} mm`;
    off.push({ pair: [a, b], text });
  }
  return off;
}
