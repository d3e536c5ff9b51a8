/** Where sensors sit: lead and trail against left and right, words for people, axes of a mirrored sensor. */

import type { Vec3 } from '../../model/calibration.ts';
import type { Hand, SignedAxis } from '../../model/dayPlan.ts';
import type { FileSensorPlace, SensorPlace, SidedPlace } from '../../model/sensors.ts';

/** The place as a day file names it: the lead side of a right-hander is the left. */
export function filePlaceOf(place: SensorPlace, hand: Hand): FileSensorPlace {
  if (place === 'pelvis' || place === 'thorax' || place === 'head' || place === 'club') return place;
  const isLead = place.startsWith('lead_');
  const side = isLead === (hand === 'right') ? 'left' : 'right';
  return `${side}_${place.slice(isLead ? 5 : 6) as SidedPlace}`;
}

/** As a sentence has it: "the lead forearm". */
export function placeWords(place: SensorPlace): string {
  return `the ${place.replaceAll('_', ' ')}`;
}

/** A sensor's own axis as a unit vector in the axes of its track: those of a left-hander are mirrored, z changes its sign. */
export function sensorAxis(axis: SignedAxis, hand: Hand): Vec3 {
  const sign = axis.startsWith('-') ? -1 : 1;
  const which = axis.slice(1);
  if (which === 'X') return [sign, 0, 0];
  if (which === 'Y') return [0, sign, 0];
  return [0, 0, hand === 'left' ? -sign : sign];
}
