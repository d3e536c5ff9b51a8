import type { ComparisonPart, PlayerComparison } from '../../model/comparison.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';

/** What the angles of sensors are measured from, and what sensors cannot give: plain sentences, each said once on a sheet. */

/** 'wren', or 'wren, sensors' where the player has more than one part. */
export function nameOf({ player, part }: PlayerComparison): string {
  return part.label === '' ? player : `${player}, ${part.label}`;
}

/** The zero of the angles; '' for markers, whose angles are anatomical and against the target line. */
export function zeroText(words: Words, { source, calibration }: ComparisonPart): string {
  if (source !== 'sensors') return '';
  if (calibration === null) return words.zero.notCalibrated;
  const { still, anatomicalFrom, headings } = calibration;
  const bends =
    anatomicalFrom === null
      ? fill(words.zero.pose, { still })
      : fill(words.zero.anatomical, { still, trial: anatomicalFrom });
  const turns = headings === 'address' ? words.zero.address : words.zero.together;
  return fill(words.zero.said, { bends, turns });
}
