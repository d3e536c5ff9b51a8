/** How the club's sensor sits on the shaft. */

import type { Diagnostic } from '../../base/diagnostics.ts';
import { formatFixed } from '../../base/format.ts';
import { type Avail, absent, present } from '../../model/availability.ts';
import type { Vec3 } from '../../model/calibration.ts';
import type { SensorMounting } from '../../model/sensors.ts';
import { angleBetween } from '../../numeric/vector.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { sensorDiagnostic } from './diagnosticCodes.ts';
import { type Recorded, soundPose } from './mountings.ts';
import { axesFromLongAxis } from './segmentAxes.ts';

/** A hung club tilts by one or two degrees, because its head lies beside the shaft; a declared axis is laid on by eye. */
const DIFFER_rad = (10 * Math.PI) / 180;

/**
 * Y up the shaft from head to grip, the other axes arbitrary. Measured where the club hangs head down by its grip, which goes before the
 * axis declared in the day file (grip to head); a bias of NaN where there is no pose that shows one.
 */
export function clubMounting(
  club: string,
  hanging: readonly Recorded[],
  declared: Vec3 | null,
  diagnostics: Diagnostic[],
  ws: Workspace,
): Avail<SensorMounting> {
  const upDeclared: Vec3 | null = declared === null ? null : [-declared[0], -declared[1], -declared[2]];
  let why: Avail<never> | null = null;
  for (const trial of hanging) {
    const pose = soundPose('club', trial, diagnostics, ws);
    if (!pose.ok) {
      why ??= pose;
      continue;
    }
    const { up, stillness_radPerS, gravity_mPerS2, bias_radPerS } = pose.value;
    const off = upDeclared === null ? 0 : angleBetween(up, upDeclared);
    if (off > DIFFER_rad) {
      const angle = formatFixed((off * 180) / Math.PI, 0);
      const words = `${club}: the shaft hangs ${angle}° from the axis declared for its sensor in ${trial.trial}; the hanging club holds`;
      diagnostics.push(sensorDiagnostic('mounting-doubtful', words));
    }
    return present({
      R_sensor_segment: axesFromLongAxis(up),
      method: 'hanging',
      trials: [trial.trial],
      hasFlexionAxis: false,
      axisSpread_rad: null,
      stillness_radPerS,
      gravity_mPerS2,
      bias_radPerS,
    });
  }
  if (upDeclared !== null) {
    return present({
      R_sensor_segment: axesFromLongAxis(upDeclared),
      method: 'declared',
      trials: [],
      hasFlexionAxis: false,
      axisSpread_rad: null,
      stillness_radPerS: Number.NaN,
      gravity_mPerS2: Number.NaN,
      bias_radPerS: [Number.NaN, Number.NaN, Number.NaN],
    });
  }
  return (
    why ??
    absent('no-club-mounting', `a trial in which ${club} hangs still by its grip, or sensor_shaft in the day file`)
  );
}
