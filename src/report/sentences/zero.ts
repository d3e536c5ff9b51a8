import type { ComparisonPart, PlayerComparison } from '../../model/comparison.ts';

/** What the angles of sensors are measured from, and what sensors cannot give: plain sentences, each said once on a sheet. */

/** 'wren', or 'wren, sensors' where the player has more than one part. */
export function nameOf({ player, part }: PlayerComparison): string {
  return part.label === '' ? player : `${player}, ${part.label}`;
}

/** The zero of the angles; '' for markers, whose angles are anatomical and against the target line. */
export function zeroText({ source, calibration }: ComparisonPart): string {
  if (source !== 'sensors') return '';
  if (calibration === null) return 'The sensors were not calibrated: no angle of a segment can be given.';
  const { still, anatomicalFrom, headings } = calibration;
  const bends =
    anatomicalFrom === null
      ? `angles are against the calibration pose ${still}, not anatomical`
      : `forward and side bend in the calibration pose ${still} are taken over from the marker static trial ${anatomicalFrom}`;
  const turns =
    headings === 'address'
      ? 'turns, and the chest’s rotation on the pelvis, are since address'
      : 'turns are since address, those of all segments together';
  return `Zero: ${bends}; ${turns}.`;
}

/** Why there are no figures, and everything else that is absent for the same reason. */
export const NO_PLACES =
  'Sensors give orientations, no places in space: no figures; no shift or rise of pelvis, chest and head; no lines of shoulders and hips, no axis tilt; no head speed, attack or path of the club.';
