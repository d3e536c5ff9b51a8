/** Codes that the calibration of sensors and their poses report. */

import { type DiagnosticTable, diagnosticMaker } from '../../base/diagnostics.ts';

export const SENSOR_DIAGNOSTICS = {
  'mounting-missing': {
    severity: 'warning',
    meaning: 'How a sensor sits on its segment could not be found; the segment’s angles are missing.',
    whatToDo: 'See the reason; record the still pose and the movement again, 2 s still and one slow, wide movement.',
  },
  'mounting-doubtful': {
    severity: 'warning',
    meaning: 'How a sensor sits on its segment was found from a pose or movement that is not clean.',
    whatToDo: 'See the numbers; record the still pose and the movement again, 2 s still and one slow, wide movement.',
  },
  'mounting-quality': {
    severity: 'info',
    meaning: 'How the still pose and the movement agree for a sensor.',
    whatToDo: 'Nothing.',
  },
  'anatomical-offset-missing': {
    severity: 'info',
    meaning:
      'The marker static trial shows no bend of a segment for the still pose: the angles of that segment are zero there.',
    whatToDo: 'Capture the landmarks of the segment in the static trial.',
  },
  'sensor-moved': {
    severity: 'warning',
    meaning:
      'The posture that a sensor shows at address is none that a player can take: it moved since the still pose, or forward was taken the wrong way. The angles of its segment are missing in this swing.',
    whatToDo: 'Fasten the sensor, record the still pose and the movements again, and leave the swings before out.',
  },
  'sensor-absent': {
    severity: 'warning',
    meaning: 'A sensor gives nothing in this trial.',
    whatToDo: 'See the reason.',
  },
  'closing-tilt': {
    severity: 'warning',
    meaning: 'At the finish gravity lies elsewhere than the orientation of a sensor puts it: its angles drifted.',
    whatToDo:
      'Ask the player to stand still for half a second before and after the swing; check the range of the gyro.',
  },
} as const satisfies DiagnosticTable;

export const sensorDiagnostic = diagnosticMaker(SENSOR_DIAGNOSTICS);
