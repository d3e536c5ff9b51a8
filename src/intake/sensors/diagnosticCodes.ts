import { type DiagnosticTable, diagnosticMaker } from '../../base/diagnostics.ts';

/** What the intake of a recording of sensors can doubt. */
export const SENSOR_INTAKE_DIAGNOSTICS = {
  'columns-unused': {
    severity: 'info',
    meaning: 'Columns of the table have no meaning here and were not used.',
    whatToDo: 'Nothing, or name them in the day file under `sensors: columns`.',
  },
  'positions-not-used': {
    severity: 'info',
    meaning: 'The recording of sensors also holds places in space; they are not used as markers.',
    whatToDo: 'Nothing. Export the markers as a C3D file if they are to be used.',
  },
  'rotation-angles-not-used': {
    severity: 'info',
    meaning: 'Orientations stored as three angles are not used; quaternions and gyro are.',
    whatToDo: 'Export quaternions or the raw signals.',
  },
  'quaternion-order-assumed': {
    severity: 'info',
    meaning:
      'Quaternion columns numbered from 0 do not say whether the scalar comes first; the reading was assumed or detected.',
    whatToDo: 'Name the four columns in the order w, x, y, z in the day file under `sensors: columns: quaternion`.',
  },
  'quaternion-direction-assumed': {
    severity: 'info',
    meaning: 'Neither the day file nor the data say which way the quaternions turn; sensor to world was assumed.',
    whatToDo: 'Set `sensors: quaternion_direction` in the day file.',
  },
  'quaternions-contradict-gyro': {
    severity: 'warning',
    meaning: 'The quaternions of the file do not turn as the gyro of the same sensor does; they were not used.',
    whatToDo: 'Nothing where raw signals exist: they are used. Otherwise correct the export.',
  },
  'quaternions-not-unit': {
    severity: 'warning',
    meaning: 'The four columns do not have length 1, so they are no quaternions of a rotation; they were not used.',
    whatToDo: 'Check which columns are named as the quaternion.',
  },
  'world-up-assumed': {
    severity: 'info',
    meaning: 'Neither the day file nor the data say which axis of the world points up; +Z was assumed.',
    whatToDo: 'Set `up` in the day file.',
  },
  'sensor-units-detected': {
    severity: 'info',
    meaning: 'A unit that no header states was read off the data.',
    whatToDo: 'Nothing, or set `time_unit`, `gyro_unit` or `acc_unit` under `sensors` in the day file.',
  },
  'sensor-unit-unknown': {
    severity: 'warning',
    meaning: 'A unit written in the file is not understood; the data were asked instead.',
    whatToDo: 'Set `time_unit`, `gyro_unit` or `acc_unit` under `sensors` in the day file.',
  },
  'gravity-not-seen': {
    severity: 'info',
    meaning: 'No moment of rest was found, so the length of gravity could not be checked.',
    whatToDo: 'Let the recording begin with a second of stillness.',
  },
  'gravity-off': {
    severity: 'warning',
    meaning: 'Gravity at rest is not 9.81 m/s² within 3 %: wrong unit or scale.',
    whatToDo: 'Correct the scale in the export, or list `units` under `insist`.',
  },
  'gyro-contradicts-gravity': {
    severity: 'warning',
    meaning: 'Gravity in the sensor does not turn as the gyro says: an axis or a sign is wrong.',
    whatToDo: 'Correct the axes in the export of this sensor.',
  },
  'sensor-left-out': {
    severity: 'warning',
    meaning: 'A sensor was not used.',
    whatToDo: 'The reason stands in the message.',
  },
  'dead-channel': {
    severity: 'warning',
    meaning: 'A column keeps one value through the whole recording.',
    whatToDo: 'Check the sensor; what depends on this axis is not to be trusted.',
  },
  'values-repeated': {
    severity: 'warning',
    meaning: 'Many rows repeat the row before: the sensor was slower than the table.',
    whatToDo: 'Export each sensor at its own rate.',
  },
  'gyro-clipped': {
    severity: 'warning',
    meaning: 'The gyro reached its range limit: the turn of those moments is lost.',
    whatToDo: 'Use a larger range; orientation after these moments carries a flag.',
  },
  'acc-clipped': {
    severity: 'info',
    meaning: 'The accelerometer reached its range limit.',
    whatToDo: 'Nothing: at impact this is usual. It counts as a shock, not as gravity.',
  },
  'stamps-dropped': {
    severity: 'warning',
    meaning: 'Rows whose time stamp is missing, repeated or goes backward were dropped.',
    whatToDo: 'Check the recording.',
  },
  'samples-dropped': {
    severity: 'warning',
    meaning: 'Samples are missing: some steps between time stamps are longer than 1.5 usual ones.',
    whatToDo: 'Check the radio link of the sensor.',
  },
  'stamps-jitter': {
    severity: 'info',
    meaning: 'The steps between time stamps vary; the stamps were used as they are.',
    whatToDo: 'Nothing.',
  },
  'stamps-rounded': {
    severity: 'info',
    meaning: 'Time stamps are rounded, and rounding explains all their unevenness; evenly spaced times were used.',
    whatToDo: 'Nothing.',
  },
  'no-stamps': {
    severity: 'info',
    meaning: 'The table has no time stamps; times were counted from the rate.',
    whatToDo: 'Nothing, as long as no sample was lost.',
  },
  'named-sensor-missing': {
    severity: 'warning',
    meaning: 'A sensor named in the day file is not in this recording.',
    whatToDo: 'Correct the name under `sensors: places`, or leave it.',
  },
  'place-recognised': {
    severity: 'info',
    meaning: 'A sensor’s place was read off its name.',
    whatToDo: 'Nothing, or set `sensors: places` in the day file.',
  },
  'place-ambiguous': {
    severity: 'warning',
    meaning:
      'Several sensors could be meant for one place, or a name does not say which place or side; they were left out.',
    whatToDo: 'Name the right one under `sensors: places` in the day file.',
  },
  'sensor-not-placed': {
    severity: 'info',
    meaning: 'A sensor’s name says no place that is used here.',
    whatToDo: 'Nothing, or name it under `sensors: places` in the day file.',
  },
  'channel-bad': {
    severity: 'warning',
    meaning: 'A channel is marked bad in the side-car; it was not used.',
    whatToDo: 'Nothing.',
  },
  'rotations-used': {
    severity: 'info',
    meaning: 'Rotations stored in the C3D file were used as sensors; they have neither gyro nor accelerometer.',
    whatToDo: 'Nothing.',
  },
} as const satisfies DiagnosticTable;

export const sensorDiagnostic = diagnosticMaker(SENSOR_INTAKE_DIAGNOSTICS);
