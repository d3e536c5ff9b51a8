/** How one sensor sits on its segment, with the limits of what counts as a pose and a movement. */

import type { Diagnostic } from '../../base/diagnostics.ts';
import { formatFixed } from '../../base/format.ts';
import { type Avail, absent, present } from '../../model/availability.ts';
import type { Vec3 } from '../../model/calibration.ts';
import type { Movement, SensorMounting, SensorPlace, SensorTrack } from '../../model/sensors.ts';
import { angleBetween } from '../../numeric/vector.ts';
import type { Workspace } from '../../numeric/workspace.ts';
import { sensorDiagnostic } from './diagnosticCodes.ts';
import { movementAxis } from './movementAxis.ts';
import { placeWords } from './places.ts';
import { axesFromFacing, axesFromFlexion, axesFromLongAxis } from './segmentAxes.ts';
import { type StillPose, stillPose } from './stillPose.ts';

const RAD = Math.PI / 180;
/** Standard gravity is 9.81 within 0.03 m/s² anywhere; 3 % is a bias or a scale, 10 % is a body that moves or another unit. */
const GRAVITY_mPerS2 = 9.81;
const GRAVITY_DOUBT = 0.03;
const GRAVITY_LIMIT = 0.1;
/** Someone who stands still sways at 1 to 2°/s. At 12°/s and 1 Hz, 0.3 m from the joint, specific force lies 2° off the vertical. */
const STILL_DOUBT_radPerS = 3 * RAD;
const STILL_LIMIT_radPerS = 12 * RAD;
/** An axis 5° off puts 3° of a 35° bend into the other plane; a movement whose axis wanders by 10° leaves about 3° in the mean. */
const SPREAD_DOUBT_rad = 10 * RAD;
const SPREAD_LIMIT_rad = 25 * RAD;
/** The flexion axis of someone upright is level. */
const LEVEL_DOUBT_rad = 15 * RAD;
const LEVEL_LIMIT_rad = 35 * RAD;
/** A bow turns the chest by 30° and more; a tilt turns the pelvis by 10°, as does a bow from the waist. */
const LEAST_TURN_rad = 15 * RAD;
const LEAST_PELVIS_TURN_rad = 5 * RAD;
/** In a bow the pelvis goes forward too; a turn of this much about nearly the same axis shows which way that is. */
const FORWARD_TURN_rad = 3 * RAD;
const SAME_AXIS_rad = 45 * RAD;
/** Standing upright the trunk leans up to some 10°, and a turn on the spot is not purely about it. */
const TURN_DOUBT_rad = 20 * RAD;
/** A direction this near to the vertical does not face anywhere. */
const FACING_LIMIT_rad = 20 * RAD;

/** A recording of one sensor. */
export interface Recorded {
  readonly trial: string;
  readonly track: SensorTrack;
}

export interface MovementRecorded extends Recorded {
  readonly movement: Movement;
}

const degrees = (angle: number, decimals = 0): string => `${formatFixed(angle / RAD, decimals)}°`;

/** The pose, unless the sensor moved or does not feel gravity; doubts as diagnostics. */
export function soundPose(
  place: SensorPlace,
  at: Recorded,
  diagnostics: Diagnostic[],
  ws: Workspace,
): Avail<StillPose> {
  const found = stillPose(at.track, ws);
  if (!found.ok) return found;
  const { stillness_radPerS, gravity_mPerS2 } = found.value;
  const off = Number.isNaN(gravity_mPerS2) ? 0 : Math.abs(gravity_mPerS2 / GRAVITY_mPerS2 - 1);
  const gravity = `${placeWords(place)} feels ${formatFixed(gravity_mPerS2, 2)} m/s² in ${at.trial}, gravity is 9.81`;
  const moved = `${placeWords(place)} turns by ${degrees(stillness_radPerS, 1)}/s in ${at.trial}`;
  if (!(off <= GRAVITY_LIMIT)) return absent('no-gravity', `gravity in the still pose: ${gravity}`);
  if (!(stillness_radPerS <= STILL_LIMIT_radPerS)) {
    return absent('not-still', `two seconds of standing still: ${moved}, 12°/s are allowed`);
  }
  if (off > GRAVITY_DOUBT) diagnostics.push(sensorDiagnostic('mounting-doubtful', gravity));
  if (stillness_radPerS > STILL_DOUBT_radPerS) diagnostics.push(sensorDiagnostic('mounting-doubtful', moved));
  return found;
}

/**
 * The mounting of a body sensor: full by the movement first in the list that is clean (of several alike the one
 * of least spread), else by the axis that faces forward, else the long axis alone.
 * Absent where neither pose nor movement nor facing holds, with the numbers.
 */
