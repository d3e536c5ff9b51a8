import type { SensorNote } from '../../../model/motion.ts';

/** How the orientations of a sensor were made. */
export const SENSOR_METHODS: Readonly<Record<NonNullable<SensorNote['method']>, string>> = {
  'strap-down': 'integrated from the still address, tilt from gravity there',
  file: 'orientations of the file',
  inclination: 'filter with tilt from gravity (inclination)',
  mahony: 'filter with tilt from gravity (Mahony 2008)',
  madgwick: 'filter with tilt from gravity (Madgwick 2011)',
};
