/** Codes of clocks and orientations of sensors; docs/diagnostics.md is generated from tables like this one. */

import { type DiagnosticTable, diagnosticMaker } from '../../base/diagnostics.ts';

export const ORIENT_DIAGNOSTICS = {
  'clocks-aligned': {
    severity: 'info',
    meaning: 'The clocks of the sensors were brought together by a knock or a trigger; the offsets are given.',
    whatToDo: 'Nothing.',
  },
  'clock-not-joined': {
    severity: 'warning',
    meaning: 'A sensor does not show the knock or trigger that brings its clock to that of the others: it is left out.',
    whatToDo:
      'Knock hard once within the stated time, which counts from the first sample of each sensor, or say align: stamps where the stamps hold.',
  },
  'clocks-disagree': {
    severity: 'warning',
    meaning:
      'A shock that several sensors feel comes at different times on their clocks while the time stamps are believed: angles between segments and positions are wrong by as much as the body turns in that time.',
    whatToDo:
      'Set align: {knock_s: [0, 1]} with the times, from the first sample of each sensor, between which all feel a knock. Without a knock: stamp a heel on the floor once at the start of each recording, or record a trigger.',
  },
  'sensor-gap': {
    severity: 'warning',
    meaning: 'Samples of a sensor are missing for more than 0.1 s: its orientation is missing from there on.',
    whatToDo: 'Record again, with the receiver nearer or the sensor storing by itself.',
  },
  'far-from-address': {
    severity: 'info',
    meaning: 'A recording is longer than a swing: orientation is given up to 20 s away from the still address.',
    whatToDo: 'Nothing; a recording for each swing is enough.',
  },
  'sensor-gap-bridged': {
    severity: 'info',
    meaning: 'Samples of a sensor are missing for up to 0.1 s; its angular velocity was interpolated by a cubic.',
    whatToDo: 'Nothing; the drift bound holds what may be lost.',
  },
  'gyro-clipped-angle': {
    severity: 'warning',
    meaning:
      'The gyro of a sensor reached its range limit: its orientation may be off from there on by the angle given.',
    whatToDo: 'Use a sensor with a wider range, or fasten it nearer to the trunk.',
  },
  'no-still-address': {
    severity: 'warning',
    meaning:
      'A sensor is nowhere still before the swing: its orientation is that of a filter over the whole recording.',
    whatToDo: 'Ask the player to stand still for half a second before the takeaway.',
  },
  'still-address-not-common': {
    severity: 'info',
    meaning: 'The sensors are not still at the same time before the swing: each starts from its own still moment.',
    whatToDo: 'Ask the player to stand still for half a second before the takeaway.',
  },
  'gyro-bias': {
    severity: 'info',
    meaning: 'The constant error of a gyro came from the still pose, because the address is short or not quiet.',
    whatToDo: 'Nothing; standing still for a second at address gives each swing its own.',
  },
  'gyro-bias-differs': {
    severity: 'warning',
    meaning:
      'A gyro at address shows another constant error than in the still pose: it warmed up, or the player moved.',
    whatToDo: 'Let sensors warm up for some minutes; stand still at address.',
  },
  'orientation-of-file': {
    severity: 'info',
    meaning: 'The orientation of a sensor is the one its file holds; its drift is not known.',
    whatToDo: 'Nothing.',
  },
  'magnetometer-not-used': {
    severity: 'info',
    meaning: 'A magnetometer was asked for where it plays no part: strap-down and two of the filters use none.',
    whatToDo: 'Nothing; or filter: inclination for recordings that are not strapped down.',
  },
  'outside-swing': {
    severity: 'warning',
    meaning: 'A sensor has no samples at the fastest moment of the swing: it is left out.',
    whatToDo: 'Check the clocks of the sensors, and whether one was switched on late.',
  },
} as const satisfies DiagnosticTable;

export const orientDiagnostic = diagnosticMaker(ORIENT_DIAGNOSTICS);