export function bodyMounting(
  place: SensorPlace,
  still: Recorded,
  movements: readonly MovementRecorded[],
  facing: Vec3 | null,
  diagnostics: Diagnostic[],
  ws: Workspace,
): Avail<SensorMounting> {
  const pose = soundPose(place, still, diagnostics, ws);
  if (!pose.ok) return pose;
  const { up } = pose.value;
  let why: Avail<never> | null = null;
  let best: { readonly axis: Vec3; readonly spread: number; readonly from: MovementRecorded } | null = null;
  for (const movement of movements) {
    if (best !== null && best.from.movement !== movement.movement) break;
    const axis = flexionAxis(place, movement, pose.value, ws);
    if (!axis.ok) why ??= axis;
    else if (best === null || axis.value.spread_rad < best.spread) {
      best = { axis: axis.value.axis, spread: axis.value.spread_rad, from: movement };
    }
  }
  const common = {
    stillness_radPerS: pose.value.stillness_radPerS,
    gravity_mPerS2: pose.value.gravity_mPerS2,
    bias_radPerS: pose.value.bias_radPerS,
  };
  if (best !== null) {
    const forward = signedByBow(place, best.axis, best.from, movements, pose.value, diagnostics, ws);
    const level = Math.PI / 2 - angleBetween(best.axis, up);
    const { movement, trial } = best.from;
    const words = `${placeWords(place)}: the axis of the ${movement} in ${trial} spreads by ${degrees(best.spread, 1)} and lies ${degrees(Math.abs(level), 1)} from level`;
    const doubtful = best.spread > SPREAD_DOUBT_rad || Math.abs(level) > LEVEL_DOUBT_rad;
    diagnostics.push(sensorDiagnostic(doubtful ? 'mounting-doubtful' : 'mounting-quality', words));
    return present({
      R_sensor_segment: axesFromFlexion(up, [-forward[0], -forward[1], -forward[2]]),
      method: 'pose-and-movement',
      trials: [still.trial, best.from.trial],
      hasFlexionAxis: true,
      axisSpread_rad: best.spread,
      ...common,
    });
  }
  if (facing !== null) {
    const away = angleBetween(facing, up);
    if (Math.min(away, Math.PI - away) < FACING_LIMIT_rad) {
      const words = `a facing axis that is not upright: ${placeWords(place)}'s lies ${degrees(Math.min(away, Math.PI - away))} from the vertical`;
      return absent('facing-upright', words);
    }
    const R_sensor_segment = axesFromFacing(up, facing);
    const method = 'pose-and-facing';
    return present({
      R_sensor_segment,
      method,
      trials: [still.trial],
      hasFlexionAxis: true,
      axisSpread_rad: null,
      ...common,
    });
  }
  if (why !== null) return why;
  return present({
    R_sensor_segment: axesFromLongAxis(up),
    method: 'pose',
    trials: [still.trial],
    hasFlexionAxis: false,
    axisSpread_rad: null,
    ...common,
  });
}

/** A tilt goes both ways and may begin backward: where a bow shows the sensor's forward turn clearly, its sign holds. */
function signedByBow(
  place: SensorPlace,
  axis: Vec3,
  from: MovementRecorded,
  movements: readonly MovementRecorded[],
  pose: StillPose,
  diagnostics: Diagnostic[],
  ws: Workspace,
): Vec3 {
  if (from.movement === 'bow') return axis;
  for (const bow of movements) {
    if (bow.movement !== 'bow') continue;
    const found = movementAxis(bow.track, pose.bias_radPerS, ws);
    if (!found.ok || found.value.turn_rad < FORWARD_TURN_rad) continue;
    const away = angleBetween(found.value.axis, axis);
    if (Math.min(away, Math.PI - away) > SAME_AXIS_rad) continue;
    if (away < Math.PI / 2) return axis;
    const words = `${placeWords(place)}: the ${from.movement} in ${from.trial} begins backward; ${bow.trial} shows which way is forward`;
    diagnostics.push(sensorDiagnostic('mounting-quality', words));
    return [-axis[0], -axis[1], -axis[2]];
  }
  return axis;
}

/** Axis of the forward turn with which the movement begins, sensor axes; absent where it is no axis or not level. */
function flexionAxis(place: SensorPlace, at: MovementRecorded, pose: StillPose, ws: Workspace) {
  const found = movementAxis(at.track, pose.bias_radPerS, ws);
  if (!found.ok) return found;
  const { axis, spread_rad, turn_rad } = found.value;
  const words = `a clear ${at.movement} of ${placeWords(place)}: in ${at.trial}`;
  const least = place === 'pelvis' ? LEAST_PELVIS_TURN_rad : LEAST_TURN_rad;
  if (!(turn_rad >= least)) {
    return absent<never>('movement-small', `${words} it turns by ${degrees(turn_rad)}, at least ${degrees(least)}`);
  }
  if (!(spread_rad <= SPREAD_LIMIT_rad)) {
    const limit = degrees(SPREAD_LIMIT_rad);
    return absent<never>('axis-spread', `${words} the axis wanders by ${degrees(spread_rad)}, ${limit} are allowed`);
  }
  const level = Math.abs(Math.PI / 2 - angleBetween(axis, pose.up));
  if (!(level <= LEVEL_LIMIT_rad)) {
    const limit = degrees(LEVEL_LIMIT_rad);
    return absent<never>('axis-not-level', `${words} the axis lies ${degrees(level)} from level, ${limit} are allowed`);
  }
  return found;
}

/** What a turn on the spot says of the long axis, as a diagnostic. */
export function checkTurn(
  place: SensorPlace,
  still: Recorded,
  turn: Recorded,
  diagnostics: Diagnostic[],
  ws: Workspace,
): void {
  const pose = stillPose(still.track, ws);
  if (!pose.ok) return;
  const found = movementAxis(turn.track, pose.value.bias_radPerS, ws);
  if (!found.ok || found.value.turn_rad < LEAST_TURN_rad) return;
  const away = angleBetween(found.value.axis, pose.value.up);
  const angle = Math.min(away, Math.PI - away);
  const words = `${placeWords(place)}: the axis of the turn in ${turn.trial} lies ${degrees(angle, 1)} from the long axis of the still pose`;
  diagnostics.push(sensorDiagnostic(angle > TURN_DOUBT_rad ? 'mounting-doubtful' : 'mounting-quality', words));
}
