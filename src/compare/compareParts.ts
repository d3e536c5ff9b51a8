import type { PlayerComparison } from '../model/comparison.ts';
import type { SwingRecord } from '../model/swingRecord.ts';
import { calibrationOf } from './calibrationOf.ts';
import { type ComparePlan, compareRecords } from './compareRecords.ts';
import { compareText, datumOf, partsBy } from './swings.ts';

/**
 * One comparison for each zero of the angles that the player's swings have, never across: the markers first, then each calibration of
 * the sensors in the order of the day. Swings of markers are one part, as `compareRecords` settles their datum; a player without any
 * swing has one part, which says so. Other players' records are passed over.
 */
export function compareParts(
  records: readonly SwingRecord[],
  plan: Omit<ComparePlan, 'part'>,
): readonly PlayerComparison[] {
  const own = records.filter(({ head }) => head.player === plan.player.id);
  const markers = own.filter(({ head }) => head.source !== 'sensors');
  const sensors = own
    .filter(({ head }) => head.source === 'sensors')
    .sort((a, b) => a.head.order - b.head.order || compareText(a.head.trial, b.head.trial));
  const calibrations = [...partsBy(sensors.map(datumOf)).values()].map((part) => part.map((index) => sensors[index]!));
  const all = [...(markers.length > 0 || calibrations.length === 0 ? [markers] : []), ...calibrations];
  let ofSensors = 0;
  return all.map((part, index) => {
    const isSensors = part[0]?.head.source === 'sensors';
    if (isSensors) ofSensors += 1;
    const label = all.length === 1 ? '' : isSensors ? sensorsLabel(part[0]!, calibrations.length, plan) : 'markers';
    const suffix = index === 0 ? '' : ofSensors === 1 ? '-sensors' : `-sensors-${ofSensors}`;
    const ending = (plan.name ?? '') === '' ? suffix : `${suffix}-${plan.name}`;
    return compareRecords(part, { ...plan, part: { label, suffix: ending } });
  });
}

function sensorsLabel({ datum }: SwingRecord, calibrations: number, { player }: Omit<ComparePlan, 'part'>): string {
  if (calibrations === 1) return 'sensors';
  const calibration = calibrationOf(datum.id, player.static ?? null);
  return calibration === null ? 'sensors not calibrated' : `sensors calibrated in ${calibration.still}`;
}
